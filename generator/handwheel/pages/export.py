"""The same pages and navigation as plain files that build without handwheel.

Each page becomes a Markdown file: front matter with its title, then its HTML as one block.
Markdown passes a block of HTML through untouched as long as no blank line ends it, so blank
lines are taken out, and relative links in it are those between built pages, which stay the same.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from pathlib import Path

from handwheel.pages.site import NavItem, Page, Site
from handwheel.records.errors import HandwheelError

DOCS = "docs"


def export(site: Site, folder: Path, site_name: str = "handwheel") -> int:
    """Write a site into an empty or missing folder, and return how many files were written."""
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise HandwheelError(f"{folder}: not an empty folder; name a new one, so that nothing of yours is overwritten")
    files = {f"{DOCS}/{asset.path}": asset.content for asset in site.assets}
    files |= {f"{DOCS}/{_source(page.path)}": markdown_of(page).encode() for page in site.pages}
    files["mkdocs.yml"] = config_of(site, site_name).encode()
    for name, content in files.items():
        target = folder / name
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(content)
    return len(files)


def markdown_of(page: Page) -> str:
    """A page as a Markdown file; JSON strings are YAML strings too, so the front matter needs no writer."""
    head = {"title": page.title, "description": page.description} if page.description else {"title": page.title}
    matter = "".join(f"{key}: {json.dumps(value, ensure_ascii=False)}\n" for key, value in head.items())
    body = re.sub(r"\n\s*\n", "\n", page.html.strip())
    return f"---\n{matter}---\n\n<div class='hw-page'>\n{body}\n</div>\n"


def config_of(site: Site, site_name: str) -> str:
    """A plain configuration with the navigation, for MkDocs or what comes after it."""
    assets = [asset.path for asset in site.assets]
    lines = [
        f"site_name: {json.dumps(site_name, ensure_ascii=False)}",
        "use_directory_urls: false",
        *_listed("extra_css", (path for path in assets if path.endswith(".css"))),
        *_listed("extra_javascript", (path for path in assets if path.endswith(".js"))),
    ]
    if site.nav:
        lines += ["nav:", *_nav_lines(site.nav, "  ")]
    return "\n".join(lines) + "\n"


def _source(path: str) -> str:
    return path.removesuffix(".html") + ".md"


def _listed(key: str, values: Iterable[str]) -> list[str]:
    items = [f"  - {value}" for value in values]
    return [f"{key}:", *items] if items else []


def _nav_lines(items: tuple[NavItem, ...], indent: str) -> list[str]:
    lines: list[str] = []
    for item in items:
        title = json.dumps(item.title, ensure_ascii=False)
        if not item.children:
            lines.append(f"{indent}- {title}: {_source(item.path)}")
            continue
        own = (NavItem(item.title, item.path),) if item.path else ()
        lines += [f"{indent}- {title}:", *_nav_lines(own + item.children, indent + "    ")]
    return lines

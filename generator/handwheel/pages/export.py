"""The same pages and navigation as plain files that build without handwheel.

Each page becomes a Markdown file: front matter with its title, then its HTML as one block.
Markdown passes a block of HTML through untouched as long as no blank line ends it, so blank
lines are taken out, and relative links in it are those between built pages, which stay the same.
"""

from __future__ import annotations

import json
import re
from pathlib import Path

import yaml

from handwheel.pages.navigation import nav_data, source_of
from handwheel.pages.site import Page, Site
from handwheel.records.errors import HandwheelError

DOCS = "docs"


def export(site: Site, folder: Path, site_name: str = "handwheel") -> int:
    """Write a site into an empty or missing folder, and return how many files were written."""
    ensure_empty(folder)
    files = {f"{DOCS}/{asset.path}": asset.content for asset in site.assets}
    files |= {f"{DOCS}/{source_of(page.path)}": markdown_of(page).encode() for page in site.pages}
    files["mkdocs.yml"] = config_of(site, site_name).encode()
    for name, content in files.items():
        target = folder / name
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(content)
    return len(files)


def ensure_empty(folder: Path) -> None:
    """Raise a `HandwheelError` where something is in the way."""
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise HandwheelError(f"{folder}: not an empty folder; name a new one, so that nothing of yours is overwritten")


def markdown_of(page: Page) -> str:
    """A page as a Markdown file; JSON strings are YAML strings too, so the front matter needs no writer."""
    head = {"title": page.title, "description": page.description} if page.description else {"title": page.title}
    matter = "".join(f"{key}: {json.dumps(value, ensure_ascii=False)}\n" for key, value in head.items())
    body = re.sub(r"\n\s*\n", "\n", page.html.strip())
    return f"---\n{matter}---\n\n<div class='hw-page'>\n{body}\n</div>\n"


def config_of(site: Site, site_name: str) -> str:
    """A plain configuration with the navigation, for MkDocs or what comes after it."""
    assets = [asset.path for asset in site.assets]
    config = {
        "site_name": site_name,
        "use_directory_urls": False,
        "extra_css": [path for path in assets if path.endswith(".css")],
        "extra_javascript": [path for path in assets if path.endswith(("handwheel.js", "found.js"))],
        "nav": nav_data(site.nav),
    }
    filled = {key: value for key, value in config.items() if value != []}
    return yaml.safe_dump(filled, allow_unicode=True, sort_keys=False, width=120)

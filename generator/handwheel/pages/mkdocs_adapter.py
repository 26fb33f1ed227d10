"""Hands finished pages to MkDocs and its theme. The only file that knows either."""

from __future__ import annotations

import json
from html import escape
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

from mkdocs.config import base
from mkdocs.config import config_options as c
from mkdocs.exceptions import PluginError
from mkdocs.plugins import BasePlugin, event_priority
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.pages import Page as MkDocsPage
from mkdocs.structure.toc import AnchorLink, TableOfContents

from handwheel.pages.search_entries import index_documents
from handwheel.pages.site import NavItem, Page, Site, TocEntry, nav_paths
from handwheel.records.errors import HandwheelError

if TYPE_CHECKING:
    from mkdocs.config.defaults import MkDocsConfig

Stamp = tuple[tuple[str, int, int], ...]


class FinishedPage(MkDocsPage):
    """A page whose HTML is finished: nothing is read, converted or parsed.

    The theme's templates do not escape what they are given, so texts are escaped here.
    """

    def __init__(self, made: Page, nav_title: str, file: File, config: MkDocsConfig) -> None:
        super().__init__(escape(nav_title), file, config)
        self._made = made
        self.meta = {"title": escape(made.title), "search": {"exclude": True}, "hide": _hidden(made, file)}
        if made.description:
            self.meta["description"] = escape(made.description)

    def read_source(self, config: MkDocsConfig) -> None:  # noqa: ARG002
        """Nothing to read."""
        self.markdown = ""

    def render(self, config: MkDocsConfig, files: Files) -> None:  # noqa: ARG002
        """Take the HTML as it is."""
        self.content = self._made.html
        self.toc = TableOfContents([_anchor(TocEntry("content", self._made.title, self._made.toc), 1)])


def _anchor(entry: TocEntry, level: int) -> AnchorLink:
    made = AnchorLink(escape(entry.title), entry.anchor, level)
    made.children = [_anchor(child, level + 1) for child in entry.children]
    return made


def _hidden(made: Page, file: File) -> list[str]:
    """A page out of the navigation shows no side bar, and none shows an empty list of contents."""
    return ["navigation"] * file.inclusion.is_not_in_nav() + ["toc"] * (not made.toc)


def _nav(items: tuple[NavItem, ...]) -> list[Any]:
    """The navigation as MkDocs writes it; a section's own page stands first in it."""
    made: list[Any] = []
    for item in items:
        own = [_src(item.path)] if item.path else []
        made.append({escape(item.title): own + _nav(item.children)} if item.children else {item.title: own[0]})
    return made


def _src(path: str) -> str:
    return path.removesuffix(".html") + ".md"


def _titles(items: tuple[NavItem, ...]) -> dict[str, str]:
    return {item.path: item.title for item in items} | {
        path: title for item in items for path, title in _titles(item.children).items()
    }


def _stamp(folders: list[str]) -> Stamp:
    files = (path for folder in folders for path in sorted(Path(folder).rglob("*")) if path.is_file())
    return tuple((str(path), path.stat().st_mtime_ns, path.stat().st_size) for path in files)


class HandwheelConfig(base.Config):  # type: ignore[no-untyped-call]
    """The plugin's part of `mkdocs.yml`."""

    folders = c.ListOfItems(c.Dir(exists=True), default=[])
    """Folders of content, the library first; a later one builds on those before it."""
    make = c.Type(str, default="handwheel.pages.build:make_site")
    """What makes the site from the folders, `module:function`."""


class HandwheelPlugin(BasePlugin[HandwheelConfig]):  # type: ignore[no-untyped-call]
    """Puts a handwheel site in the place of MkDocs' own pages."""

    def __init__(self) -> None:
        self._made: tuple[Stamp, Site] | None = None

    def on_startup(self, *, command: str, dirty: bool) -> None:
        """Keep this object, and the site in it, between the rebuilds of a preview."""

    def on_config(self, config: MkDocsConfig) -> None:
        """Links are from file to file, so that the site opens from the file system too."""
        config.use_directory_urls = False
        config.watch.extend(self.config.folders)
        if not config.site_url:
            config.theme.static_templates.discard("sitemap.xml")

    def on_files(self, files: Files, /, *, config: MkDocsConfig) -> Files:
        """Replace what lies in the content folders by the pages made of it."""
        site = self._site()
        config.nav = _nav(site.nav) or None
        kept = Files(file for file in files if file.src_dir != config.docs_dir)
        for asset in site.assets:
            kept.append(File.generated(config, asset.path, content=asset.content, inclusion=InclusionLevel.INCLUDED))
        titles, in_nav = _titles(site.nav), set(nav_paths(site.nav))
        for page in site.pages:
            level = InclusionLevel.INCLUDED if page.path in in_nav else InclusionLevel.NOT_IN_NAV
            file = File.generated(config, _src(page.path), content="", inclusion=level)
            FinishedPage(page, titles.get(page.path, page.title), file, config)
            kept.append(file)
        return kept

    def on_env(self, env: Any, /, *, config: MkDocsConfig, files: Files) -> None:  # noqa: ARG002
        """Fill the theme's search index."""
        search = cast(Any, config.plugins.get("material/search"))
        if search and self._made:
            search.search_index.entries.extend(index_documents(self._made[1]))

    @event_priority(-100)
    def on_post_build(self, *, config: MkDocsConfig) -> None:
        """Write the index as a script too: a page opened from the file system cannot read data files."""
        written = Path(config.site_dir, "search", "search_index.json")
        if written.exists():
            text = json.dumps(json.loads(written.read_text("utf-8")), separators=(",", ":"))
            written.with_suffix(".js").write_text(f"var __index = {text}", "utf-8")

    def _site(self) -> Site:
        stamp = _stamp(self.config.folders)
        if not self._made or self._made[0] != stamp:
            module, _, name = self.config.make.partition(":")
            try:
                made = getattr(import_module(module), name)([Path(folder) for folder in self.config.folders])
            except HandwheelError as error:
                raise PluginError(str(error)) from None
            self._made = stamp, made
        return self._made[1]

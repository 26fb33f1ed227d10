"""Hands finished pages to MkDocs and its theme. The only file that knows either."""

from __future__ import annotations

import os
from html import escape
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

from mkdocs.commands.build import build
from mkdocs.commands.serve import serve
from mkdocs.config import base, load_config
from mkdocs.config import config_options as c
from mkdocs.exceptions import Abort, MkDocsException, PluginError
from mkdocs.plugins import BasePlugin, event_priority
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.pages import Page as MkDocsPage
from mkdocs.structure.toc import AnchorLink, TableOfContents

from handwheel.pages.frames import Frame, fill, frame_of, mark
from handwheel.pages.navigation import Stamp, nav_data, nav_titles, source_of, stamp_of
from handwheel.pages.search_entries import index_documents
from handwheel.pages.site import Page, Site, TocEntry
from handwheel.records.errors import HandwheelError

if TYPE_CHECKING:
    from mkdocs.config.defaults import MkDocsConfig

PLACES = ("title", "description", "address", "content")
CONTENT_ID = "content"
"""Where the skip link leads; set in `theme/partials/content.html`."""


class FinishedPage(MkDocsPage):
    """A page whose HTML is finished: nothing is read, converted or parsed.

    The theme's templates do not escape what they are given, so texts are escaped here.
    """

    finished = ""
    """The whole page with its frame, for a page out of the navigation."""

    def __init__(self, made: Page, nav_title: str, file: File, config: MkDocsConfig) -> None:
        super().__init__(escape(nav_title), file, config)
        self.made = made
        self.framed = file.inclusion is InclusionLevel.NOT_IN_NAV
        self.meta = {"title": escape(made.title), "search": {"exclude": True}}
        self.meta["description"] = escape(made.description or config.site_description or made.title)
        self.meta["hide"] = ["navigation"] * self.framed + ["toc"] * (not made.toc)
        if self.framed:
            self.meta["template"] = "finished.html"

    def read_source(self, config: MkDocsConfig) -> None:  # noqa: ARG002
        """Nothing to read."""
        self.markdown = ""

    def render(self, config: MkDocsConfig, files: Files) -> None:  # noqa: ARG002
        """Take the HTML as it is; a framed page gets it later, past all that would look through it."""
        self.content = "" if self.framed else self.made.html
        self.toc = TableOfContents([_anchor(TocEntry(CONTENT_ID, self.made.title, self.made.toc), 1)])

    def fields(self) -> dict[str, str]:
        """What a frame is filled with."""
        texts = (self.meta["title"], self.meta["description"], self.canonical_url or "", self.made.html)
        return dict(zip(PLACES, texts, strict=True))

    def frame(self, template: Any, context: Any) -> Frame:
        """The theme's page around this one, with marks in the places of what differs."""
        kept = self.meta, self.canonical_url
        self.meta = {**self.meta, "title": mark("title"), "description": mark("description")}
        self.content = mark("content")
        self.canonical_url = self.canonical_url and mark("address")
        made = frame_of(template.render(context))
        (self.meta, self.canonical_url), self.content = kept, ""
        return made


def _anchor(entry: TocEntry, level: int) -> AnchorLink:
    made = AnchorLink(escape(entry.title), entry.anchor, level)
    made.children = [_anchor(child, level + 1) for child in entry.children]
    return made


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
        self._template: Any = None
        self._frames: dict[tuple[int, tuple[TocEntry, ...]], Frame] = {}

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
        site = self.site()
        config.nav = nav_data(site.nav, escape) or None
        kept = Files(file for file in files if file.src_dir != config.docs_dir)
        for asset in site.assets:
            kept.append(File.generated(config, asset.path, content=asset.content, inclusion=InclusionLevel.INCLUDED))
        titles = nav_titles(site.nav)
        for page in site.pages:
            level = InclusionLevel.INCLUDED if page.path in titles else InclusionLevel.NOT_IN_NAV
            file = File.generated(config, source_of(page.path), content="", inclusion=level)
            FinishedPage(page, titles.get(page.path, page.title), file, config)
            kept.append(file)
        return kept

    def on_env(self, env: Any, /, *, config: MkDocsConfig, files: Files) -> None:  # noqa: ARG002
        """Fill the theme's search index; frames are those of this build."""
        self._template, self._frames = env.get_template("main.html"), {}
        search = cast(Any, config.plugins.get("material/search"))
        if search:
            search.search_index.entries.extend(index_documents(self.site()))

    def on_page_context(self, context: Any, /, *, page: MkDocsPage, config: MkDocsConfig, nav: Any) -> None:  # noqa: ARG002
        """Put a page out of the navigation into its frame."""
        if isinstance(page, FinishedPage) and page.framed:
            key = page.url.count("/"), page.made.toc
            if key not in self._frames:
                self._frames[key] = page.frame(self._template, context)
            page.finished = fill(self._frames[key], page.fields())

    @event_priority(-100)
    def on_post_build(self, *, config: MkDocsConfig) -> None:
        """Write the index as a script too: a page opened from the file system cannot read data files."""
        written = Path(config.site_dir, "search", "search_index.json")
        if written.exists():
            written.with_suffix(".js").write_text(f"var __index = {written.read_text('utf-8')}", "utf-8")

    def take(self, site: Site) -> None:
        """Build this site, made before, instead of making it."""
        self._made = stamp_of(self.config.folders), site

    def site(self) -> Site:
        """The site of the content folders as they are now."""
        stamp = stamp_of(self.config.folders)
        if not self._made or self._made[0] != stamp:
            module, _, name = self.config.make.partition(":")
            try:
                made = getattr(import_module(module), name)([Path(folder) for folder in self.config.folders])
            except HandwheelError as error:
                raise PluginError(str(error)) from None
            self._made = stamp, made
        return self._made[1]


def build_site(config_file: Path, site: Site, site_dir: Path | None = None) -> Path:
    """Build a site that is made already, as a `mkdocs.yml` says; return the folder that it lies in."""
    config = _config(config_file, **({"site_dir": str(site_dir.resolve())} if site_dir else {}))
    plugin = config.plugins.get("handwheel")
    if not isinstance(plugin, HandwheelPlugin):
        raise HandwheelError(f"{config_file}: no plugin 'handwheel' in it; add it under 'plugins:'")
    plugin.take(site)
    try:
        build(config)
    except (Abort, MkDocsException) as error:
        raise HandwheelError(f"{config_file}: {error}") from None
    return Path(config.site_dir)


def serve_site(config_file: Path, address: str | None = None) -> None:
    """Preview, built anew at each change of the content, until the person stops it."""
    _config(config_file)
    options: dict[str, Any] = {"dev_addr": address} if address else {}
    try:
        serve(str(config_file), **options)
    except (Abort, MkDocsException) as error:
        raise HandwheelError(f"{config_file}: {error}") from None


def content_folders(config_file: Path) -> list[Path]:
    """The folders of content that a `mkdocs.yml` names, the library first."""
    return [Path(folder) for folder in _config(config_file).plugins["handwheel"].config["folders"]]


def _config(config_file: Path, **given: str) -> MkDocsConfig:
    os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")  # the theme's notice of its end of life is in DEVELOPERS.md
    try:
        return load_config(str(config_file), **given)
    except (Abort, MkDocsException) as error:
        raise HandwheelError(f"{config_file}: {error}") from None

"""Hands finished pages to MkDocs and its theme. The only file that knows either."""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from html import escape
from importlib import import_module
from importlib.metadata import entry_points
from pathlib import Path
from typing import Any, cast
from urllib.parse import urljoin, urlsplit

from mkdocs.commands.build import build, get_context
from mkdocs.commands.serve import serve
from mkdocs.config import base, load_config
from mkdocs.config import config_options as c
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import Abort, MkDocsException, PluginError
from mkdocs.plugins import BasePlugin, event_priority, get_plugins
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.pages import Page as MkDocsPage
from mkdocs.structure.toc import AnchorLink, TableOfContents
from mkdocs.utils import get_theme_names, write_file

from handwheel.pages.frames import Frame, fill, frame_of, mark, squeezed
from handwheel.pages.navigation import Stamp, nav_data, nav_titles, source_of, stamp_of
from handwheel.pages.search_entries import index_documents
from handwheel.pages.security_policy import with_policy
from handwheel.pages.site import Page, Site, TocEntry
from handwheel.reading.shipped import folders_of
from handwheel.records.errors import HandwheelError

THEME = str(Path(__file__).parent / "templates/theme")
"""Our own pieces of the theme, laid over it."""
PREVIEW = "make_preview"
"""What makes the site in a preview, where the module has it: drafts are shown there, and there only."""
_NEVER = "1970-01-01"
"""Bytes in a compressed file that would tell when it was made, where no day is known; shown nowhere."""
CONTENT_ID = "content"
"""Where the skip link leads; set in `theme/partials/content.html`."""


class FinishedPage(MkDocsPage):
    """A page whose HTML is finished: nothing is read, converted or parsed.

    The theme's templates do not escape what they are given, so texts are escaped here. A page that
    stands alone, in no section of the navigation, has no use for a side bar.
    """

    def __init__(self, made: Page, nav_title: str, file: File, config: MkDocsConfig, alone: bool = False) -> None:
        super().__init__(escape(nav_title), file, config)
        self._made = made
        self.changed = made.changed
        self.update_date = made.changed or _NEVER  # MkDocs' own is today, and a site would differ from day to day
        hide = ["navigation"] * alone + ["toc"] * (not made.toc)
        self.meta = {"title": escape(made.title), "search": {"exclude": True}, "hide": hide}
        self.meta["description"] = escape(made.description or made.title)

    def read_source(self, config: MkDocsConfig) -> None:  # noqa: ARG002
        """Nothing to read."""
        self.markdown = ""

    def render(self, config: MkDocsConfig, files: Files) -> None:  # noqa: ARG002
        """Take the HTML as it is."""
        self.content = self._made.html
        self.toc = TableOfContents([_anchor(TocEntry(CONTENT_ID, self._made.title, self._made.toc), 1)])


def _anchor(entry: TocEntry, level: int) -> AnchorLink:
    made = AnchorLink(escape(entry.title), entry.anchor, level)
    made.children = [_anchor(child, level + 1) for child in entry.children]
    return made


@dataclass(frozen=True)
class Framer:
    """Puts pages out of the navigation, thousands of them, into the theme's page around them."""

    env: Any
    nav: Any
    files: Files
    config: MkDocsConfig
    strict: bool = True
    """Whether pages carry their security policy; not in a preview, whose server adds a script of its own."""
    frames: dict[tuple[int, tuple[TocEntry, ...]], Frame] = field(default_factory=dict)

    def framed(self, page: Page) -> str:
        """The whole page, filled into the frame of its folder's depth."""
        key = page.path.count("/"), page.toc
        if key not in self.frames:
            marked = replace(page, title=mark("title"), description=mark("description"), html=mark("html"))
            self.frames[key] = frame_of(squeezed(self.rendered(marked, mark("address"))))
        texts = {"title": page.title, "description": page.description or page.title, "address": self.address(page)}
        return fill(self.frames[key], {place: escape(text) for place, text in texts.items()} | {"html": page.html})

    def address(self, page: Page) -> str:
        """Where the page will stand for good, where that is known."""
        return urljoin(self.config.site_url, page.path) if self.config.site_url else ""

    def rendered(self, page: Page, address: str) -> str:
        """The whole page as the theme's templates give it, which takes ten times as long."""
        level = InclusionLevel.NOT_IN_NAV
        file = File.generated(self.config, source_of(page.path), content="", inclusion=level)
        made = FinishedPage(page, page.title, file, self.config, alone=True)
        made.canonical_url = made.canonical_url and address
        made.render(self.config, self.files)
        context = get_context(self.nav, self.files, self.config, made)
        context = self.config.plugins.on_page_context(context, page=made, config=self.config, nav=self.nav)
        rendered: str = self.env.get_template("main.html").render(context)
        return with_policy(rendered, page.html) if self.strict else rendered


class HandwheelConfig(base.Config):  # type: ignore[no-untyped-call]
    """The plugin's part of `mkdocs.yml`."""

    folders = c.ListOfItems(c.Dir(exists=True), default=[])
    """Folders of content, the library first; a later one builds on those before it."""
    shop = c.Optional(c.Dir(exists=True))
    """A shop's folder, laid over the library that comes with handwheel; instead of `folders`."""
    make = c.Type(str, default="handwheel.pages.build:make_site")
    """What makes the site from the folders, `module:function`."""


class HandwheelPlugin(BasePlugin[HandwheelConfig]):  # type: ignore[no-untyped-call]
    """Puts a handwheel site in the place of MkDocs' own pages."""

    def __init__(self) -> None:
        self._made: tuple[Stamp, Site] | None = None
        self._nav: Any = None
        self._framer: Framer | None = None
        self._out: dict[str, Page] = {}
        self._asked: set[str] | None = None
        """In a preview: what a browser asked for so far. Other pages out of the navigation wait until it does."""

    def on_startup(self, *, command: str, dirty: bool) -> None:  # noqa: ARG002
        """Keep this object, and the site in it, between the rebuilds of a preview."""
        self._asked = set() if command == "serve" else None

    def on_config(self, config: MkDocsConfig) -> None:
        """Links are from file to file, so that the site opens from the file system; our pieces lie over the theme's."""
        config.use_directory_urls = False
        if THEME not in config.theme.dirs:
            config.theme.dirs.insert(0, THEME)
        config.watch.extend(map(str, self.folders()))

    def on_files(self, files: Files, /, *, config: MkDocsConfig) -> Files:
        """Replace what lies in the content folders by the pages of the navigation, and by the assets."""
        site = self.site()
        config.nav = nav_data(site.nav, escape) or None
        kept = Files(file for file in files if file.src_dir != config.docs_dir)
        if not config.site_url:  # a list of addresses without addresses
            config.theme.static_templates.discard("sitemap.xml")
        for asset in site.assets:
            kept.append(File.generated(config, asset.path, content=asset.content, inclusion=InclusionLevel.INCLUDED))
        titles, alone = nav_titles(site.nav), {item.path for item in site.nav if not item.children}
        self._out = {page.path: page for page in site.pages if page.path not in titles}
        for page in site.pages:
            if page.path in titles:
                file = File.generated(config, source_of(page.path), content="", inclusion=InclusionLevel.INCLUDED)
                FinishedPage(page, titles[page.path], file, config, alone=page.path in alone)
                kept.append(file)
        return kept

    def on_nav(self, nav: Any, /, *, config: MkDocsConfig, files: Files) -> None:  # noqa: ARG002
        """Keep the navigation for the frames."""
        self._nav = nav

    def on_env(self, env: Any, /, *, config: MkDocsConfig, files: Files) -> None:
        """Fill the theme's search index."""
        self._framer = Framer(env, self._nav, files, config, strict=self._asked is None)
        search = cast(Any, config.plugins.get("material/search"))
        if search:
            search.search_index.entries.extend(index_documents(self.site()))

    @event_priority(-100)
    def on_post_page(self, output: str, /, *, page: MkDocsPage, config: MkDocsConfig) -> str:  # noqa: ARG002
        """Give a page of the navigation its security policy."""
        return with_policy(output, page.content or "") if self._asked is None else output

    @event_priority(-100)
    def on_post_template(self, output: str, /, *, template_name: str, config: MkDocsConfig) -> str:  # noqa: ARG002
        """Give the page for wrong addresses its own."""
        return with_policy(output) if self._asked is None and template_name.endswith(".html") else output

    @event_priority(-100)
    def on_post_build(self, *, config: MkDocsConfig) -> None:
        """Write the pages out of the navigation, and the search index as a script for the file system."""
        for path in self._out if self._asked is None else self._asked:
            self._write(path, config)
        written = Path(config.site_dir, "search", "search_index.json")
        if written.exists():
            written.with_suffix(".js").write_text(f"var __index = {written.read_text('utf-8')}", "utf-8")

    def on_serve(self, server: Any, /, *, config: MkDocsConfig, builder: Any) -> None:  # noqa: ARG002
        """Write a page out of the navigation when it is first asked for."""
        answer, mount = server.get_app(), server.mount_path

        def app(environ: dict[str, Any], start_response: Any) -> Any:
            path = environ["PATH_INFO"].removeprefix(mount)
            if self._asked is not None and path in self._out and path not in self._asked:
                self._asked.add(path)
                self._write(path, config)
            return answer(environ, start_response)

        server.set_app(app)

    def take(self, site: Site) -> None:
        """Build this site, made before, instead of making it."""
        self._made = stamp_of(self.folders()), site

    def folders(self) -> list[Path]:
        """The folders of content, the library first."""
        shop = self.config.shop
        return list(folders_of(Path(shop))) if shop else [Path(folder) for folder in self.config.folders]

    def site(self) -> Site:
        """The site of the content folders as they are now."""
        stamp = stamp_of(self.folders())
        if not self._made or self._made[0] != stamp:
            module, _, name = self.config.make.partition(":")
            if self._asked is not None and hasattr(import_module(module), PREVIEW):
                name = PREVIEW
            try:
                made = getattr(import_module(module), name)(self.folders())
            except HandwheelError as error:
                raise PluginError(str(error)) from None
            self._made = stamp, made
        return self._made[1]

    def _write(self, path: str, config: MkDocsConfig) -> None:
        if self._framer and path in self._out:
            write_file(self._framer.framed(self._out[path]).encode(), str(Path(config.site_dir, path)))


def build_site(config_file: Path, site: Site, site_dir: Path | None = None) -> Path:
    """Build a site that is made already, as a `mkdocs.yml` says; return the folder that it lies in."""
    config = _config(config_file, **({"site_dir": str(site_dir.resolve())} if site_dir else {}))
    plugin = config.plugins.get("handwheel")
    if not isinstance(plugin, HandwheelPlugin):
        raise HandwheelError(f"{config_file}: no plugin 'handwheel' in it; add it under 'plugins:'")
    plugin.take(site)
    config.plugins.on_startup(command="build", dirty=False)
    try:
        build(config)
    except (Abort, MkDocsException) as error:
        raise HandwheelError(f"{config_file}: {error}") from None
    return Path(config.site_dir)


def site_folder(config_file: Path) -> Path:
    """The folder that a `mkdocs.yml` names for the site."""
    return Path(_config(config_file).site_dir)


def site_base(config_file: Path) -> str:
    """Where `site_url` lets the site stand on its server: `/`, or `/bench/`."""
    path = urlsplit(_config(config_file).site_url or "").path
    return f"/{path.strip('/')}/" if path.strip("/") else "/"


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
    return cast(HandwheelPlugin, _config(config_file).plugins["handwheel"]).folders()


@dataclass(frozen=True)
class ConfigFault:
    """What MkDocs has against a key of a configuration."""

    key: str
    said: str


@dataclass(frozen=True)
class KnownNames:
    """Names that stand in a configuration."""

    keys: tuple[str, ...]
    options: tuple[str, ...]
    """Of the plugin of this project."""
    plugins: tuple[str, ...]
    themes: tuple[str, ...]
    extensions: tuple[str, ...]


def known_names() -> KnownNames:
    """What may stand in a configuration here."""
    keys = tuple(key for key, _ in MkDocsConfig._schema)
    options = tuple(key for key, _ in HandwheelConfig._schema)
    plugins = {name.removeprefix("material/") for name in get_plugins()}
    extensions = sorted({each.name for each in entry_points(group="markdown.extensions")})
    return KnownNames(keys, options, tuple(sorted(plugins)), tuple(get_theme_names()), tuple(extensions))


def config_faults(config_file: Path) -> Iterator[ConfigFault]:
    """All that MkDocs has against a configuration, what it only warns of included."""
    config = MkDocsConfig(config_file_path=str(config_file))
    try:
        with config_file.open("rb") as file:
            config.load_file(file)
        errors, warnings = config.validate()
    except (Abort, MkDocsException) as error:
        yield ConfigFault("", str(error))
        return
    yield from dict.fromkeys(ConfigFault(key, str(said)) for key, said in (*errors, *warnings))


def _config(config_file: Path, **given: str) -> MkDocsConfig:
    os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")  # the theme's notice of its end of life is in DEVELOPERS.md
    try:
        return load_config(str(config_file), **given)
    except (Abort, MkDocsException) as error:
        raise HandwheelError(f"{config_file}: {error}") from None

"""The adapter: finished pages come out of MkDocs as they went in, quickly, and errors stay readable."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from mkdocs.commands.build import build
from mkdocs.config import load_config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.livereload import LiveReloadServer

from handwheel.pages.frames import squeezed
from handwheel.pages.mkdocs_adapter import Framer, build_site, content_folders
from handwheel.pages.site import Page
from handwheel.records.errors import HandwheelError
from pages import made_up_site

TESTS = Path(__file__).parents[1]
CONFIG = """
site_name: Bench
docs_dir: content
theme: {name: material, font: false, features: [navigation.prune]}
plugins:
  - search
  - handwheel: {folders: [content], make: "pages.made_up_site:make_site"}
extra_css: [assets/own.css]
"""


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A folder with a configuration and one content file."""
    (tmp_path / "content").mkdir()
    (tmp_path / "content/lamp.yaml").write_text("part: lamp\n")
    (tmp_path / "mkdocs.yml").write_text(CONFIG)
    return tmp_path


def configured(shop: Path, command: str = "build", **options: str) -> MkDocsConfig:
    """The configuration as the command would load it; MkDocs keeps a plugin like ours for the whole process."""
    config = load_config(str(shop / "mkdocs.yml"), **options)
    config.plugins.on_startup(command=command, dirty=False)  # type: ignore[arg-type]
    return config


def mkdocs_build(shop: Path) -> subprocess.CompletedProcess[str]:
    """Run the command as a person would."""
    env = os.environ | {"PYTHONPATH": str(TESTS)}
    command = [sys.executable, "-m", "mkdocs", "build"]
    return subprocess.run(command, cwd=shop, env=env, capture_output=True, text=True, check=False)


def test_pages_assets_and_index_are_written(shop: Path) -> None:
    """HTML passes through untouched; content files are not copied; the index holds our entries only."""
    result = mkdocs_build(shop)
    assert result.returncode == 0, result.stderr
    site = shop / "site"
    assert made_up_site.site().pages[2].html in (site / "variants/early/strip.html").read_text()
    assert "<title>Home &amp; bench - Bench</title>" in (site / "index.html").read_text()
    assert (site / "assets/own.css").exists()
    assert not list(site.rglob("*.yaml"))
    assert not (site / "sitemap.xml").exists()  # no address is known
    index = json.loads((site / "search/search_index.json").read_text())
    assert [entry["location"] for entry in index["docs"]] == [
        "parts/lamp.html",
        "variants/early/strip.html",
        "variants/early/strip.html#frame-off",
    ]
    script = (site / "search/search_index.js").read_text()
    assert json.loads(script.removeprefix("var __index = ")) == index


def test_pages_out_of_the_navigation_stay_out(shop: Path) -> None:
    """The deep page is nowhere in the home page; the navigation's own titles are."""
    mkdocs_build(shop)
    home = (shop / "site/index.html").read_text()
    assert "strip.html" not in home
    assert "The lamp" in (shop / "site/parts/lamp.html").read_text()


def test_links_are_relative_from_any_depth(shop: Path) -> None:
    """No page refers to the root of a server, so the site opens from any folder (404.html apart)."""
    mkdocs_build(shop)
    for page in (shop / "site").rglob("*.html"):
        if page.name != "404.html":
            text = page.read_text()
            assert 'href="/' not in text and 'src="/' not in text, page


def test_wrong_content_is_a_message_and_a_code(shop: Path) -> None:
    """The place and the way out are printed; no traceback; not 0; no page written."""
    (shop / "content/wrong.yaml").write_text("fform: x\n")
    result = mkdocs_build(shop)
    assert result.returncode == 1
    assert "wrong.yaml:1:1: unknown key 'fform'; did you mean 'form'?" in result.stderr
    assert "Traceback" not in result.stderr + result.stdout
    assert not (shop / "site/index.html").exists()


def test_two_builds_are_identical_to_the_byte(shop: Path) -> None:
    """The same content gives the same files."""

    def files() -> dict[str, bytes]:
        assert mkdocs_build(shop).returncode == 0
        root = shop / "site"
        return {str(path.relative_to(root)): path.read_bytes() for path in root.rglob("*") if path.is_file()}

    first = files()
    assert first and first == files()


def test_the_site_is_kept_between_rebuilds_until_content_changes(shop: Path) -> None:
    """A preview that is rebuilt for another reason does not read the content again."""
    config = configured(shop, "serve")
    made_up_site.CALLS.clear()
    build(config)
    again = load_config(str(shop / "mkdocs.yml"))
    build(again)
    assert len(made_up_site.CALLS) == 1
    (shop / "content/lamp.yaml").write_text("part: lamp \n")
    build(again)
    assert len(made_up_site.CALLS) == 2


def test_preview_watches_the_content_folders(shop: Path) -> None:
    """Folders of content are added to what `serve` watches."""
    config = configured(shop, "serve")
    config.plugins.on_config(config)
    assert str(shop / "content") in config.watch


@pytest.mark.parametrize("address", ["", "https://example.org/shop/"])
def test_a_page_in_its_frame_is_the_page_that_the_theme_renders(
    shop: Path, monkeypatch: pytest.MonkeyPatch, address: str
) -> None:
    """A filled frame and the theme's own rendering of the same page are equal but for blanks at line ends."""
    pairs: list[tuple[str, str]] = []
    framed = Framer.framed

    def both(self: Framer, page: Page) -> str:
        pairs.append((framed(self, page), self.rendered(page, self.address(page))))
        return pairs[-1][0]

    monkeypatch.setattr(Framer, "framed", both)
    build(configured(shop, site_url=address))
    assert len(pairs) == 1
    assert pairs[0][0] == (shop / "site/variants/early/strip.html").read_text()
    assert squeezed(pairs[0][0]) == squeezed(pairs[0][1])
    assert not re.search(r"<(pre|textarea)", pairs[0][0])  # elements that keep their blanks
    assert "<title>Strip the winder - Bench</title>" in pairs[0][0]
    assert (f'href="{address}variants/early/strip.html"' in pairs[0][0]) == bool(address)


def test_a_preview_writes_a_page_out_of_the_navigation_when_it_is_asked_for(shop: Path) -> None:
    """It is not there before, it is served, and it is written again by the next rebuild."""
    config = configured(shop, "serve")
    build(config, serve_url="http://127.0.0.1/")
    deep = shop / "site/variants/early/strip.html"
    assert (shop / "site/index.html").exists() and not deep.exists()
    server = LiveReloadServer(lambda: None, "127.0.0.1", 0, str(shop / "site"), "/sub/")
    config.plugins.on_serve(server, config=config, builder=lambda: None)
    answer: list[str] = []
    environ = {"PATH_INFO": "/sub/variants/early/strip.html", "REQUEST_METHOD": "GET"}
    body = b"".join(server.get_app()(environ, lambda status, _headers: answer.append(status)))
    server.server_close()
    assert answer == ["200 OK"] and b"frame-off" in body
    build(config, serve_url="http://127.0.0.1/")
    assert deep.exists()


def test_a_site_made_before_is_built_as_configured(shop: Path) -> None:
    """A command hands over its site and a folder; nothing is made again."""
    made_up_site.CALLS.clear()
    assert content_folders(shop / "mkdocs.yml") == [shop / "content"]
    where = build_site(shop / "mkdocs.yml", made_up_site.site(), shop / "elsewhere")
    assert where == shop / "elsewhere" and (where / "parts/lamp.html").exists()
    assert made_up_site.CALLS == []


def test_a_wrong_configuration_is_a_message(shop: Path) -> None:
    """Missing file, missing plugin: an error that a command prints."""
    with pytest.raises(HandwheelError, match=r"nowhere\.yml"):
        build_site(shop / "nowhere.yml", made_up_site.site())
    (shop / "mkdocs.yml").write_text("site_name: x\ndocs_dir: content\nplugins: []\n")
    with pytest.raises(HandwheelError, match="no plugin 'handwheel'"):
        build_site(shop / "mkdocs.yml", made_up_site.site())

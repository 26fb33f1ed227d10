"""`handwheel publish` as a person meets it."""

from __future__ import annotations

import json
import threading
import urllib.request
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from urllib.parse import urljoin

import pytest

from handwheel.cli.main import FINE, STOPPED, UNUSABLE, main
from handwheel.desk.publishing import STAGES
from handwheel.desk.site_links import BuiltSite, is_outside
from handwheel.pages import build
from written_small import SHOP, write_shop


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A good shop, with its folder as the place where commands are run."""
    made = write_shop(tmp_path)
    monkeypatch.chdir(tmp_path)
    return made


def outcomes(text: str) -> dict[str, str]:
    """Stage -> outcome."""
    return {each["name"]: each["outcome"] for each in json.loads(text)["stages"]}


def missing_under(site: Path, prefix: str) -> list[str]:
    """Files named by the home page and a page two folders down that a server of a sub-path does not give."""

    class Under(SimpleHTTPRequestHandler):
        def translate_path(self, path: str) -> str:
            return str(site / path.removeprefix(prefix)) if path.startswith(prefix) else str(site / "none" / "none")

        def log_message(self, *_: object) -> None:
            pass

    read, wrong = BuiltSite(site.resolve()), []
    with ThreadingHTTPServer(("127.0.0.1", 0), Under) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        for page in ("index.html", "404.html", "on/plover-first/lamp-off.html"):
            here = f"http://127.0.0.1:{server.server_port}{prefix}{page}"
            for link in read.pages[page][0]:
                if is_outside(link.target):  # the page's own address for good, for search engines
                    continue
                try:
                    urllib.request.urlopen(urljoin(here, link.target).partition("#")[0], timeout=10).close()
                except OSError as error:
                    wrong.append(f"{page}: {link.target}: {error}")
        server.shutdown()
    return wrong


def test_published_and_again(
    shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """In place at the first run, nothing new at the second, and a summary where the host asks for one."""
    monkeypatch.setenv("SUMMARY_FILE", str(tmp_path / "summary.md"))
    config = shop.parent / "mkdocs.yml"
    config.write_text(config.read_text("utf-8") + "site_url: https://notes.example.org/a/b/\n", "utf-8")
    once = ["publish", "www", "shop", "--no-walk", "--json", "--summary", "SUMMARY_FILE"]
    assert main(once) == FINE
    assert (shop.parent / "www/index.html").is_file()
    assert missing_under(shop.parent / "www", "/a/b/") == []
    told = outcomes(capsys.readouterr().out)
    assert tuple(told) == STAGES
    assert {name for name, how in told.items() if how != "done"} == {"links outside"}
    assert main(once) == FINE
    assert "serves the same files already" in capsys.readouterr().err
    assert len(list((shop.parent / "www.releases").glob("0*/"))) == 1
    assert (tmp_path / "summary.md").read_text().count("| place | done |") == 2
    assert main(["publish", "www", "--back"]) == UNUSABLE


def test_a_finding_stops_it(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Nothing is put in place; the stages that were not run are told."""
    wrong = SHOP.replace("- use: wipe-down\n", "- one_of: [{when: {lamp: bracket}, steps: [{do: Fold it.}]}]\n", 1)
    (shop / "shop.yaml").write_text(wrong)
    assert main(["publish", "www", "shop", "--json"]) == STOPPED
    told = outcomes(capsys.readouterr().out)
    assert told["check"] == "stopped" and set(list(told.values())[1:]) == {"not run"}
    assert not (shop.parent / "www").exists()


def test_a_broken_link_stops_it(
    shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """It names the page; nothing is put in place."""
    home = build.home_page

    def with_fault(desk: object) -> object:
        from dataclasses import replace  # noqa: PLC0415

        page = home(desk)  # type: ignore[arg-type]
        return replace(page, html=page.html + '<a href="gone.html">x</a>', source="shop.yaml:1")

    monkeypatch.setattr(build, "home_page", with_fault)
    assert main(["publish", "www", "shop", "--no-walk"]) == STOPPED
    said = capsys.readouterr().err
    assert "'gone.html': there is no gone.html, made from shop.yaml:1" in said
    assert not (shop.parent / "www").exists()
    assert [each.name for each in (shop.parent / "www.releases").iterdir()] == [".lock"]


def test_no_target(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """It says what to name."""
    assert main(["publish"]) == UNUSABLE
    assert "or say --no-place" in capsys.readouterr().err


def test_a_folder_of_ones_own(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Never replaced; said before any work is done."""
    (shop.parent / "www").mkdir()
    assert main(["publish", "www", "shop"]) == UNUSABLE
    assert "move it away" in capsys.readouterr().err

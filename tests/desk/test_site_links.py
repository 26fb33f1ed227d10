"""Links of a built site: each broken one is found, by both judges where both look."""

from __future__ import annotations

from pathlib import Path

import pytest

from handwheel.desk.link_walk import walked_links
from handwheel.desk.site_links import BuiltSite, bad_links

GOOD = (
    '<p id="top"><a href="a/b.html#here">b</a><a href="#top">t</a><a href="mailto:x@y.invalid">m</a><img src="i.svg">'
)
OTHER = '<p id="here"><a href="../index.html?x=1#top">home</a><a href="../">home</a><img src="../i.svg">'


def site(folder: Path, planted: str = "") -> Path:
    """Two pages and a picture, with something planted on the first."""
    (folder / "a").mkdir()
    (folder / "index.html").write_text(f"<!doctype html><title>x</title>{GOOD}{planted}")
    (folder / "a/b.html").write_text(f"<!doctype html><title>x</title>{OTHER}")
    (folder / "i.svg").write_text('<svg xmlns="http://www.w3.org/2000/svg"/>')
    return folder


def test_sound_site(tmp_path: Path) -> None:
    """Nothing is found where nothing is wrong."""
    made = site(tmp_path)
    assert bad_links(BuiltSite(made), {}) == [] and walked_links(made, {}) == []


@pytest.mark.parametrize(
    ("planted", "said"),
    [
        ('<a href="gone.html">', "there is no gone.html"),
        ('<img src="gone.png">', "there is no gone.png"),
        ('<script src="gone.js"></script>', "there is no gone.js"),
        ('<link rel="stylesheet" href="gone.css">', "there is no gone.css"),
        ('<a href="a/b.html#gone">', "there is no 'gone' on a/b.html"),
        ('<a href="#gone">', "there is no 'gone' on index.html"),
        ('<a href="/a/b.html">', "not relative, so it breaks where the site is served under a folder"),
        ('<a href="file:///a/b.html">', "not relative, so it breaks where the site is served under a folder"),
        ('<a href="../x.html">', "it leads out of the site"),
        ('<a href="A/b.html">', "there is no A/b.html"),
    ],
)
def test_planted(tmp_path: Path, planted: str, said: str) -> None:
    """One planted fault, one finding, with the page and the place in the content."""
    found = bad_links(BuiltSite(site(tmp_path, planted)), {"index.html": "shop.yaml:3"})
    assert [(each.what, each.page, each.source) for each in found] == [(said, "index.html", "shop.yaml:3")]
    assert "made from shop.yaml:3" in found[0].sentence


def test_linkchecker_sees_a_missing_file(tmp_path: Path) -> None:
    """It runs and it can fail; the path of the build is not told."""
    found = walked_links(site(tmp_path, '<a href="gone.html">'), {"index.html": "shop.yaml:3"})
    assert [(each.page, each.target, each.source) for each in found] == [("index.html", "gone.html", "shop.yaml:3")]
    assert str(tmp_path) not in found[0].sentence


def test_a_link_on_many_pages_of_a_folder_is_walked_once_and_told_of_for_each(tmp_path: Path) -> None:
    """Once a folder by the walk, since the same words lead elsewhere from another; our own reading names each page."""
    made = site(tmp_path, '<a href="gone.html#one">x</a><a href="c.html">c</a>')
    for name in ("c.html", "a/c.html"):
        (made / name).write_text('<title>x</title><a href="gone.html#two">x</a><a href="b.html">b</a>')
    (made / "b.html").write_text('<title>x</title><a href="a/c.html">c</a>')
    pages = [each.page for each in bad_links(BuiltSite(made), {})]
    assert pages == ["a/c.html", "c.html", "index.html"]
    walked = walked_links(made, {})
    assert {Path(each.page).parent.as_posix() for each in walked} == {".", "a"} and len(walked) == 2


def test_the_walk_reads_whatever_can_name_a_file(tmp_path: Path) -> None:
    """Not only what our own reading knows: LinkChecker's list of elements is asked."""
    planted = '<object data="p.png"></object><form action="f.html"></form><img srcset="i.svg 1x, s.png 2x">'
    planted += '<p style="background: url(u.png)"></p><!-- <a href="no.html"> -->'
    found = walked_links(site(tmp_path, planted), {})
    assert [each.target for each in found] == ["f.html", "p.png", "s.png", "u.png"]


@pytest.mark.parametrize("base", ["/", "/bench/", "/a/b/"])
def test_the_page_for_wrong_addresses_starts_where_the_site_stands(tmp_path: Path, base: str) -> None:
    """It is served at every depth, so its links are from the server's root; on no other page are they."""
    made = site(tmp_path)
    links = [f"{base}a/b.html#here", f"{base}i.svg", base, f"{base}gone.html", "/other/index.html"]
    (made / "404.html").write_text("<title>x</title>" + "".join(f'<a href="{each}">x</a>' for each in links))
    wrong = {each.target: each.what for each in bad_links(BuiltSite(made, base), {})}
    assert list(wrong) == sorted([f"{base}gone.html", "/other/index.html"])
    assert wrong[f"{base}gone.html"] == "there is no gone.html"

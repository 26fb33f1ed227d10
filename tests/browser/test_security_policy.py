"""The security policy of every page, in a real browser: what the site needs works, what was slipped in does not.

Published source: Content Security Policy Level 3 (W3C). From a server and from the file system alike.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page

from browser.harness import served
from browser.test_demo import kinds
from handwheel.pages.security_policy import with_policy

pytestmark = pytest.mark.browser
HEARD = """window.broken = [];
document.addEventListener("securitypolicyviolation", e => broken.push(e.violatedDirective + " " + e.blockedURI));"""
WAYS = ["served", "from files"]
META = re.compile(r'<meta http-equiv="Content-Security-Policy"[^>]*>')
SLIPPED_IN = """<script>window.hit = "script"</script><img src="nowhere.png" onerror="window.hit = 'handler'">
<a id="js" href="javascript:void(window.hit='address')">x</a><script src="{other}/x.js"></script>
<img src="{other}/x.png">
<link rel="stylesheet" href="{other}/x.css"><p id="coloured" style="color: rgb(1, 2, 3)">x</p>
<form id="form" action="{other}/form"><button>x</button></form><iframe src="{other}/"></iframe>"""


@pytest.fixture
def other(tmp_path: Path) -> Iterator[str]:
    """Another host: the same machine at another port, which is another origin."""
    folder = tmp_path / "other"
    folder.mkdir()
    (folder / "x.js").write_text("window.hit = 'other script'")
    (folder / "x.css").write_text("#coloured {color: rgb(1, 2, 3)}")
    (folder / "x.png").write_bytes(b"")
    (folder / "index.html").write_text("<script>parent.hit = 'frame'</script>")
    with served(folder) as root:
        yield root


def start(way: str, demo: Path, demo_url: str) -> str:
    """Where the site begins."""
    return demo_url if way == "served" else demo.as_uri()


@pytest.mark.parametrize("way", [pytest.param("served", marks=pytest.mark.long), "from files"])
def test_no_page_breaks_its_own_policy(page: Page, demo: Path, demo_url: str, way: str) -> None:
    """One page of each kind: it carries a policy, the theme's scripts ran, nothing was blocked."""
    page.add_init_script(HEARD)
    told: list[str] = []
    page.on("console", lambda line: told.append(line.text) if "Content Security Policy" in line.text else None)
    wrong: dict[str, object] = {}
    names = kinds(demo)
    assert {"identify.html", "notes.html", "screw.html", "checks.html"} <= set(names)
    assert {"keys", "on", "jobs", "procedures", "parts"} <= {each.partition("/")[0] for each in names}
    for name in names:
        page.goto(f"{start(way, demo, demo_url)}/{name}")
        ran = page.evaluate("() => typeof __md_get === 'function' && !document.documentElement.matches('.no-js')")
        broken = page.evaluate("broken")
        if broken or not ran or page.locator("meta[http-equiv=Content-Security-Policy]").count() != 1:
            wrong[name] = broken or f"the theme ran: {ran}"
    assert (wrong, told) == ({}, [])


@pytest.mark.parametrize("way", WAYS)
def test_search_and_colours_work_under_it(page: Page, demo: Path, demo_url: str, way: str) -> None:
    """A search finds something, and dark is remembered on the next page."""
    page.add_init_script(HEARD)
    page.goto(f"{start(way, demo, demo_url)}/index.html")
    page.locator("label[for=__palette_1]").click()
    page.goto(f"{start(way, demo, demo_url)}/notes.html")
    assert page.locator("body").get_attribute("data-md-color-scheme") == "slate"
    page.locator(".md-search__input").click()
    page.locator(".md-search__input").press_sequentially("lamp", delay=20)
    page.locator(".md-search-result__item").first.wait_for()
    assert page.evaluate("broken") == []


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("held", [True, False], ids=["with the policy", "without it"])
def test_what_is_slipped_in(chromium: object, tmp_path: Path, demo: Path, other: str, way: str, held: bool) -> None:
    """It neither runs nor loads; the same page without its policy shows that the test could see it."""
    text = (demo / "index.html").read_text("utf-8")
    assert META.search(text)
    text = text.replace("</article>", SLIPPED_IN.format(other=other) + "</article>")
    page_file = tmp_path / "site/index.html"
    page_file.parent.mkdir()
    page_file.write_text(text if held else META.sub("", text), "utf-8")
    with served(page_file.parent) as root:
        seen = happened(chromium, root if way == "served" else page_file.parent.as_uri(), other)
    all_of_it = {"script", "x.js", "x.png", "x.css", "", "coloured", "handler", "address", "form"}
    assert seen == (set() if held else all_of_it)


def happened(chromium: object, root: str, other: str) -> set[str]:
    """What came of what was slipped in: scripts that ran, files of the other host that were fetched."""
    seen: set[str] = set()
    page = chromium.new_page()  # type: ignore[attr-defined]
    page.add_init_script("Object.defineProperty(window, 'hit', {set: v => (window.hits ??= []).push(v), get: () => 0})")
    page.on("response", lambda got: seen.update({got.url.rpartition("/")[2]} if got.url.startswith(other) else ()))
    page.goto(f"{root}/index.html", wait_until="load")
    page.evaluate("document.getElementById('js').click()")
    page.wait_for_timeout(200)
    seen |= set(page.evaluate("window.hits || []")) - {"other script", "frame"}
    if page.evaluate("getComputedStyle(document.getElementById('coloured')).color") == "rgb(1, 2, 3)":
        seen.add("coloured")
    page.evaluate("document.getElementById('form').submit()")
    page.wait_for_timeout(1000)
    page.close()
    return {each.removesuffix("?") for each in seen}


def test_a_script_in_our_part_of_the_page_gets_no_leave() -> None:
    """Only what the theme's frame carries is let run; in the content it would be an injection."""
    content = "<h1>x</h1><script>hit()</script>"
    made = with_policy(f'<meta charset="utf-8"><script>frame()</script>{content}', content)
    frame_only = with_policy('<meta charset="utf-8"><script>frame()</script>')
    assert META.findall(made) == META.findall(frame_only) and "sha256-" in META.findall(made)[0]

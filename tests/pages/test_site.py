"""Links and search entries of a site."""

from __future__ import annotations

import posixpath
from urllib.parse import urljoin

from hypothesis import given
from hypothesis import strategies as st

from handwheel.pages.search_entries import entries_of, index_documents
from handwheel.pages.site import link, nav_paths
from pages.made_up_site import site

PATHS = st.lists(st.from_regex(r"[a-z][a-z0-9-]{0,5}", fullmatch=True), min_size=1, max_size=4).map("/".join)


@given(PATHS, PATHS, st.sampled_from(["https://example.org/", "https://example.org/any/sub/path/", "file:///home/x/"]))
def test_links_resolve_under_any_root(page: str, target: str, root: str) -> None:
    """A browser that resolves the link from the page (RFC 3986, section 5.2) arrives at the target."""
    assert urljoin(root + page, link(page, target)) == root + target
    assert not posixpath.isabs(link(page, target))


def test_every_location_once_and_its_page_first() -> None:
    """The theme files a place under its page, so the page's entry must have been read before."""
    assert [entry.location for entry in entries_of(site())] == [
        "parts/lamp.html",
        "variants/early/strip.html",
        "variants/early/strip.html#frame-off",
    ]


def test_index_is_html_escaped() -> None:
    """What was written as text is shown as text."""
    assert index_documents(site())[0] == {
        "location": "parts/lamp.html",
        "title": "Lamp &lt;hinged&gt;",
        "text": "gives light &amp; heat",
    }


def test_navigation_order() -> None:
    """Paths come in the order of the navigation."""
    assert list(nav_paths(site().nav)) == ["index.html", "parts/lamp.html"]

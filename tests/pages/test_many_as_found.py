"""A family with few machines as built and too many as found has its pages; only the data of as found is left out."""

from __future__ import annotations

import pytest

from handwheel.checks.runner import run
from handwheel.pages.build import site_of
from handwheel.records.errors import HandwheelError
from many_cases import FORMS, made


def test_the_patterns_have_their_pages() -> None:
    library = made(("plain",), ("round",), ("square",))
    site = site_of(library, run(library))
    assert "on/first/off-3.html" in {page.path for page in site.pages}
    assert not [asset.path for asset in site.assets if asset.path.startswith("assets/found/")]


def test_what_is_too_much_even_as_built_is_told_in_words() -> None:
    library = made(FORMS[:3], FORMS[:3], FORMS[:3])
    with pytest.raises(HandwheelError, match="pages cannot be made: at least"):
        site_of(library, run(library))

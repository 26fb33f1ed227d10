"""A family with few machines as built and too many as found has its pages; only the data of as found is left out."""

from __future__ import annotations

import pytest

from handwheel.checks.runner import run
from handwheel.pages.build import site_of
from handwheel.records.errors import HandwheelError
from handwheel.records.library import Library
from shopkit import by, fastener, feature, part, procedure, shop, step, variant

PIECES = 15
FORMS = ("plain", "round", "square", "none")


def made(*built: tuple[str, ...]) -> Library:
    """Pieces that change hands, each taken off by a procedure of its own."""
    numbers = range(PIECES)
    return shop(
        *(feature(f"form-{n}", *FORMS, swapped="often", carried_by=f"piece-{n}") for n in numbers),
        *(
            variant(name, **{f"form-{n}": forms for n in numbers})
            for name, forms in zip(("first", "second", "third"), built, strict=True)
        ),
        part("head", root=True),
        *(part(f"piece-{n}", when={f"form-{n}": list(FORMS[:3])}) for n in numbers),
        *(fastener(f"screw-{n}", f"piece-{n}") for n in numbers),
        *(procedure(f"off-{n}", by(f"form-{n}", **_arms(n), none=[])) for n in numbers),
    )


def _arms(n: int) -> dict[str, list[object]]:
    return {form: [step("Take it off.", id=f"off-{n}-{form}", removes=f"piece-{n}")] for form in FORMS[:3]}


def test_the_patterns_have_their_pages() -> None:
    library = made(("plain",), ("round",), ("square",))
    site = site_of(library, run(library))
    assert "on/first/off-3.html" in {page.path for page in site.pages}
    assert not [asset.path for asset in site.assets if asset.path.startswith("assets/found/")]


def test_what_is_too_much_even_as_built_is_told_in_words() -> None:
    library = made(FORMS[:3], FORMS[:3], FORMS[:3])
    with pytest.raises(HandwheelError, match="pages cannot be made: at least"):
        site_of(library, run(library))

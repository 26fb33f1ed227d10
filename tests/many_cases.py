"""A family with few machines as built and too many as found."""

from __future__ import annotations

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

"""Published examples of applicability, each counted again by hand or by listing every combination.

Exact throughout: these are counts. Sources: the sample condition of the S1000D bicycle data set, the rule of DITA 1.3
for filtering, and the front page of the Universal Variability Language. The toy family is listed in full beside it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import product

import pytest

from handwheel.machines.alternatives import split
from handwheel.machines.conditions import All, Any, Condition, Is, Not
from handwheel.machines.machine import Known
from handwheel.machines.questions import Family, Feature, Variant
from handwheel.machines.space import Space
from handwheel.machines.truth import Always, Contradiction, Depends, Never, truth


def one(question: str, *forms: str) -> Condition:
    return Is(question, frozenset(forms))


def space_of(forms: Mapping[str, Sequence[str]], *cannot: Condition) -> Space:
    """Every combination of the forms but those that cannot stand."""
    features = tuple(Feature(name, tuple(each), swapped="often") for name, each in forms.items())
    return Space(Family("published", (Variant("any"),), features, cannot_stand=cannot))


def test_the_bicycle_of_s1000d() -> None:
    """Mountain bicycle, and (storm Mk1 or trekker Mk9): true in 2 of 8."""
    bicycles = space_of({"type": ("mountain", "other"), "model": ("storm", "trekker"), "version": ("mk1", "mk9")})
    pairs = All((one("model", "storm"), one("version", "mk1"))), All((one("model", "trekker"), one("version", "mk9")))
    condition = All((one("type", "mountain"), Any(pairs)))
    assert bicycles.count(bicycles.all) == 8
    assert bicycles.count(bicycles.mask(condition)) == 2


@pytest.mark.parametrize(
    ("product_is", "platform_is", "stays"),
    [({"B"}, {"X"}, True), ({"C"}, {"X"}, False), ({"A", "B"}, {"Y"}, False), ({"A"}, {"X"}, True)],
)
def test_the_filter_of_dita(product_is: set[str], platform_is: set[str], stays: bool) -> None:
    """DITA 1.3, filtering: product 'A B' and platform 'X' go when all values of one attribute are excluded."""
    filtered = space_of({"product": ("A", "B", "C"), "platform": ("X", "Y")})
    element = All((one("product", "A", "B"), one("platform", "X")))
    known = Known(forms={"product": frozenset(product_is), "platform": frozenset(platform_is)})
    assert truth(filtered, element, known) == (Always() if stays else Never())


def test_the_sandwich_of_uvl() -> None:
    """Sauce ketchup, mustard or none, cheese or not, ketchup only with cheese: 5 products."""
    without = All((one("sauce", "ketchup"), one("cheese", "no")))
    sandwiches = space_of({"sauce": ("ketchup", "mustard", "none"), "cheese": ("yes", "no")}, without)
    assert sandwiches.count(sandwiches.all) == 5


FORMS = {"drive": ("hand", "treadle", "motor"), "bed": ("flat", "free"), "shuttle": ("long", "round")}
MOTOR, FREE, LONG, FLAT = one("drive", "motor"), one("bed", "free"), one("shuttle", "long"), one("bed", "flat")
TOY = space_of(FORMS, All((MOTOR, LONG)), All((FREE, LONG)))
LEGAL = [
    (drive, bed, shuttle)
    for drive, bed, shuttle in product(*FORMS.values())
    if shuttle == "round" or (drive != "motor" and bed != "free")
]


def test_the_toy_family_has_eight_of_twelve() -> None:
    assert len(LEGAL) == TOY.count(TOY.all) == 8


def test_alternatives_that_leave_nothing_out_and_nothing_twice() -> None:
    """Good set 0 gaps and 0 overlaps; bad set 2 gaps and 3 overlaps, counted again over the full list."""
    good = split(TOY, [LONG, All((one("shuttle", "round"), Not(MOTOR))), MOTOR])
    assert good.exact
    bad = split(TOY, [FLAT, MOTOR, LONG])
    assert (TOY.count(bad.none), TOY.count(bad.several)) == (2, 3)
    hits = [(bed == "flat") + (drive == "motor") + (shuttle == "long") for drive, bed, shuttle in LEGAL]
    assert (hits.count(0), sum(count > 1 for count in hits)) == (2, 3)


def known(**forms: str) -> Known:
    return Known(forms={question: frozenset({form}) for question, form in forms.items()})


@pytest.mark.parametrize(
    ("said", "condition", "kind"),
    [
        (Known(), one("bed", "flat", "free"), Always),  # a table of three-valued logic would say unknown
        (known(drive="motor"), one("shuttle", "round"), Always),
        (known(drive="hand"), one("shuttle", "round"), Depends),
        (known(bed="free"), LONG, Never),
        (known(drive="motor", shuttle="long"), FLAT, Contradiction),
    ],
)
def test_what_is_known_in_part(said: Known, condition: Condition, kind: type) -> None:
    assert isinstance(truth(TOY, condition, said), kind)


def test_a_contradiction_names_both_looks() -> None:
    assert truth(TOY, FLAT, known(drive="motor", shuttle="long")) == Contradiction(("drive", "shuttle"))

"""Combinations that cannot stand, told as reasons: no machine that can stand shows one, and each is said in words."""

from __future__ import annotations

from functools import cache
from itertools import product
from pathlib import Path

import pytest

from handwheel.identify.answer import identify
from handwheel.identify.barred import bars_of
from handwheel.identify.evidence import Evidence, saw
from handwheel.identify.subjects import names_of, tables_for
from handwheel.identify.telling import as_data, lines
from handwheel.machines.machine import Known
from handwheel.machines.space import Space
from handwheel.reading.load import load
from handwheel.reading.shipped import folders_of
from handwheel.records.families import family_of
from handwheel.records.library import Library


@cache
def demo() -> Library:
    return load(folders_of(Path(__file__).parents[2] / "demo_content"))


@pytest.mark.parametrize("family", ["skerry", "holm"])
def test_no_machine_that_can_stand_shows_one(family: str) -> None:
    library, bars = demo(), list(bars_of(demo(), family))
    assert len(bars) == len(library.families[family].cannot_stand), "each of the demo is forms side by side"
    for bar in bars:
        space = Space(family_of(library, family), [feature for feature, _ in bar.forms])
        for variant, *forms in product(bar.variants, *(sorted(own) for _, own in bar.forms)):
            shown = {feature: frozenset((form,)) for (feature, _), form in zip(bar.forms, forms, strict=True)}
            assert not space.known(Known(frozenset((variant,)), shown))
            assert bar.holds(variant, shown)
            assert not any(bar.holds(variant, {k: v for k, v in shown.items() if k != each}) for each in shown)


def test_it_is_said_in_place_of_an_exchange_that_cannot_be() -> None:
    tables, names = tables_for(demo(), "skerry"), names_of(demo(), "skerry")
    seen = Evidence((saw("bed-edge", "round"), saw("winder-seat", "well"), saw("tension", "nut"), saw("lamp", "clamp")))
    answer = identify(tables, seen)
    text = "\n".join(lines(tables, seen, answer, names))
    reason = "Pattern 24 cannot have tension unit: a plain thumb nut. Their studs are loose in the wider bore."
    assert reason in text and reason in as_data(tables, seen, answer, names)["whyNot"]["skerry-24"]
    assert "Pattern 24 left the works with tension unit" not in text
    assert "Pattern 24 left the works with lamp: on a jointed arm" in text


def test_two_forms_are_said_together() -> None:
    tables, names = tables_for(demo(), "skerry"), names_of(demo(), "skerry")
    seen = Evidence((saw("winder", "trip", "plain"), saw("winder-seat", "well"), saw("winder", "trip")))
    text = "\n".join(lines(tables, seen, identify(tables, seen), names))
    assert "cannot have bobbin winder: a finger on the thread throws it off the wheel and seat for the winder: " in text
    assert "together. Both swing on the lug of the pillar." in text

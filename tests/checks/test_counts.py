"""What the counts of a shop say, on shops of which it is known by looking."""

from __future__ import annotations

from pathlib import Path

import pytest

from handwheel.checks.bench import Bench
from handwheel.checks.counts import Count, counts
from handwheel.cli.main import FINE, main
from handwheel.records.library import Library
from shopkit import by, feature, part, procedure, setting, shop, step, variant

DEMO = Path(__file__).parents[2] / "demo_content"


def counted(library: Library) -> dict[str, Count]:
    bench = Bench(library)
    return {each.what: each for each in counts(library, bench.sites, bench.forks)}


def made(*steps: object) -> Library:
    return shop(
        features=[feature("lamp", "bracket", "stalk", "none", "band")],
        variants=[variant("second", lamp="bracket"), variant("fourth", lamp=("stalk", "none"))],
        parts=[part("head", root=True), part("lamp", when={"lamp": ["bracket", "stalk"]})],
        settings=[setting("reach")],
        procedures=[procedure("lamp-off", *steps)],
    )


def test_a_part_that_is_only_taken_off_is_named() -> None:
    off = step("Undo it.", removes="lamp")
    on = step("Fit it.", fits="lamp")
    back = "parts taken off that a step puts back"
    assert counted(made(off))[back] == Count(back, 1, ("lamp",))
    assert counted(made(off, on))[back] == Count(back, 1, ())
    assert counted(made(on))[back] == Count(back, 0, ())


def test_a_setting_that_no_step_sets_is_named() -> None:
    what = "settings that a step sets"
    assert counted(made(step("Look.")))[what].lacking == ("reach",)
    assert counted(made(step("Set it.", sets="reach")))[what].lacking == ()


FORMS = "forms by which a step differs"


def test_forms_that_no_step_tells_apart_are_named_and_those_never_met_are_not_counted() -> None:
    assert counted(made(step("Look.")))[FORMS] == Count(FORMS, 3, ("lamp=bracket", "lamp=stalk", "lamp=none"))
    told = by("lamp", bracket=[step("Undo it.")], stalk=[step("Draw it.")], none=[])
    assert counted(made(told))[FORMS].lacking == ()
    one = step("Undo it.", when={"lamp": "bracket"})
    assert counted(made(one))[FORMS].lacking == ("lamp=stalk", "lamp=none")


def test_the_demo_has_none_left_out(capsys: pytest.CaptureFixture[str]) -> None:
    """Every part taken off comes back, every form changes a step, every setting is set: what its brief asks for."""
    assert main(["check", str(DEMO), "--counts"]) == FINE
    lines = dict(line.split(": ", 1) for line in capsys.readouterr().out.splitlines() if " of " in line)
    for what in ("parts taken off that a step puts back", FORMS, "settings that a step sets"):
        some, _, of = lines[what].partition(" of ")
        assert some == of and int(of) > 20

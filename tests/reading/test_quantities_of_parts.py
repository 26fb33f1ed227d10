"""A quantity of the wrong kind, without a unit, negative or impossible: its place, and what would be right."""

from __future__ import annotations

from pathlib import Path

import pytest

from handwheel.checks.bench import Bench
from handwheel.checks.registry import rules_by_id
from handwheel.checks.runner import judge
from handwheel.pages.electrics_html import electrics_facts
from handwheel.pages.here import Desk
from handwheel.reading.load import load
from handwheel.records.errors import InputErrors

GOOD = {
    "heat_limit": "60 degC", "mass": "1 kg", "watts": "70 W", "amps": "0.4 A", "volts": "[220 V, 240 V]",
    "carries": "unmarked", "lamp_up_to": "15 W", "length": "7 mm", "tighten": "0.7 N m", "needs_clamp": "300 N",
    "mains": "230 V",
}  # fmt: skip
SHOP = """\
families: {plover: {name: Plover}}
variants: {one: {name: One, family: plover}}
materials:
  iron: {name: iron, heat_limit: %(heat_limit)s}
shops:
  bench: {name: Bench, mains: %(mains)s}
fasteners:
  lug-screw: {name: lug screw, holds: [motor], length: %(length)s, tighten: %(tighten)s, needs_clamp: %(needs_clamp)s}
parts:
  head: {name: head, root: true}
  motor: {name: motor, powers: true, electrical: true, rests: true, material: iron, mass: %(mass)s,
    watts: %(watts)s, amps: %(amps)s, volts: %(volts)s, carries: %(carries)s, lamp_up_to: %(lamp_up_to)s}
"""


def shop(folder: Path, **bad: str) -> Path:
    (folder / "shop").mkdir()
    (folder / "shop" / "shop.yaml").write_text(SHOP % {**GOOD, **bad}, "utf-8")
    return folder / "shop"


@pytest.mark.parametrize(
    ("key", "value", "words"),
    [
        ("tighten", "5 N", "is a force, not a torque; a torque is a force times its lever, such as '0.7 N m'"),
        ("needs_clamp", "300 N m", "is a torque, not a force; write it as '150 N'"),
        ("length", "-3 mm", "is not more than nothing"),
        ("length", "7 smoots", "unknown unit 'smoots'"),
        ("mass", "-1 kg", "is not more than nothing"),
        ("watts", "70 V", "is a voltage, not a power"),
        ("watts", "-70 W", "is not more than nothing"),
        ("amps", "0.4 W", "is a power, not a current"),
        ("volts", "230", "has no unit"),
        ("volts", "[220 V, 240 W]", "is a power, not a voltage"),
        ("carries", "0.6", "has no unit"),
        ("lamp_up_to", "plenty", "does not start with a number"),
        ("mains", "230 Hz", "is a frequency, not a voltage"),
        ("heat_limit", "60 N", "is a force, not a temperature"),
        ("heat_limit", "-300 degC", "lies below absolute zero"),
    ],
)
def test_it_is_not_taken(tmp_path: Path, key: str, value: str, words: str) -> None:
    with pytest.raises(InputErrors) as told:
        load([shop(tmp_path, **{key: value})])
    assert words in str(told.value)
    assert "right: " in str(told.value)


@pytest.mark.parametrize(
    ("key", "value", "words"),
    [
        ("watts", "6000 W", "0.1 W to 2000 W"),
        ("amps", "900 A", "0.001 A to 20 A"),
        ("volts", "[220 V, 24 kV]", "1 V to 480 V"),
        ("carries", "900 A", "0.001 A to 20 A"),
        ("lamp_up_to", "9 kW", "0.1 W to 2000 W"),
        ("mains", "10 kV", "1 V to 480 V"),
        ("heat_limit", "2000 degC", "0 °C to 600 °C"),
        ("heat_limit", "-60 degC", "0 °C to 600 °C"),
    ],
)
def test_it_is_told_and_nothing_is_reckoned_with_it(tmp_path: Path, key: str, value: str, words: str) -> None:
    """Neither the rules on loads nor the variant's page fall over it."""
    library = load([shop(tmp_path, **{key: value})])
    names = ("marking-out-of-range", "lamp-over-holder", "load-over-rating")
    report = judge(Bench(library), [rules_by_id()[name] for name in names])
    (only,) = report.findings
    assert words in only.right
    assert only.rule == "marking-out-of-range"
    assert electrics_facts(Desk(library).at("x.html"), library.variants["one"])


def test_what_is_good_is_taken(tmp_path: Path) -> None:
    assert load([shop(tmp_path)]).parts["motor"].watts is not None

"""Shipped records against their tables; each slip of a value is told with the size of the slip."""

from __future__ import annotations

import dataclasses
import doctest

import pytest

from handwheel.evidence import readings, screws, verdict
from handwheel.evidence.judge import verdicts
from handwheel.evidence.screws import Unknown, screws_of, window_of
from handwheel.evidence.standing import Standing
from handwheel.evidence.verdict import Outcome
from handwheel.records.library import Library
from handwheel.records.values import Amount, Number


def outcomes(library: Library, plural: str, record: object) -> list[Outcome]:
    return [each.outcome for each in verdicts(library, plural, record)]


def test_examples_in_the_docs() -> None:
    for module in (verdict, readings, screws):
        found = doctest.testmod(module)
        assert found.attempted > 0
        assert found.failed == 0


@pytest.mark.parametrize("plural", ["threads", "blades", "lubricants", "limits", "fasteners"])
def test_shipped_values_do_not_differ(demo: Library, plural: str) -> None:
    told = [v for r in demo.of(plural).values() for v in verdicts(demo, plural, r)]
    assert [f"{v.what} {v.value} {v.words}" for v in told if v.outcome is Outcome.DIFFERS] == []
    assert any(v.outcome is Outcome.AGREES for v in told)


@pytest.mark.parametrize("identifier", ["m4", "unc-6-32", "ba-3", "bsw-1-8-40"])
def test_a_wrong_diameter_and_pitch_are_told(demo: Library, identifier: str) -> None:
    """M4 x 0.7 in ISO 724, 6-32 UNC in ASME B1.1, 3 BA in BS 93, 1/8-40 in BS 84: two per cent off is found."""
    right = demo.threads[identifier]
    assert right.diameter.value is not None
    off = dataclasses.replace(right.diameter, value=right.diameter.value * 1.02)
    found = verdicts(demo, "threads", dataclasses.replace(right, diameter=off))
    assert [v.outcome for v in found] == [Outcome.DIFFERS, Outcome.AGREES, Outcome.AGREES]
    assert "2.0% more" in found[0].says
    assert len(found[0].arithmetic) == 2
    pitched = dataclasses.replace(right, tpi=33, pitch=None)
    assert verdicts(demo, "threads", pitched)[1].outcome is Outcome.DIFFERS


def test_a_wrong_flank_angle_is_told(demo: Library) -> None:
    wrong = dataclasses.replace(demo.threads["ba-3"], form="60 degree")
    assert outcomes(demo, "threads", wrong)[2] is Outcome.DIFFERS


def test_a_thread_in_no_series(demo: Library) -> None:
    right = demo.threads["m4"]
    odd = dataclasses.replace(right, name="odd", pitch=Amount("0.62 mm", 0.00062, "length", right.place))
    (found,) = verdicts(demo, "threads", odd)
    assert found.outcome is Outcome.DIFFERS
    assert "nearest" in found.says
    measured = dataclasses.replace(odd, source=demo.fasteners["pillar-screw"].source)
    (own,) = verdicts(demo, "threads", measured)
    assert own.outcome is Outcome.UNCHECKED
    assert own.standing is Standing.MEASURED


def test_memory_agrees_and_permits_nothing(demo: Library) -> None:
    """A special inch thread agrees with the floor's own recollection: that is no permission."""
    found = verdicts(demo, "threads", demo.threads["sm-9-64-40"])
    assert found[0].outcome is Outcome.AGREES
    assert not any(each.permits for each in found[:2])
    assert all("permits nothing" in each.words for each in found[:2])


def test_a_blade_of_another_size(demo: Library) -> None:
    """Tip 0.8 x 4 of ISO 2380-1, table 1, written 4.5 mm wide."""
    blade = demo.blades["blade-0-8-4"]
    wrong = dataclasses.replace(blade, width=dataclasses.replace(blade.width, value=0.0045))
    assert outcomes(demo, "blades", wrong) == [Outcome.AGREES, Outcome.DIFFERS]


def test_a_blade_too_thick_for_its_slot(demo: Library) -> None:
    screw = dataclasses.replace(demo.fasteners["trip-pivot"], blade="blade-1-2-8")
    found = next(v for v in verdicts(demo, "fasteners", screw) if v.what == "Blade")
    assert found.outcome is Outcome.DIFFERS
    assert "does not enter" in found.says


def test_torques_tenfold_are_told_with_what_gives_way(demo: Library) -> None:
    told = 0
    for record in demo.fasteners.values():
        fixed = record.tighten.fixed if record.tighten else None
        if fixed is None or fixed.value is None:
            continue
        assert record.tighten is not None
        more = dataclasses.replace(fixed, value=fixed.value * 10)
        cases = tuple(dataclasses.replace(case, value=more) for case in record.tighten.cases)
        wrong = dataclasses.replace(record, tighten=dataclasses.replace(record.tighten, cases=cases))
        found = next(v for v in verdicts(demo, "fasteners", wrong) if v.what == "Tightening")
        assert found.outcome is not Outcome.AGREES
        if found.outcome is Outcome.DIFFERS:
            told += 1
            assert any("yields" in line or "strips" in line for line in found.arithmetic)
    assert told > 10


def test_a_screw_too_long_and_one_too_short(demo: Library) -> None:
    screw = demo.fasteners["pillar-screw"]
    assert screw.length is not None
    for length, words in ((0.02, "ground"), (0.003, "does not reach")):
        amount = Amount(f"{length * 1e3:g} mm", length, "length", screw.place)
        case = dataclasses.replace(screw.length.cases[0], value=amount)
        wrong = dataclasses.replace(screw, length=dataclasses.replace(screw.length, cases=(case,)))
        found = next(v for v in verdicts(demo, "fasteners", wrong) if v.what == "Length")
        assert found.outcome is Outcome.DIFFERS
        assert words in found.says


def test_why_a_window_is_not_known(demo: Library) -> None:
    screw = dataclasses.replace(demo.fasteners["pillar-screw"], grip=None)
    only = (screws_of(demo, screw) or ())[0]
    with pytest.raises(Unknown, match="engagement"):
        window_of(demo, only)


def test_lubricants_of_the_wrong_class(demo: Library) -> None:
    """ISO 3448 has no grade 12; a grease has a consistency number, ASTM D217."""
    oil = demo.of("lubricants")["light-oil"]
    assert outcomes(demo, "lubricants", dataclasses.replace(oil, vg=("VG 12", "VG 10"))) == [
        Outcome.DIFFERS,
        Outcome.AGREES,
    ]
    grease = demo.of("lubricants")["gear-grease"]
    assert outcomes(demo, "lubricants", dataclasses.replace(grease, vg=("VG 10",), nlgi=("NLGI 7",))) == [
        Outcome.DIFFERS,
        Outcome.DIFFERS,
    ]


@pytest.mark.parametrize(
    ("identifier", "value", "words"),
    [("insulation-earthed", 0.1, "laxer"), ("insulation-unearthed", 5.0, "stricter"), ("lift-constant", 32.0, "+9 kg")],
)
def test_limits_changed_are_told(demo: Library, identifier: str, value: float, words: str) -> None:
    """1 and 2 megohm of the IET Code of Practice; 23 kg of NIOSH 94-110, p. 7."""
    limit = demo.of("limits")[identifier]
    wrong = dataclasses.replace(limit, value=Number(str(value), value))
    (found,) = verdicts(demo, "limits", wrong)
    assert found.outcome is Outcome.DIFFERS
    assert words in found.says


def test_an_earth_limit_with_its_lead_is_worked_out(demo: Library) -> None:
    """0.1 ohm and two metres of 0.75 mm2: 0.0172 x 2 / 0.75 = 0.046 ohm (copper as in IEC 60028)."""
    (found,) = verdicts(demo, "limits", demo.of("limits")["earth-bond-with-lead"])
    assert found.outcome is Outcome.AGREES
    assert "0.0459" in found.arithmetic[0]


def test_cuts_that_fall(demo: Library) -> None:
    reading = demo.readings["presser-force"]
    cuts = reading.cuts.cases[0].value
    case = dataclasses.replace(reading.cuts.cases[0], value=tuple(reversed(cuts)))
    wrong = dataclasses.replace(reading, cuts=dataclasses.replace(reading.cuts, cases=(case,)))
    assert outcomes(demo, "readings", wrong) == [Outcome.DIFFERS]

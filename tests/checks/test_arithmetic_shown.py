"""A wrong value in a record of parts or tables is a finding at its own line, with the sum that shows it."""

from __future__ import annotations

import pytest
from examples import findings_of

from handwheel.checks.finding import Finding

# ruff: noqa: E501 - one planted value a line

COVER = (
    "parts:\n  end-cover: {name: end cover}\n"
    "fasteners:\n  cover-screw: {name: cover screw, holds: [end-cover], thread: m4,\n    "
)
"""A screw of which the last lines are still to be told, one a line."""
SIZES = "length: 8 mm, grip: 2 mm, hole_depth: 8 mm, slot_length: 7 mm, source: bench-notes,\n    "
HOODS = (
    "parts:\n  hood: {name: hood, rests: true, cap: bayonet 15 mm,\n    "
    "lamp_up_to: %s, sources: [%s]}\n  glow-lamp: {name: glow lamp, in: hood, rests: true, cap: %s, volts: 230 V,\n    "
    "watts: %s, sources: [bench-notes]}\n"
)
MOTOR = (
    "shops:\n  plover-bench: {name: Plover bench, mains: 230 V}\n"
    "parts:\n  drive-motor: {name: drive motor, behind: [side-plate], rests: true, watts: 90 W, amps: 0.8 A,\n    "
    "volts: %s, sources: [bench-notes]}\n"
)


def line_of(text: str, written: str) -> int:
    return text[: text.index(written)].count("\n") + 1


def found(rule: str, text: str) -> Finding:
    (only,) = findings_of(rule, text)
    return only


@pytest.mark.parametrize(
    ("rule", "text", "written", "words"),
    [
        # 4 mm of M4 in grey iron; 90 % of 240 MPa on 8.78 mm2, the stress area of ISO 898-1.
        ("tightening-outside-window", COVER + SIZES + "tighten: 7 N m}\n", "tighten", ("0.9 x 240 MPa on 8.78 mm^2", "0.08 to 0.16")),
        # 500 N of clamp: long form with 0.16, by hand 500 x (0.111 + 0.327 + 0.456) mm = 0.45 N m.
        ("clamps-too-little", COVER + SIZES + "needs_clamp: {force: 500 N},\n    tighten: 0.2 N m}\n", "tighten", ("500 N of clamp takes", "0.45 N m", "0.08 to 0.16")),
        # 60 kN of clamp: no M4 bears it.
        ("clamps-too-little", COVER + SIZES + "needs_clamp: {force: 60 kN}}\n", "needs_clamp", ("no torque both holds and spares", "the screw yields")),
        ("screw-too-long", COVER + "grip: 2 mm, hole_depth: 8 mm,\n    length: 12 mm}\n", "length", ("2 mm under the head + 8 mm of thread, by 2 mm",)),
        ("screw-too-short", COVER + "grip: 2.5 mm, hole_depth: 8 mm,\n    length: 4 mm}\n", "length", ("1.5 mm of thread at 0.7 mm a turn", "2.1 turns")),
        ("blade-misfits", COVER + "slot_width: 0.9 mm, slot_length: 5 mm,\n    blade: blade-1-0-5-5}\n", "blade: blade", ("1 mm thick, up to 1.06 mm", "0.9 mm")),
        ("thread-in-no-series", "threads:\n  odd: {name: odd, form: 60 degree, diameter: 4.1 mm, pitch: 0.73 mm, source: sizes}\n", "odd", ("4.1 mm x 0.73 mm", "the nearest is")),
        ("differs-from-table", "lubricants:\n  thin: {name: thin oil, form: oil, supply: rag,\n    vg: [VG 12]}\n", "vg", ("VG 12", "ISO 3448")),
        ("wrong-lubricant", "procedures:\n  shaft-oil:\n    title: Oil the shaft\n    steps:\n      - do: Oil the shaft.\n        lubricates: [shaft-point]\n        supplies: [grease-tube]\n", "supplies", ("grease-tube", "light-oil")),
        ("lamp-over-holder", HOODS % ("15 W", "bench-notes", "bayonet 15 mm", "25 W"), "watts", ("lamp 25 W, holder 15 W", "measured by the shop")),
        ("lamp-over-holder", HOODS % ("unmarked", "bench-notes", "bayonet 15 mm", "25 W"), "watts", ("holder without a mark", "customary 15 W", "memory")),
        ("lamp-over-holder", HOODS % ("15 W", "bench-notes", "screw 14 mm", "10 W"), "watts", ("lamp cap screw 14 mm, holder takes bayonet 15 mm",)),
        ("load-over-rating", MOTOR % "230 V" + "  control: {name: control, in: drive-motor, rests: true,\n    carries: 0.6 A, sources: [bench-notes]}\n", "carries", ("90 W / 230 V = 0.391 A and 0.8 A marked", "0.8 A through the control, rated 0.6 A")),
        ("voltage-differs", MOTOR % "[110 V, 120 V]", "volts", ("110 V to 120 V", "230 V")),
        ("sources-disagree", COVER + "tighten: 0.7 N m, source: bench-notes, also_told:\n    [{of: tighten, source: sizes, value: 8.0 in lbf}]}\n", "of: tighten", ("8.0 in lbf = 0.9039 N m", "0.9039 - 0.7 = +0.2039 N m", "29.1 % more")),
        ("needle-in-no-table", "needles:\n  middle: {name: 90/14, metric: 90, number: 14, sources: [sizes],\n    blade: 0.99 mm}\n", "blade", ("0.07 mm from 0.92 mm in JIS B 9012:2000",)),
        ("needle-in-no-table", "needles:\n  middle: {name: 92/14, metric: 92,\n    number: 14}\n", "number", ("no metric needle size 92", "90/14")),
        ("needle-in-no-table", "terms:\n  seam: {name: seam,\n    means: Sewn with a needle 90/15.}\n", "means", ("needle 90/15", "90/14")),
    ],
    ids=lambda value: value if isinstance(value, str) and "\n" not in value else "",
)  # fmt: skip
def test_the_finding_has_place_and_sum(rule: str, text: str, written: str, words: tuple[str, ...]) -> None:
    finding = found(rule, text)
    assert finding.place.file.endswith("shop.yaml")
    assert finding.place.line == line_of(text, written)
    for each in words:
        assert each in finding.what


@pytest.mark.parametrize(
    ("rule", "text"),
    [
        ("clamps-too-little", COVER + SIZES + "needs_clamp: {force: 500 N}, tighten: 0.7 N m}\n"),
        ("lamp-over-holder", HOODS % ("15 W", "memory", "bayonet 15 mm", "15 W")),
        ("lamp-over-holder", HOODS % ("unmarked", "bench-notes", "bayonet 15 mm", "15 W")),
        ("voltage-differs", MOTOR % "[220 V, 240 V]"),
        ("voltage-differs", MOTOR % "220 V"),
        ("sources-disagree", COVER + "tighten: 0.7 N m, source: bench-notes, also_told: [{of: tighten, source: sizes, value: 6.2 in lbf}]}\n"),
        ("needle-in-no-table", "terms:\n  seam: {name: seam, means: Sewn with a needle 90/14.}\n"),
    ],
    ids=lambda value: value if isinstance(value, str) and "\n" not in value else "",
)  # fmt: skip
def test_what_is_right_is_no_finding(rule: str, text: str) -> None:
    """0.7 N m = 6.196 in lbf, which is written 6.2."""
    assert findings_of(rule, text) == ()


@pytest.mark.parametrize(
    ("own", "other", "words"),
    [
        ("tighten", "0.9 N", "is a force, not a torque"),
        ("tighten", "tight", "does not start with a number"),
        ("tighening", "0.9 N m", "no value of this record"),
    ],
)
def test_what_cannot_be_compared_is_told(own: str, other: str, words: str) -> None:
    text = (
        f"{COVER}tighten: 0.7 N m, source: bench-notes, also_told: [{{of: {own}, source: sizes, value: {other}}}]}}\n"
    )
    finding = found("sources-disagree", text)
    assert words in finding.what


def test_memory_is_not_set_above_what_was_read() -> None:
    """A reason does not lift it: memory may lower a limit and never raises one."""
    told = "also_told: [{of: tighten, source: sizes, value: 0.5 N m, set_aside: It looks low.}]}\n"
    assert (
        "permits more than 'Sizes of threads'"
        in found("sources-disagree", f"{COVER}tighten: 0.7 N m, source: memory, {told}").what
    )
    assert findings_of("sources-disagree", f"{COVER}tighten: 0.7 N m, source: bench-notes, {told}") == ()


@pytest.mark.parametrize(
    ("sense", "value", "told"), [("at most", "0.3", 1), ("at least", "0.3", 0), ("at least", "0.05", 1)]
)
def test_nor_a_limit_that_permits_more(sense: str, value: str, told: int) -> None:
    text = (
        f"limits:\n  bond: {{name: bond, value: {value}, unit: Ω, sense: {sense}, source: memory,\n    "
        "also_told: [{of: value, value: 0.1 Ω, source: sizes, set_aside: It is old.}]}\n"
    )
    assert len(findings_of("sources-disagree", text)) == told


def test_a_source_that_speaks_of_other_machines_is_not_held_against_it() -> None:
    values = "tighten: {by: lamp, bracket: 0.7 N m, stalk: 0.9 N m, none: 0.7 N m}, source: bench-notes, "
    text = COVER + values + "also_told: [{of: tighten, source: sizes, value: 0.9 N m, when: {lamp: %s}}]}\n"
    assert findings_of("sources-disagree", text % "stalk") == ()
    assert "0.9 - 0.7" in found("sources-disagree", text % "bracket").what

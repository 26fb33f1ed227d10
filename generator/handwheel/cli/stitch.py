"""`handwheel stitch`."""

from __future__ import annotations

import argparse
import json
import re

from handwheel.cli.main import FINE
from handwheel.engineering.ranges import Range
from handwheel.engineering.stitch_trials import READING_ERROR, Sewn, settings_of, told
from handwheel.engineering.stitches import INCH, STITCH, Marking, Stretch
from handwheel.engineering.units import Dimension, parse
from handwheel.records.errors import HandwheelError

POSITIONS = Range(-1000.0, 1000.0)
MARKS = {"mm": Marking.MILLIMETRES, "per-inch": Marking.PER_INCH}
_BARE = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?")


def add_options(sub: argparse.ArgumentParser) -> None:
    """Options of this command."""
    many: dict[str, object] = {"action": "append", "default": []}
    sub.add_argument("--over", metavar="LENGTH", required=True, help="50 (mm), '2 in'; once a stretch", **many)  # type: ignore[arg-type]
    sub.add_argument("--count", metavar="STITCHES", required=True, help="whole stitches in it", **many)  # type: ignore[arg-type]
    sub.add_argument("--at", metavar="POSITION", help="where the regulator stood, once a stretch", **many)  # type: ignore[arg-type]
    sub.add_argument("--back-over", metavar="LENGTH", help="as --over, sewn in reverse", **many)  # type: ignore[arg-type]
    sub.add_argument("--back-count", metavar="STITCHES", help="as --count, sewn in reverse", **many)  # type: ignore[arg-type]
    sub.add_argument("--back-at", metavar="POSITION", help="as --at, sewn in reverse", **many)  # type: ignore[arg-type]
    sub.add_argument("--marked", choices=MARKS, help="what the numbers given with --at mean (nothing: unmarked)")
    sub.add_argument("--want", metavar="LENGTH", help="the stitch length to find a position for, unmarked regulator")
    sub.add_argument("--error", metavar="LENGTH", help="the rule is read to give or take this (0.5 mm)")
    sub.add_argument("--json", action="store_true", help="as JSON instead of text")


def run(options: argparse.Namespace) -> int:
    """Say what a sewn sample shows of the regulator."""
    try:
        sewn = [
            *_stretches(options.over, options.count, options.at, forward=True),
            *_stretches(options.back_over, options.back_count, options.back_at, forward=False),
        ]
        error = _length(options.error, "--error") if options.error else READING_ERROR
        wanted = STITCH.check(_length(options.want, "--want"), "--want: stitch length") if options.want else None
        lines = list(told(sewn, MARKS.get(options.marked), error, wanted))
    except ValueError as problem:
        raise HandwheelError(str(problem)) from None
    print(json.dumps(_as_dict(sewn, error, lines), indent=2) if options.json else "\n".join(lines))
    return FINE


def _stretches(over: list[str], count: list[str], at: list[str], *, forward: bool) -> list[Sewn]:
    way = "" if forward else "back-"
    if len(over) != len(count) or (at and len(at) != len(over)):
        raise HandwheelError(
            f"--{way}over {len(over)} times, --{way}count {len(count)} times, --{way}at {len(at)} times; "
            f"give each once a stretch (--{way}at may be left out)"
        )
    places: list[float | None] = [_position(said, f"--{way}at") for said in at] or [None] * len(over)
    stretches = [
        Stretch(_length(said, f"--{way}over"), _whole(n, f"--{way}count")) for said, n in zip(over, count, strict=True)
    ]
    return [Sewn(stretch, place, forward) for stretch, place in zip(stretches, places, strict=True)]


def _whole(said: str, option: str) -> int:
    """A count of whole stitches."""
    if not re.fullmatch(r"\s*[+-]?\d{1,6}\s*", said):
        raise HandwheelError(f"{option}: '{said}' is no count of whole stitches; write it as '20'")
    return int(said)


def _position(said: str, option: str) -> float:
    """A position of the regulator: a number, whatever it means."""
    if not _BARE.fullmatch(said.strip()) or not POSITIONS.low <= float(said) <= POSITIONS.high:
        raise HandwheelError(f"{option}: '{said}' is no position; write the number on the scale, {POSITIONS}, as '2.5'")
    return float(said)


def _length(said: str, option: str) -> float:
    """A length [m]; a number without a unit is in millimetres."""
    text = f"{said} mm" if _BARE.fullmatch(said.strip()) else said
    try:
        return parse(text, Dimension.LENGTH)
    except ValueError as error:
        raise HandwheelError(f"{option}: {error}") from None


def _as_dict(sewn: list[Sewn], error: float, lines: list[str]) -> dict[str, object]:
    return {
        "settings": [
            {
                "position": each.position,
                "forward": each.forward,
                "stretches": len(each.stretches),
                "stitch_mm": round(each.length.value * 1e3, 6),
                "expanded_mm": round(each.length.expanded() * 1e3, 6),
                "per_inch": round(INCH / each.length.value, 4),
            }
            for each in settings_of(sewn, error)
        ],
        "told": lines,
    }

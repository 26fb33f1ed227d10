"""`handwheel screw`."""

from __future__ import annotations

import argparse
import json
import re
from collections.abc import Iterator
from pathlib import Path

from handwheel.cli.main import FINE, UNUSABLE, add_library
from handwheel.cli.report import open_library, say, tell
from handwheel.engineering.screws import Candidate, Identification, Reading, percent
from handwheel.engineering.tightening import rim_force
from handwheel.engineering.units import INCH, Dimension, format_both, parse, parse_pitch
from handwheel.evidence import screw_table as table
from handwheel.evidence.screws import HANDLE
from handwheel.records.errors import HandwheelError
from handwheel.records.library import Library

METAL = "grey iron"
_BARE = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?")
_COUNT = re.compile(r"(\d+)(?:\s*(?:tpi|per in))?")


def add_options(sub: argparse.ArgumentParser) -> None:
    """Options of this command."""
    sub.add_argument("--diameter", required=True, metavar="LENGTH", help="outside diameter: 3.5 (mm), '9/64 in'")
    pitch = sub.add_mutually_exclusive_group(required=True)
    pitch.add_argument("--pitch", metavar="LENGTH", help="pitch: 0.635 (mm), '40 tpi'")
    pitch.add_argument("--tpi", metavar="COUNT", help="threads to the inch, instead of the pitch")
    sub.add_argument("--error", metavar="LENGTH", help="error of the diameter, as far as it may be off (0.05 mm)")
    sub.add_argument("--pitch-error", metavar="LENGTH", help="error of the pitch (0.02 mm)")
    sub.add_argument("--into", default=METAL, metavar="METAL", help=f"metal of the hole: {', '.join(table.metals())}")
    sub.add_argument(
        "--shop", type=Path, metavar="FOLDER", help="a shop whose own measured threads come into question too"
    )
    add_library(sub)
    sub.add_argument("--json", action="store_true", help="as JSON instead of text")


def run(options: argparse.Namespace) -> int:
    """Rank what a measured screw can be; nothing that is shown is certain."""
    metal = _metal(options.into)
    try:
        reading = _reading(options)
    except ValueError as error:
        raise HandwheelError(f"{error}{_hint(options)}") from None
    library: Library | None = None
    if options.shop:
        library, messages = open_library(options)
        if library is None:
            tell(messages, "text")
            return UNUSABLE
    found = table.ranked(reading, table.threads_for(library))
    if options.json:
        print(json.dumps(_as_dict(found, metal), indent=2, ensure_ascii=False))
    else:
        say(f"for {_words(reading)}")
        print("\n".join(_lines(found, metal)))
    return FINE


def _reading(options: argparse.Namespace) -> Reading:
    pitch = _tpi(options.tpi) if options.tpi else _length(options.pitch, "--pitch", pitch=True)
    errors = (
        _length(options.error, "--error") if options.error else table.DIAMETER_ERROR,
        _length(options.pitch_error, "--pitch-error") if options.pitch_error else table.PITCH_ERROR,
    )
    return table.read(_length(options.diameter, "--diameter"), pitch, errors)


def _hint(options: argparse.Namespace) -> str:
    """A pitch of 10 and more is a count to the inch that lacks its unit."""
    said = (options.pitch or "").strip()
    return f"; for threads to the inch write --tpi {said}" if said.isdecimal() and int(said) >= 8 else ""


def _length(said: str, option: str, *, pitch: bool = False) -> float:
    """A length [m]; a number without a unit is in millimetres."""
    text = f"{said} mm" if _BARE.fullmatch(said.strip()) else said
    try:
        return parse_pitch(text) if pitch else parse(text, Dimension.LENGTH)
    except ValueError as error:
        raise HandwheelError(f"{option}: {error}") from None


def _tpi(said: str) -> float:
    found = _COUNT.fullmatch(said.strip())
    if found is None or int(found[1]) == 0:
        raise HandwheelError(f"--tpi: '{said}' is no count of threads to the inch; write it as '40'")
    return INCH / int(found[1])


def _metal(said: str) -> str:
    name = said.replace("-", " ").strip().casefold()
    if name not in table.metals():
        raise HandwheelError(f"--into: no metal of a hole is called '{said}'; there are: {', '.join(table.metals())}")
    return name


def _words(reading: Reading) -> str:
    return (
        f"a diameter of {reading.diameter * 1e3:.4g} mm, give or take {reading.diameter_error * 1e3:.3g} mm, "
        f"and a pitch of {reading.pitch * 1e3:.4g} mm ({INCH / reading.pitch:.3g} to the inch), "
        f"give or take {reading.pitch_error * 1e3:.3g} mm"
    )


def _lines(found: Identification, metal: str) -> Iterator[str]:
    shown = table.shown(found)
    if not shown:
        yield "No thread of any series here comes near. Measure again, over more threads and with a finer instrument."
        return
    for candidate in shown:
        yield from _candidate(candidate, metal)
        yield ""
    yield f"None of the series here: {percent(found.none)}."
    yield "Nothing here is certain. Try it by hand in a hole that may be spoilt, and force nothing."
    yield f"Where it gives way: {table.ASSUMED}"


def _candidate(candidate: Candidate, metal: str) -> Iterator[str]:
    thread = candidate.thread
    yield f"{thread}: {table.likelihood_words(candidate.probability)}, {percent(candidate.probability)}"
    yield f"  {format_both(thread.diameter, Dimension.LENGTH, 4)}, pitch {thread.pitch * 1e3:.4g} mm"
    yield f"  {table.basis_words(thread)}"
    if not thread.verified:
        yield "  unverified: the thread is known from memory only; measure more than one screw"
    if candidate.alike:
        yield f"  same diameter and pitch as {', '.join(candidate.alike)}: look at the flank angle"
    for each in table.beware_of(thread):
        yield f"  beware of {each.other}: {each.likeness.value}{_binds(each)}"
    blade = table.usual_blade(thread)
    yield f"  blade: {blade} in a new screw" if blade else "  blade: measure the slot"
    limit = table.gives_way(thread, metal)
    force = format_both(rim_force(limit.torque, HANDLE), Dimension.FORCE) if limit.torque <= 20 else ""
    at = f", {force} at the rim of a 28 mm handle" if force else ""
    yield f"  in {metal}: {limit.what} from {format_both(limit.torque, Dimension.TORQUE)}{at}"


def _binds(each: table.Beware) -> str:
    span = each.binds_after
    return f" after {span.low * 1e3:.1f} to {span.high * 1e3:.1f} mm" if span else ""


def _as_dict(found: Identification, metal: str) -> dict[str, object]:
    reading = found.reading
    return {
        "reading": {
            "diameter_mm": round(reading.diameter * 1e3, 5),
            "diameter_error_mm": round(reading.diameter_error * 1e3, 5),
            "pitch_mm": round(reading.pitch * 1e3, 5),
            "pitch_error_mm": round(reading.pitch_error * 1e3, 5),
        },
        "candidates": [table.as_dict(each, metal) for each in table.shown(found)],
        "in_no_series": round(found.none, 6),
        "certain": False,
        "assumed": table.ASSUMED,
    }

"""`handwheel screw`."""

from __future__ import annotations

import argparse
import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from handwheel.cli.main import FINE, UNUSABLE, add_library
from handwheel.cli.report import open_library, say, tell
from handwheel.engineering.screws import Candidate, Identification, Reading, percent
from handwheel.engineering.tightening import FORCES
from handwheel.engineering.units import INCH, Dimension, format_both, parse, parse_pitch
from handwheel.evidence import screw_drive as drive
from handwheel.evidence import screw_table as table
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
    sub.add_argument("--slot-width", metavar="LENGTH", help="width of the slot, for its blade: 1.1 (mm)")
    sub.add_argument("--slot-length", metavar="LENGTH", help="length of the slot; across a head, the head's diameter")
    sub.add_argument("--slot-depth", metavar="LENGTH", help="depth of the slot, for what it bears: 1.2 (mm)")
    sub.add_argument("--clamp", metavar="FORCE", help="clamp that the joint needs, for the lower end: '300 N'")
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
        asked = _asked(options, metal)
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
        print(json.dumps(_as_dict(found, asked), indent=2, ensure_ascii=False))
    else:
        say(f"for {_words(reading)}")
        print("\n".join(_lines(found, asked)))
    return FINE


def _reading(options: argparse.Namespace) -> Reading:
    pitch = _tpi(options.tpi) if options.tpi else _length(options.pitch, "--pitch", pitch=True)
    errors = (
        _length(options.error, "--error") if options.error else table.DIAMETER_ERROR,
        _length(options.pitch_error, "--pitch-error") if options.pitch_error else table.PITCH_ERROR,
    )
    return table.read(_length(options.diameter, "--diameter"), pitch, errors)


@dataclass(frozen=True)
class Asked:
    """What is asked besides the thread: the metal, the drive of its slot, the clamp [N] that the joint needs."""

    metal: str
    drive: drive.Driven | None
    clamp: float | None


def _asked(options: argparse.Namespace, metal: str) -> Asked:
    told = {name: getattr(options, f"slot_{name}") for name in ("width", "length", "depth")}
    slot = {name: _length(said, f"--slot-{name}") for name, said in told.items() if said}
    if slot and not {"width", "length"} <= slot.keys():
        raise HandwheelError("a slot takes both --slot-width and --slot-length; across a head its length is the head's")
    driven = drive.driven(slot["width"], slot["length"], slot.get("depth")) if slot else None
    clamp = _force(options.clamp) if options.clamp else None
    if clamp is not None:
        FORCES.check(clamp, "clamp force")
    return Asked(metal, driven, clamp)


def _force(said: str) -> float:
    try:
        return parse(said, Dimension.FORCE)
    except ValueError as error:
        raise HandwheelError(f"--clamp: {error}") from None


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


def _lines(found: Identification, asked: Asked) -> Iterator[str]:
    shown = table.shown(found)
    if not shown:
        yield "No thread of any series here comes near. Measure again, over more threads and with a finer instrument."
        return
    for candidate in shown:
        yield from _candidate(candidate, asked)
        yield ""
    yield f"None of the series here: {percent(found.none)}."
    yield "Nothing here is certain. Try it by hand in a hole that may be spoilt, and force nothing."
    if asked.drive:
        yield f"Blade: {drive.drive_words(asked.drive)}."
    yield f"Where it gives way: {table.ASSUMED}"


def _candidate(candidate: Candidate, asked: Asked) -> Iterator[str]:
    thread = candidate.thread
    yield f"{thread}: {table.likelihood_words(candidate.probability)}, {percent(candidate.probability)}"
    yield f"  {format_both(thread.diameter, Dimension.LENGTH, 4)}, pitch {thread.pitch * 1e3:.4g} mm"
    yield f"  {table.basis_words(thread)}"
    if not thread.verified:
        yield "  unverified: the thread is known from memory only; measure more than one screw"
    if candidate.alike:
        yield f"  same diameter and pitch as {', '.join(candidate.alike)}: only the flanks can tell"
    for line in table.beware_lines(thread):
        yield f"  beware of {line}"
    blade = table.usual_blade(thread)
    if asked.drive is None:
        yield f"  blade: {blade} in a new screw" if blade else "  blade: measure the slot"
    ends = drive.ends(thread, asked.metal, asked.drive, asked.clamp)
    yield f"  in {asked.metal}: {drive.ends_words(ends, asked.clamp)}"


def _as_dict(found: Identification, asked: Asked) -> dict[str, object]:
    reading = found.reading
    return {
        "reading": {
            "diameter_mm": round(reading.diameter * 1e3, 5),
            "diameter_error_mm": round(reading.diameter_error * 1e3, 5),
            "pitch_mm": round(reading.pitch * 1e3, 5),
            "pitch_error_mm": round(reading.pitch_error * 1e3, 5),
        },
        "slot": _drive_dict(asked.drive),
        "candidates": [{**table.as_dict(each, asked.metal), **_ends_dict(each, asked)} for each in table.shown(found)],
        "in_no_series": round(found.none, 6),
        "certain": False,
        "assumed": table.ASSUMED,
    }


def _drive_dict(found: drive.Driven | None) -> dict[str, object] | None:
    if found is None:
        return None
    bears = round(found.bears, 3) if found.bears is not None else None
    return {"blade": found.blade.name, "blade_tested_n_m": found.blade.test_torque, "slot_gives_way_n_m": bears}


def _ends_dict(candidate: Candidate, asked: Asked) -> dict[str, object]:
    """The window of this very screw: where it surely clamps, and what gives way first, slot and blade among them."""
    ends = drive.ends(candidate.thread, asked.metal, asked.drive, asked.clamp)
    first = {"torque_n_m": round(ends.high.torque, 3), "what": ends.high.what, "permits": False}
    clamps = round(ends.low, 3) if ends.low is not None else None
    return {"window": {"clamps_from_n_m": clamps, "first_gives_way": first, "closed": ends.closed}}

"""Fasteners: length against grip and hole, tightening against the first thing that gives way."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from handwheel.engineering.blades import Blade, NoBlade, Slot, blade_for, misfit
from handwheel.engineering.ranges import OutOfRange, Span
from handwheel.engineering.strength import hole_metals, screw_metal
from handwheel.engineering.tightening import OILED, bearing_diameter, rim_force
from handwheel.engineering.units import Dimension, format_both, significant
from handwheel.engineering.window import Joint, Window, window
from handwheel.evidence.blades import slot_verdict, tip_of
from handwheel.evidence.standing import Standing, of_citation, of_citations
from handwheel.evidence.threads import thread_of
from handwheel.evidence.verdict import Outcome, Verdict, both
from handwheel.machines.conditions import ALWAYS
from handwheel.records import library_records as lib
from handwheel.records.library import Library
from handwheel.records.part_records import Fastener
from handwheel.records.values import Amount, Varies

WITH_HEAD = ("screw", "cone screw")
"""Kinds of fastener that have a head to clamp with."""
CLEARANCE = 1.1
"""Hole in the part against the diameter of the screw, after the medium series of ISO 273 (common practice)."""
SCREW = "unmarked steel"
HANDLE = 0.028
"""Diameter of a driver's handle for the force at its rim [m]: the shop's own choice."""
ROUNDING = 1e-6


@dataclass(frozen=True)
class Screw:
    """A fastener with values that some machine has together; None where not told."""

    record: Fastener
    thread: lib.Thread | None
    length: Amount | None
    tighten: Amount | None
    into: lib.Material | None

    @property
    def engagement(self) -> float | None:
        """Length of thread in the hole [m], for a screw with a head."""
        length, grip, depth = _si(self.length), _si(self.record.grip), _si(self.record.hole_depth)
        if length is None or grip is None or self.record.kind not in WITH_HEAD:
            return None
        return length - grip if depth is None else min(length - grip, depth)


class Unknown(ValueError):  # noqa: N818 - named for what is missing
    """Something that a sum needs is not told; the message says what."""


def screws_of(library: Library, record: Fastener) -> tuple[Screw, ...] | None:
    """The fastener with each set of its values; None where they differ by machine in more ways than one."""
    root = next((part for part in library.parts.values() if part.root), None)
    material = root.material if root and not record.into else None
    told: tuple[Varies[Any] | None, ...] = (record.thread, record.length, record.tighten, material)
    varying = [each for each in told if each is not None and each.fixed is None]
    conditions = {tuple(case.condition for case in each.cases) for each in varying}
    if len(conditions) > 1:
        return None
    rounds = len(next(iter(conditions), (ALWAYS,)))
    return tuple(_screw(library, record, [_at(each, i) for each in told]) for i in range(rounds))


def _at(value: Varies[Any] | None, index: int) -> Any:
    if value is None:
        return None
    return value.cases[index].value if value.fixed is None else value.fixed


def _screw(library: Library, record: Fastener, values: list[Any]) -> Screw:
    thread, length, tighten, own = values
    return Screw(
        record, library.threads.get(thread or ""), length, tighten, library.materials.get(record.into or own or "")
    )


def least_clamp(record: Fastener) -> float | None:
    """The clamp force [N] that the joint needs; None where no record tells it."""
    return _si(record.needs_clamp.force) if record.needs_clamp else None


def window_of(library: Library, screw: Screw) -> Window:
    """The tightening window of a screw, as far as its records tell it; without a clamp told its lower end is nothing.

    Raises:
        Unknown: something that the sum needs is not told.
    """
    thread = thread_of(library, screw.thread) if screw.thread else None
    if thread is None:
        raise Unknown("its thread is not told" if screw.thread is None else "its thread is in no series")
    if screw.record.kind not in WITH_HEAD:
        raise Unknown(f"a {screw.record.kind} has no head to clamp with")
    metal = hole_metals().get(screw.into.strength) if screw.into else None
    if metal is None:
        raise Unknown(f"no strength is known for {screw.into.name if screw.into else 'the metal of its hole'}")
    if screw.engagement is None:
        raise Unknown("length or grip is not told, so its engagement is not known")
    if screw.engagement <= 0:
        raise Unknown("it does not reach its hole")
    bearing = bearing_diameter(_head(screw, thread.diameter), thread.diameter * CLEARANCE)
    slot, tip = _driven(library, screw.record)
    joint = Joint(thread, screw.engagement, screw_metal(SCREW), metal, OILED, bearing, slot, tip)
    return window(joint, least_clamp(screw.record) or 0.0)


def _driven(library: Library, record: Fastener) -> tuple[Slot | None, Blade | None]:
    """The slot and its blade, as far as they are told and fit each other; a misfit is another check's."""
    width, length, depth = _si(record.slot_width), _si(record.slot_length), _si(record.slot_depth)
    if width is None or length is None:
        return None, None
    try:
        tip = tip_of(library.blades[record.blade]) if record.blade else blade_for(width, length)
        if tip is None or misfit(tip, width, length):
            return None, None
        return (Slot(width, length, depth) if depth is not None else None), tip
    except (NoBlade, OutOfRange):
        return None, None


def _head(screw: Screw, diameter: float) -> float:
    head = _si(screw.record.slot_length)
    if head is None or head <= diameter * CLEARANCE:
        raise Unknown("the diameter of its head, taken as the length of its slot, is not told or too small")
    return head


def fastener_verdicts(library: Library, record: Fastener) -> tuple[Verdict, ...]:
    """Blade, length and tightening of a fastener."""
    standing = of_citations(library, (record.source,))
    blade = slot_verdict(library, record, standing)
    found = [blade] if blade else []
    screws = screws_of(library, record)
    if screws is None:
        says = "its values differ by machine in more ways than one; the checks judge each machine"
        return (*found, Verdict("Tightening", "", Outcome.UNCHECKED, says, standing))
    for screw in screws:
        found += [each for each in _judged(library, screw, standing) if each not in found]
    return tuple(found)


def _judged(library: Library, screw: Screw, standing: Standing) -> Iterator[Verdict]:
    if screw.length is not None:
        yield _length(screw, screw.length, standing)
    if screw.tighten is not None:
        yield _tightening(library, screw, screw.tighten, standing)


def _length(screw: Screw, amount: Amount, standing: Standing) -> Verdict:
    length, grip, depth = _si(amount), _si(screw.record.grip), _si(screw.record.hole_depth)
    if screw.record.kind not in WITH_HEAD:
        return Verdict("Length", both(amount), Outcome.UNCHECKED, f"a {screw.record.kind} has no grip", standing)
    if length is None or grip is None or depth is None:
        lack = "grip" if grip is None else "depth of the hole"
        return Verdict("Length", both(amount), Outcome.UNCHECKED, f"the {lack} is not told", standing)
    over = length - grip - depth
    sums = (
        f"{length * 1e3:.3g} mm long - {grip * 1e3:.3g} mm of grip = {(length - grip) * 1e3:.3g} mm in the hole",
        f"the hole has {depth * 1e3:.3g} mm of thread",
    )
    if over > ROUNDING:
        says = f"from its hole: it stands on the ground {over * 1e3:.3g} mm too soon"
        return Verdict("Length", both(amount), Outcome.DIFFERS, says, standing, sums)
    if length - grip <= 0:
        return Verdict("Length", both(amount), Outcome.DIFFERS, "from its hole: it does not reach it", standing, sums)
    return Verdict("Length", both(amount), Outcome.AGREES, "with grip and hole", standing, sums)


def _tightening(library: Library, screw: Screw, amount: Amount, standing: Standing) -> Verdict:
    torque = amount.value
    if torque is None:
        return Verdict("Tightening", amount.text, Outcome.UNCHECKED, "it is told in words", standing)
    try:
        found = window_of(library, screw)
    except ValueError as error:
        return Verdict("Tightening", both(amount), Outcome.UNCHECKED, str(error), standing)
    sums = (*_arithmetic(library, screw, found), f"force at the rim of a 28 mm handle: {_force(torque)}")
    weak = _weak(found)
    if torque > found.high:
        says = f"by {torque - found.high:.2g} N m: {found.first.what} at {found.high:.3g} N m"
        return Verdict("Tightening", both(amount), Outcome.DIFFERS, says, standing, sums, weak)
    if torque < found.low:
        says = f"by {found.low - torque:.2g} N m: below {found.low:.3g} N m it may not hold {_clamp(screw)}"
        return Verdict("Tightening", both(amount), Outcome.DIFFERS, says, standing, sums, weak)
    return Verdict("Tightening", both(amount), Outcome.AGREES, _inside(screw, found, torque), standing, sums, weak)


def _inside(screw: Screw, found: Window, torque: float) -> str:
    """Where it lies between the ends, and what makes each of them."""
    above = f"above, {found.first.what} at {found.high:.3g} N m, {found.high / torque:.2g} times as much"
    into = f" in {screw.into.name}" if screw.into else ""
    if screw.record.needs_clamp is None:
        return f"so far as it goes{into}: {above}; below, no record tells what clamp the joint needs"
    return f"with its window{into}: below, {_clamp(screw)} takes {found.low:.3g} N m; {above}"


def _clamp(screw: Screw) -> str:
    assert screw.record.needs_clamp
    return f"{both(screw.record.needs_clamp.force)} of clamp"


def _weak(found: Window) -> str:
    return "" if found.may_permit else "friction and old metal known from memory or common practice"


def _arithmetic(library: Library, screw: Screw, found: Window) -> Iterator[str]:
    assert screw.into and screw.engagement
    yield (
        f"{screw.engagement * 1e3:.3g} mm of thread in {screw.into.name}, a screw of {SCREW}, "
        f"friction {OILED.thread.low:g} to {OILED.thread.high:g} (oiled)"
    )
    for limit in found.limits:
        ends = _torques(limit.torque)
        yield f"{limit.what} from {ends}: {limit.arithmetic}".replace("^2", "²")
    need = screw.record.needs_clamp
    if need is None:
        yield "the lower end of the window is not known: no record tells what clamp force the joint needs"
        return
    rests = of_citation(library, need.source).words if need.source else Standing.NONE.words
    ends = _torques(found.clamps)
    yield f"{both(need.force)} of clamp, which the joint needs ({rests}), takes {ends}, from least to most friction"


def _torques(span: Span) -> str:
    low = format_both(span.low, Dimension.TORQUE)
    return low if span.low == span.high else f"{span.low:.3g} to {span.high:.3g} N m"


def _force(torque: float) -> str:
    try:
        return format_both(rim_force(torque, HANDLE), Dimension.FORCE)
    except ValueError as error:
        return str(error)


def at_rim(amount: Amount) -> str:
    """The force at the rim of a handle that makes a torque, in metric: `50 N at the rim of a 28 mm handle`.

    >>> from handwheel.records.places import Place
    >>> at_rim(Amount("0.7 N m", 0.7, "torque", Place("", 1, 1)))
    '50 N at the rim of a 28 mm handle'
    >>> at_rim(Amount("by hand", None, "torque", Place("", 1, 1)))
    ''
    """
    if amount.value is None or amount.dimension != "torque":
        return ""
    try:
        return f"{significant(rim_force(amount.value, HANDLE), 2)} N at the rim of a {HANDLE * 1e3:g} mm handle"
    except OutOfRange:
        return ""


def _si(amount: Amount | None) -> float | None:
    return amount.value if amount is not None else None

"""Lifting: what hangs on, what is loose, and how many lift."""

from __future__ import annotations

from dataclasses import dataclass

from handwheel.procedures.simulate.forbidden import prohibited
from handwheel.procedures.simulate.hand import Hand


@dataclass(frozen=True)
class LiftLimit:
    """What may be lifted."""

    each_grams: int = 12_000
    """Mass that one person lifts."""
    heavy_grams: int = 1_000
    """From this mass on a part is heavy enough to come off first."""


def lifts(hand: Hand, part: str, limit: LiftLimit) -> None:
    """Lift a part with all that hangs on it."""
    here = hand.there("parts", part, hand.machines, hand.part(part))
    prohibited(hand, "lifts", part, here)
    hanging = {part: here, **{each: machines & here for each, machines in hand.below(part).items()}}
    _nothing_loose(hand, part, hanging)
    too_heavy = 0
    for grams, machines in _masses(hand, hanging, here).items():
        hand.derive("lifted", ("parts", part), machines, detail=str(grams))
        if grams > limit.each_grams * hand.step.people:
            too_heavy |= machines
    hand.tell("too-heavy", ("parts", part), too_heavy)
    for each in _heavy(hand, hanging, limit) if too_heavy else ():
        hand.derive("could-come-off", ("parts", each), too_heavy & hanging[each], ("parts", part))


def _nothing_loose(hand: Hand, part: str, hanging: dict[str, int]) -> None:
    """No fastener of what is lifted is loose or out."""
    seen = dict.fromkeys(f for each in hanging for f in hand.anatomy.holders.get(each, ()))
    for fastener in seen:
        slack = hand.fastener(fastener) & (hand.has("loose", fastener) | hand.has("out", fastener))
        held = 0
        for each in hand.library.fasteners[fastener].holds:
            held |= hanging.get(each, 0) & ~hand.has("off", each)
        because = ((("loose", fastener), True), (("out", fastener), True))
        hand.tell("lifted-loose", ("fasteners", fastener), slack & held, ("parts", part), because)


def _masses(hand: Hand, hanging: dict[str, int], here: int) -> dict[int, int]:
    """Mass in grams -> machines on which that hangs together, as far as masses are known."""
    found = {0: here}
    for each, on in hanging.items():
        for grams, machines in _grams(hand, each):
            if grams and machines & on:
                found = _heavier(found, grams, machines & on)
    return found


def _heavier(masses: dict[int, int], grams: int, machines: int) -> dict[int, int]:
    found: dict[int, int] = {}
    for before, here in masses.items():
        for total, those in ((before, here & ~machines), (before + grams, here & machines)):
            if those:
                found[total] = found.get(total, 0) | those
    return found


def _grams(hand: Hand, part: str) -> list[tuple[int, int]]:
    return [
        (round((amount.value or 0.0) * 1000), machines)
        for amount, machines in hand.ground.value_masks(hand.library.parts[part].mass, hand.world)
    ]


def _heavy(hand: Hand, hanging: dict[str, int], limit: LiftLimit) -> list[str]:
    """Heavy parts that hang on it and that are taken off in ordinary work."""
    return [
        each
        for each in hanging
        if not hand.library.parts[each].root and not hand.library.parts[each].stays
        if any(grams >= limit.heavy_grams for grams, _ in _grams(hand, each))
    ]

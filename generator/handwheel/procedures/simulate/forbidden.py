"""Effects that a part must never meet."""

from __future__ import annotations

from handwheel.procedures.simulate.hand import Hand


def prohibited(hand: Hand, effect: str, subject: str, machines: int) -> None:
    """Tell where the effect on the part, fastener or point is forbidden."""
    for each in hand.library.prohibitions.values() if machines else ():
        if (each.effect, each.part) == (effect, subject):
            plural = next(kind for kind, _ in hand.library.find(subject) if kind in _KINDS)
            here = machines & hand.ground.when(each.when, hand.world)
            hand.tell("prohibited", (plural, subject), here, ("prohibitions", each.id))


_KINDS = ("parts", "fasteners", "oiling_points")

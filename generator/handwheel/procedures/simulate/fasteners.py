"""Fasteners tight, loose and out."""

from __future__ import annotations

from handwheel.procedures.simulate.forbidden import prohibited
from handwheel.procedures.simulate.hand import Hand
from handwheel.procedures.simulate.losing import lose
from handwheel.procedures.simulate.power import work_on_fastener
from handwheel.procedures.simulate.trace import NOTHING, Subject


def undo_with(hand: Hand, fastener: str, machines: int, through: Subject) -> None:
    """Undo a fastener, as far as it is undone, because a part that it holds comes off."""
    here = machines & ~hand.has("out", fastener)
    loosened = hand.library.fasteners[fastener].release == "loosened"
    if loosened:
        here &= ~hand.has("loose", fastener)
    if not here:
        return
    prohibited(hand, "loosens" if loosened else "undoes", fastener, here)
    hand.blocked(("fasteners", fastener), hand.anatomy.fastener_blockers[fastener], here)
    work_on_fastener(hand, fastener, here)
    hand.derive("loosened" if loosened else "undone", ("fasteners", fastener), here, through)
    _release(hand, fastener, here, "loose" if loosened else "out")


def undoes(hand: Hand, fastener: str) -> None:
    """Take a fastener out."""
    here = _not_out(hand, fastener)
    prohibited(hand, "undoes", fastener, here)
    if hand.library.fasteners[fastener].release == "loosened":
        hand.tell("only-loosened", ("fasteners", fastener), here)
    hand.blocked(("fasteners", fastener), hand.anatomy.fastener_blockers[fastener], here)
    work_on_fastener(hand, fastener, here)
    _release(hand, fastener, here, "out")


def loosens(hand: Hand, fastener: str) -> None:
    """Make a fastener loose; one that is loose already stays so."""
    here = _not_out(hand, fastener)
    prohibited(hand, "loosens", fastener, here)
    hand.blocked(("fasteners", fastener), hand.anatomy.fastener_blockers[fastener], here)
    work_on_fastener(hand, fastener, here)
    _release(hand, fastener, here, "loose")


def tightens(hand: Hand, fastener: str) -> None:
    """Tighten a fastener, where all that it holds is on."""
    here = hand.there("fasteners", fastener, hand.machines, hand.fastener(fastener))
    hand.blocked(("fasteners", fastener), hand.anatomy.fastener_blockers[fastener], here)
    work_on_fastener(hand, fastener, here)
    tighten(hand, fastener, here, NOTHING)


def tighten(hand: Hand, fastener: str, machines: int, through: Subject) -> None:
    """Make it tight where all that it holds is on."""
    here = machines & hand.hanging(hand.library.fasteners[fastener].holds)
    turned = hand.end("loose", fastener, here) | hand.end("out", fastener, here)
    if turned and not hand.quiet:
        work_on_fastener(hand, fastener, turned)
        hand.derive("tightened", ("fasteners", fastener), turned, through)


def _not_out(hand: Hand, fastener: str) -> int:
    """Machines that have it, and not out; those where it is out are told."""
    here = hand.there("fasteners", fastener, hand.machines, hand.fastener(fastener))
    twice = hand.require("out", fastener, False, here)
    hand.tell("undone-twice", ("fasteners", fastener), twice, because=((("out", fastener), True),))
    return here & ~twice


def _release(hand: Hand, fastener: str, machines: int, how: str) -> None:
    """It gives way; what it held in order is lost, unless its seat finds its place again."""
    tight = machines & ~hand.has("loose", fastener) & ~hand.has("out", fastener)
    if how == "out":
        hand.end("loose", fastener, machines)
        hand.put("out", fastener, machines)
    else:
        hand.put("loose", fastener, tight)
    moved = tight & any_seat(hand, fastener)
    for setting in hand.anatomy.held_settings.get(fastener, ()) if moved else ():
        lose(hand, setting, moved, ("fasteners", fastener), undone=True)


def any_seat(hand: Hand, fastener: str) -> int:
    """Machines on which the seat does not find its place again by itself."""
    here = hand.machines
    for seat, machines in hand.ground.value_masks(hand.library.fasteners[fastener].seat, hand.world):
        if seat != "any":
            here &= ~machines
    return here

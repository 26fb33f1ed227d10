"""The mains, work on what carries them, and tests."""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.machines.masks import union
from handwheel.procedures.simulate.ground import Ground
from handwheel.procedures.simulate.hand import Hand
from handwheel.procedures.simulate.trace import Subject
from handwheel.procedures.simulate.world import World

MAINS = "mains"


def mains(ground: Ground, world: World) -> int:
    """The world's machines that have something electrical."""
    found = 0
    for part in ground.library.parts.values():
        if part.electrical:
            found |= ground.part(part.id, world)
    return found


def work(hand: Hand, part: str, machines: int, wears: bool = True) -> None:
    """Hands on a part: not while it or what comes along with it is live; it wears an electrical test out."""
    for each, here in _electrical(hand, part, machines):
        _on_electrical(hand, each, here, wears, ("parts", part))


def work_on_fastener(hand: Hand, fastener: str, machines: int) -> None:
    """Hands on a fastener that holds something electrical."""
    for part in hand.library.fasteners[fastener].holds:
        if hand.library.parts[part].electrical:
            _on_electrical(hand, part, machines & hand.part(part), True, ("fasteners", fastener))


def work_on_setting(hand: Hand, setting: str, part: str, machines: int, wears: bool) -> None:
    """Hands on a part where a setting of it is seen: to mark it is to touch it, and wears nothing out."""
    if hand.library.parts[part].electrical:
        _on_electrical(hand, part, machines & hand.part(part), wears, ("settings", setting))


def _electrical(hand: Hand, part: str, machines: int) -> Iterator[tuple[str, int]]:
    """What is electrical of a part and all that comes along with it, with the machines on which it is."""
    if hand.library.parts[part].electrical:
        yield part, machines
    for along in hand.anatomy.electrical_on.get(part, ()):
        yield along.part, machines & hand.part(along.part) & hand.hanging(along.hung)


def _on_electrical(hand: Hand, part: str, machines: int, wears: bool, through: Subject) -> None:
    if hand.quiet or not machines:
        return
    if not _live_on_purpose(hand):
        live = hand.require("live", MAINS, False, machines)
        hand.tell("live-work", ("parts", part), live, through, ((("live", MAINS), True),))
    if wears:
        stale(hand, "electrical", machines, through)


def _live_on_purpose(hand: Hand) -> bool:
    return bool(hand.step.runs) or any(hand.library.proofs[proof].live for proof in hand.step.proves)


def stale_sewing(hand: Hand, machines: int, through: Subject) -> None:
    """Something that sewing needs was moved."""
    stale(hand, "sewing", machines, through)


def stale(hand: Hand, by: str, machines: int, through: Subject) -> None:
    """Tests of a kind are worn out."""
    for proof in hand.library.proofs.values() if machines else ():
        if proof.stale_by == by:
            here = machines & hand.ground.when(proof.when, hand.world)
            hand.derive("wears-out", ("proofs", proof.id), hand.put("stale", proof.id, here, through), through)


def isolates(hand: Hand) -> None:
    """Cut the supply."""
    hand.end("live", MAINS, hand.machines)


def restores(hand: Hand) -> None:
    """Put the supply back, once it is tested."""
    here = mains(hand.ground, hand.world)
    _tested(hand, here)
    hand.put("live", MAINS, here)


def runs(hand: Hand) -> None:
    """Run under power."""
    here = mains(hand.ground, hand.world)
    movers = [part.id for part in hand.library.parts.values() if part.powers]
    if movers:
        hand.tell("nothing-to-run", ("supply", MAINS), hand.machines & ~union(hand.part(each) for each in movers))
    _tested(hand, here)
    _powered(hand, here)


def _tested(hand: Hand, machines: int) -> None:
    """Every electrical test holds before the power is on."""
    for proof in hand.library.proofs.values():
        if proof.stale_by == "electrical":
            here = machines & hand.ground.when(proof.when, hand.world)
            wrong = hand.require("stale", proof.id, False, here)
            hand.tell("live-before-test", ("proofs", proof.id), wrong, because=((("stale", proof.id), True),))


def _powered(hand: Hand, machines: int) -> None:
    dead = hand.require("live", MAINS, True, machines)
    hand.tell("no-power", ("supply", MAINS), dead, because=((("live", MAINS), False),))


def proves(hand: Hand, proof: str) -> None:
    """A test is passed: of sewing, with all settings in order, and under power where a motor drives."""
    record = hand.library.proofs[proof]
    here = hand.machines & hand.ground.when(record.when, hand.world)
    if record.stale_by == "sewing":
        for setting in sorted(hand.anatomy.sewing_settings):
            lost = hand.require("lost", setting, False, here & hand.has("lost", setting))
            hand.tell("tested-too-early", ("proofs", proof), lost, ("settings", setting), ((("lost", setting), True),))
    _powered(hand, here & _needs_power(hand, record.stale_by == "sewing", record.live))
    hand.end("stale", proof, here)


def _needs_power(hand: Hand, sewing: bool, live: bool) -> int:
    found = mains(hand.ground, hand.world) if live else 0
    for part in hand.library.parts.values() if sewing else ():
        if part.powers:
            found |= hand.fitted(part.id)
    return found

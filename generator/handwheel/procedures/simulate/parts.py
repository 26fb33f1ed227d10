"""Parts off and on, renewed and warmed."""

from __future__ import annotations

from handwheel.procedures.changes import changes_of
from handwheel.procedures.simulate.fasteners import tighten, undo_with
from handwheel.procedures.simulate.forbidden import prohibited
from handwheel.procedures.simulate.hand import Hand
from handwheel.procedures.simulate.losing import lose
from handwheel.procedures.simulate.power import stale_sewing, work


def removes(hand: Hand, part: str) -> None:
    """Take a part off: in place, nothing in front; what holds it is undone with it."""
    here = hand.there("parts", part, hand.machines, hand.part(part))
    prohibited(hand, "removes", part, here)
    twice = hand.require("off", part, False, here)
    hand.tell("not-in-place", ("parts", part), twice, because=((("off", part), True),))
    here &= ~twice
    hand.blocked(("parts", part), hand.anatomy.part_blockers[part], here)
    work(hand, part, here)
    for along, machines in hand.below(part).items():
        hand.derive("comes-along", ("parts", along), machines & here, ("parts", part))
    take_off(hand, part, here)


def take_off(hand: Hand, part: str, machines: int) -> None:
    """What comes of a part's being off: its fasteners are undone, what it held is lost."""
    for fastener in hand.anatomy.holders.get(part, ()):
        undo_with(hand, fastener, machines & hand.fastener(fastener), ("parts", part))
    for setting in hand.anatomy.held_settings.get(part, ()):
        lose(hand, setting, machines, ("parts", part), undone=True)
    hand.put("off", part, machines)


def fits(hand: Hand, part: str) -> None:
    """Put a part on: it is off, nothing in front is on; fasteners whose parts are now all on are tightened."""
    here = hand.there("parts", part, hand.machines, hand.part(part))
    twice = hand.require("off", part, True, here)
    hand.tell("fitted-twice", ("parts", part), twice, because=((("off", part), False),))
    here &= ~twice
    hand.blocked(("parts", part), hand.anatomy.part_blockers[part], here)
    work(hand, part, here)
    hand.end("off", part, here)
    if hand.library.parts[part].sews:
        stale_sewing(hand, here, ("parts", part))
    for fastener in hand.anatomy.holders.get(part, ()):
        ready = here & hand.fastener(fastener) & hand.hanging(hand.library.fasteners[fastener].holds)
        if hand.step.leaves == "loose":
            hand.put("loose", fastener, hand.end("out", fastener, ready))
            hand.derive("left-loose", ("fasteners", fastener), ready & hand.has("loose", fastener), ("parts", part))
            continue
        slack = ready & (hand.has("loose", fastener) | hand.has("out", fastener))
        hand.blocked(("fasteners", fastener), hand.anatomy.fastener_blockers[fastener], slack)
        tighten(hand, fastener, slack, ("parts", part))


def renews(hand: Hand, part: str, form: str) -> None:
    """Put a new part in the old one's place, on the machine or on the tray."""
    here = hand.machines
    changes = changes_of(hand.library, hand.step) if form else {}
    if not changes:
        here = hand.there("parts", part, here, hand.part(part))
    prohibited(hand, "renews", part, here)
    hand.blocked(("parts", part), hand.anatomy.part_blockers[part], here & hand.hanging((part,)))
    work(hand, part, here)
    _new(hand, part, here)
    hand.changes += [(feature, new, here) for feature, new in changes.items()]


def _new(hand: Hand, part: str, here: int) -> None:
    """What an exchange takes along, and what it cures."""
    for setting in hand.anatomy.settings_on.get(part, ()):
        lose(hand, setting, here, ("parts", part), undone=True)
        hand.end("marked", setting, here, ("parts", part))
    for point in hand.anatomy.points_on.get(part, ()):
        dry(hand, point, here & hand.point(point), ("parts", part))
    hand.end("gummed", part, here)
    hand.put("clean", part, here)
    hand.end("wet", part, here)
    for fact in tuple(hand.facts):
        if fact[0] == "tested" and fact[1].startswith(f"{part} "):
            hand.end("tested", fact[1], here)
    for finding in hand.anatomy.findings_of.get(part, ()):
        cured = here & hand.has("asked", finding)
        hand.replies.append((finding, hand.ground.good[finding][0], cured))
        hand.derive("cures", ("findings", finding), cured, ("parts", part))
    if hand.library.parts[part].sews:
        stale_sewing(hand, here, ("parts", part))


def dry(hand: Hand, point: str, machines: int, through: tuple[str, str]) -> None:
    """A point loses its oil."""
    new = hand.put("dry", point, machines, through)
    hand.end("oiled", point, machines)
    hand.derive("dries", ("oiling_points", point), new, through)


def heats(hand: Hand, part: str) -> None:
    """Warm a part."""
    here = hand.there("parts", part, hand.machines, hand.part(part))
    prohibited(hand, "heats", part, here)
    work(hand, part, here, wears=False)
    for other in [subject for kind, subject in hand.facts if kind == "wet"]:
        wet = hand.has("wet", other) & _together(hand, part, other, here)
        hand.tell("heated-wet", ("parts", part), wet, ("parts", other), ((("wet", other), True),))


def _together(hand: Hand, part: str, other: str, here: int) -> int:
    """Machines on which two parts hang together now."""
    mine, its = _upwards(hand, part), _upwards(hand, other)
    common = next((each for each in mine if each in its), None)
    if common is None:
        return 0
    for each in (*mine[: mine.index(common)], *its[: its.index(common)]):
        here &= hand.part(each) & ~hand.facts.get(("off", each), 0)
    return here & hand.part(common)


def _upwards(hand: Hand, part: str) -> tuple[str, ...]:
    """A part, all that it hangs on, and the root."""
    root = hand.anatomy.root
    chain = (part, *hand.anatomy.carriers[part])
    return chain if not root or part == root else (*chain, root)


def dries_off(hand: Hand, part: str) -> None:
    """What waits, and all that hangs on it, is no longer wet with a spirit."""
    here = hand.machines & hand.part(part)
    for other, along in {part: here, **hand.below(part)}.items():
        hand.end("wet", other, along & here)


def lubricates(hand: Hand, point: str) -> None:
    """Oil a point: nothing in front of it."""
    here = hand.there("oiling_points", point, hand.machines, hand.point(point))
    prohibited(hand, "lubricates", point, here)
    hand.blocked(("oiling_points", point), hand.anatomy.point_blockers[point], here)
    for part in hand.library.oiling_points[point].between:
        work(hand, part, here, wears=False)
    hand.end("dry", point, here)
    hand.put("oiled", point, here)

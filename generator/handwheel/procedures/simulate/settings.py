"""Settings marked, moved and set."""

from __future__ import annotations

from handwheel.procedures.simulate.fasteners import any_seat, tighten
from handwheel.procedures.simulate.hand import Hand
from handwheel.procedures.simulate.losing import lose
from handwheel.procedures.simulate.power import stale_sewing, work_on_fastener, work_on_setting
from handwheel.procedures.simulate.trace import NOTHING


def marks(hand: Hand, setting: str) -> None:
    """Mark how it stands, with hands where it is held."""
    here = hand.there("settings", setting, hand.machines, hand.setting(setting))
    for part, machines in _its_parts(hand, setting, here):
        work_on_setting(hand, setting, part, machines, wears=False)
    hand.put("marked", setting, here)


def disturbs(hand: Hand, setting: str) -> None:
    """Move it without a fastener or part."""
    lose(hand, setting, hand.there("settings", setting, hand.machines, hand.setting(setting)), NOTHING)


def sets(hand: Hand, setting: str) -> None:
    """Set it: its parts are on, what it rests on is in order; what rests on it must be set again."""
    here = hand.there("settings", setting, hand.machines, hand.setting(setting))
    _can_be_set(hand, setting, here)
    for holder in hand.library.settings[setting].held_by:
        if holder in hand.library.fasteners:
            _turn(hand, holder, here & hand.fastener(holder))
        else:
            work_on_setting(hand, setting, holder, here, wears=True)
    for other in hand.anatomy.dependents.get(setting, ()):
        if other not in hand.step.sets:
            lose(hand, other, here, ("settings", setting))
    hand.end("lost", setting, here)
    if setting in hand.anatomy.sewing_settings:
        stale_sewing(hand, here, ("settings", setting))
    reading = hand.library.settings[setting].reading
    if reading:
        hand.replies.append((reading, hand.ground.good[reading][0], here & hand.has("asked", reading)))


def _turn(hand: Hand, fastener: str, here: int) -> None:
    """Its fastener is slackened and tightened; other settings that it holds are lost."""
    if not here:
        return
    hand.blocked(("fasteners", fastener), hand.anatomy.fastener_blockers[fastener], here)
    work_on_fastener(hand, fastener, here)
    moved = here & any_seat(hand, fastener)
    for other in hand.anatomy.held_settings.get(fastener, ()):
        if other not in hand.step.sets:
            lose(hand, other, moved, ("fasteners", fastener))
    tighten(hand, fastener, here, NOTHING)


def _can_be_set(hand: Hand, setting: str, here: int) -> None:
    """What must be on, off and in order when it is set."""
    record = hand.library.settings[setting]
    for part, machines in _its_parts(hand, setting, here):
        _must_be_on(hand, setting, part, (part,), machines)
    if record.set_when:
        for part in record.set_when.fitted:
            _must_be_on(hand, setting, part, (part, *hand.anatomy.carriers[part]), here & hand.part(part))
        for part in record.set_when.open:
            _must_be_off(hand, setting, part, here)
    for base in record.after:
        lost = hand.require("lost", base, False, here & hand.setting(base))
        hand.tell("set-too-early", ("settings", setting), lost, ("settings", base), ((("lost", base), True),))


def _its_parts(hand: Hand, setting: str, here: int) -> list[tuple[str, int]]:
    """Parts that hold it or that its fasteners hold, with the machines on which they do."""
    found: dict[str, int] = {}
    for holder in hand.library.settings[setting].held_by:
        fastener = hand.library.fasteners.get(holder)
        machines = here & (hand.fastener(holder) if fastener else hand.part(holder))
        for part in fastener.holds if fastener else (holder,):
            found[part] = found.get(part, 0) | machines
    return list(found.items())


def _must_be_on(hand: Hand, setting: str, part: str, chain: tuple[str, ...], here: int) -> None:
    wrong = 0
    for each in chain:
        wrong |= hand.require("off", each, False, here)
    because = tuple((("off", each), True) for each in chain)
    hand.tell("set-too-early", ("settings", setting), wrong, ("parts", part), because)


def _must_be_off(hand: Hand, setting: str, part: str, here: int) -> None:
    wrong = hand.require("off", part, True, here & hand.fitted(part))
    hand.tell("set-too-early", ("settings", setting), wrong, ("parts", part), ((("off", part), False),))

"""Settings that go out of order."""

from __future__ import annotations

from handwheel.procedures.simulate.hand import FORGET, Hand
from handwheel.procedures.simulate.power import stale_sewing
from handwheel.procedures.simulate.trace import Subject


def lose(hand: Hand, setting: str, machines: int, through: Subject, undone: bool = False) -> None:
    """A setting goes out of order; one that must be marked first was marked, if it is undone."""
    record = hand.library.settings[setting]
    new = machines & hand.setting(setting) & ~hand.has("lost", setting)
    if not new:
        return
    if undone and not hand.quiet and (record.arrangement or record.mark_first):
        hand.tell("not-marked", ("settings", setting), hand.require("marked", setting, True, new), through)
    hand.put("lost", setting, new, through)
    hand.derive("loses", ("settings", setting), new, through)
    if setting in hand.anatomy.sewing_settings:
        stale_sewing(hand, new, ("settings", setting))
    if record.reading:
        hand.replies.append((record.reading, FORGET, new))

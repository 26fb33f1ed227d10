"""Where the works stand, and turning them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from handwheel.machines.masks import union
from handwheel.procedures.simulate.hand import Hand

Need = tuple[str, tuple[str, ...], int]
"""Position, the states that will do, the machines that need it."""


def take_positions(hand: Hand) -> None:
    """Bring the works to where the step needs them: printed before it, never a step."""
    if not (hand.step.removes or hand.step.fits or hand.step.sets):
        return
    wanted: dict[str, list[tuple[int, tuple[str, ...]]]] = {}
    for position, states, machines in _needs(hand):
        _narrow(hand, wanted.setdefault(position, []), position, states, machines)
    kept = {position: _all(wishes) for position, wishes in wanted.items()}
    for position, wishes in wanted.items():
        for machines, states in wishes:
            there = 0
            for state in states:
                there |= hand.has("at", f"{position} {state}")
            move = machines & ~there
            if move:
                _bring(hand, position, states[0], move, kept)
                hand.derive("see-that", ("positions", position), move, detail=states[0])


def turns(hand: Hand, mover: str) -> None:
    """Turn the works: where they stand is no longer known."""
    _by_hand(hand, mover)
    _turn(hand, mover, hand.machines, {})


def puts(hand: Hand, puts_: Mapping[str, tuple[str, ...]]) -> None:
    """Bring the works to positions."""
    kept = dict.fromkeys(puts_, hand.machines)
    for mover in {hand.library.positions[position].moved_by: None for position in puts_}:
        _by_hand(hand, mover)
    for position, states in puts_.items():
        _bring(hand, position, states[0], hand.machines, kept)


def _by_hand(hand: Hand, mover: str) -> None:
    """What is turned by a part cannot be turned with that part off."""
    turners = [part.id for part in hand.library.parts.values() if mover in part.turns]
    fitted = union(hand.fitted(each) for each in turners)
    for each in turners:
        off = hand.require("off", each, False, hand.machines & hand.part(each) & ~fitted)
        hand.tell("nothing-to-turn", ("parts", each), off, because=((("off", each), True),))


def unknown_after_running(hand: Hand) -> None:
    """Under power the works stop anywhere."""
    for mover in {each.moved_by for each in hand.library.positions.values()}:
        _forget(hand, mover, hand.machines, {})


def seized(hand: Hand, mover: str) -> int:
    """Machines on which what is to be turned stands still, or may."""
    if mover not in hand.library.findings or mover in hand.step.finds:
        return 0
    state = hand.world.answers.get(mover)
    if state is not None:
        return 0 if state in hand.ground.good[mover] else hand.machines
    return hand.has("may be seized", mover)


def _needs(hand: Hand) -> Iterator[Need]:
    for part in (*hand.step.removes, *hand.step.fits):
        if not hand.library.parts[part].take_at:
            continue
        on = hand.part(part) & hand.hanging(hand.anatomy.carriers[part])
        for position, states in hand.library.parts[part].take_at.items():
            yield position, states, on
    for setting in hand.step.sets:
        record = hand.library.settings[setting]
        for position, states in record.set_when.positions.items() if record.set_when else ():
            yield position, states, hand.setting(setting)


def _narrow(
    hand: Hand, wishes: list[tuple[int, tuple[str, ...]]], position: str, states: tuple[str, ...], machines: int
) -> None:
    """One more wish for a position; two that no state meets cannot be had at once."""
    left = machines
    for place, (here, others) in enumerate(tuple(wishes)):
        both = here & left
        left &= ~here
        common = tuple(state for state in others if state in states)
        if both and not common:
            hand.tell("impossible-position", ("positions", position), both)
        elif both and common != others:
            wishes[place] = (here & ~both, others)
            wishes.append((both, common))
    if left:
        wishes.append((left, states))


def _bring(hand: Hand, position: str, state: str, machines: int, kept: Mapping[str, int]) -> None:
    mover = hand.library.positions[position].moved_by
    _turn(hand, mover, machines, kept)
    for other in hand.library.positions[position].states:
        hand.end("at", f"{position} {other}", machines)
    hand.put("at", f"{position} {state}", machines)


def _turn(hand: Hand, mover: str, machines: int, kept: Mapping[str, int]) -> None:
    stuck = seized(hand, mover) & machines
    hand.tell("cannot-turn", ("findings", mover), stuck)
    _forget(hand, mover, machines, kept)


def _forget(hand: Hand, mover: str, machines: int, kept: Mapping[str, int]) -> None:
    """What the same thing moves stands anywhere now, but for what the step keeps in view."""
    for position in hand.library.positions.values():
        if position.moved_by == mover:
            for state in position.states:
                hand.end("at", f"{position.id} {state}", machines & ~kept.get(position.id, 0))


def _all(wishes: list[tuple[int, tuple[str, ...]]]) -> int:
    found = 0
    for machines, _ in wishes:
        found |= machines
    return found

"""One step: its effects in their fixed order, whatever the order written."""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.procedures.simulate import cleaning, fasteners, lifting, parts, positions, power, settings
from handwheel.procedures.simulate.forbidden import prohibited
from handwheel.procedures.simulate.hand import FORGET, Hand
from handwheel.procedures.simulate.trace import NOTHING
from handwheel.procedures.simulate.world import World
from handwheel.records.step_records import Step


def do(hand: Hand, limit: lifting.LiftLimit) -> None:
    """Do all effects of the step on all machines of the hand."""
    step = hand.step
    positions.take_positions(hand)
    _wait_over(hand)
    _supply_and_receipt(hand, step)
    for setting in step.marks:
        settings.marks(hand, setting)
    _apart(hand, step)
    _clean_and_renew(hand, step)
    _together(hand, step)
    for part in step.lifts:
        lifting.lifts(hand, part, limit)
    for mover in step.turns:
        positions.turns(hand, mover)
    if step.puts:
        positions.puts(hand, step.puts)
    _test(hand, step)
    _questions(hand, step)
    _give_back(hand, step)


def _supply_and_receipt(hand: Hand, step: Step) -> None:
    if step.isolates:
        power.isolates(hand)
    if step.restores:
        power.restores(hand)
    for item in step.takes_in:
        hand.put("taken", item, hand.ground.when(hand.library.items[item].when, hand.world))


def _apart(hand: Hand, step: Step) -> None:
    for fastener in step.loosens:
        fasteners.loosens(hand, fastener)
    for fastener in step.undoes:
        fasteners.undoes(hand, fastener)
    for part in step.removes:
        parts.removes(hand, part)


def _clean_and_renew(hand: Hand, step: Step) -> None:
    for part, agent in step.tests_on.items():
        cleaning.tests_on(hand, part, agent)
    for part, agent in step.cleans.items():
        cleaning.cleans(hand, part, agent)
    for part in step.heats:
        parts.heats(hand, part)
    for part, form in step.renews.items():
        parts.renews(hand, part, form)
    for point in step.lubricates:
        parts.lubricates(hand, point)


def _together(hand: Hand, step: Step) -> None:
    for part in step.fits:
        parts.fits(hand, part)
    for setting in step.sets:
        settings.sets(hand, setting)
    for fastener in step.tightens:
        fasteners.tightens(hand, fastener)
    for setting in step.disturbs:
        settings.disturbs(hand, setting)


def _test(hand: Hand, step: Step) -> None:
    if step.turns:
        for each in hand.library.prohibitions.values():
            if each.effect == "turns" and each.part in hand.library.parts:
                prohibited(hand, "turns", each.part, hand.fitted(each.part))
    if step.runs:
        power.runs(hand)
        positions.unknown_after_running(hand)
    for proof in step.proves:
        power.proves(hand, proof)


def _questions(hand: Hand, step: Step) -> None:
    for finding, states in step.becomes.items():
        hand.put("asked", finding, hand.machines)
        hand.end("may be seized", finding, hand.machines)
        hand.replies.append((finding, states[0], hand.machines))
    for plural, questions in (("findings", step.finds), ("readings", step.measures)):
        for question in questions:
            record = hand.library.of(plural)[question]
            here = hand.there(plural, question, hand.machines, hand.ground.when(record.when, hand.world))
            _ask(hand, question, here)
    for question in step.asks:
        _ask(hand, question, hand.ground.when(hand.library.choices[question].when, hand.world))


def _ask(hand: Hand, question: str, machines: int) -> None:
    hand.end("may be seized", question, machines)
    hand.put("asked", question, machines)
    hand.replies.append((question, None, machines))


def _give_back(hand: Hand, step: Step) -> None:
    for item in step.gives_back:
        here = hand.ground.when(hand.library.items[item].when, hand.world)
        missing = hand.require("taken", item, True, here)
        hand.tell("not-taken-in", ("items", item), missing)
        hand.end("taken", item, here)
    if step.wait:
        for part in step.wait.of:
            hand.put("waiting", part, hand.machines & hand.part(part))
            parts.dries_off(hand, part)
    if step.hands_over:
        _hand_over(hand)


def _hand_over(hand: Hand) -> None:
    twice = hand.require("handed", "over", False, hand.machines)
    hand.tell("handed-over-twice", NOTHING, twice, because=((("handed", "over"), True),))
    for proof in hand.library.proofs.values():
        here = hand.machines & hand.ground.when(proof.when, hand.world)
        stale = hand.require("stale", proof.id, False, here)
        hand.tell("handed-over-untested", ("proofs", proof.id), stale, because=((("stale", proof.id), True),))
        hand.put("told untested", proof.id, stale)
    hand.put("handed", "over", hand.machines)


def _wait_over(hand: Hand) -> None:
    """What waits is touched again: printed as "not before ..."."""
    step = hand.step
    for part in dict.fromkeys((*step.removes, *step.fits, *step.renews, *step.cleans, *step.heats)):
        hand.derive("not-before", ("parts", part), hand.end("waiting", part, hand.machines))


# ------------------------------------------------------------------------------------------- after


def outcome(hand: Hand) -> list[World]:
    """The worlds that the step leaves: one, unless questions were answered or forms changed on some machines."""
    worlds = [hand.world.with_facts(hand.facts)]
    for question, state, machines in hand.replies:
        worlds = [part for world in worlds for part in _reply(world, question, state, machines)]
    for feature, form, machines in hand.changes:
        worlds = [part for world in worlds for part in _change(world, feature, form, machines)]
    return worlds


def _reply(world: World, question: str, state: str | None, machines: int) -> Iterator[World]:
    here, rest = machines & world.machines, world.machines & ~machines
    if rest:
        yield world.within(rest)
    if not here:
        return
    part = world.within(here)
    facts = dict(part.facts)
    asked = facts.get(("asked", question), 0)
    facts["asked", question] = asked & ~here if state == FORGET else asked | here
    if not state:
        facts["read", question] = facts.get(("read", question), 0) & ~here
    part = part.with_facts(facts)
    yield part.answered(question, state) if state else part.unanswered(question)


def _change(world: World, feature: str, form: str, machines: int) -> Iterator[World]:
    here, rest = machines & world.machines, world.machines & ~machines
    if rest:
        yield world.within(rest)
    if here:
        part = world.within(here).answered(feature, form)
        changed = dict(part.changed) | {feature: form}
        yield World(here, part.answers, part.facts, part.later, part.trail, tuple(sorted(changed.items())))

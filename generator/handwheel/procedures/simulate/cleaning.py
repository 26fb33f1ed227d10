"""Agents: what they reach, what they harm, which points they leave dry."""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.procedures.simulate.forbidden import prohibited
from handwheel.procedures.simulate.hand import Hand
from handwheel.procedures.simulate.parts import dry
from handwheel.procedures.simulate.power import work
from handwheel.records.library_records import Agent

UNKNOWN, FINE, TEST, NEVER = "unknown", "fine", "test first", "never"


def cleans(hand: Hand, part: str, agent: str) -> None:
    """Clean a part: in a bath with all still in it; wiped or dripped on the machine, the head's finish is met too."""
    record: Agent = hand.library.agents[agent]
    here = hand.there("parts", part, hand.machines, hand.part(part))
    how = hand.step.how or record.use[0]
    if how == "bath":
        there = hand.require("off", part, True, here)
        hand.tell("bath-in-place", ("parts", part), there, because=((("off", part), False),))
    for each, machines in _reached(hand, part, how, here):
        prohibited(hand, "cleans", each, machines)
        work(hand, each, machines, wears=False)
        _meets(hand, each, record, machines, _layers(hand, each, machines), "" if each == part else each)
        _cleaned(hand, each, record, machines)
    if how != "bath":
        _drips(hand, part, record, here)


def tests_on(hand: Hand, part: str, agent: str) -> None:
    """Try an agent on a hidden spot of a part."""
    here = hand.there("parts", part, hand.machines, hand.part(part))
    work(hand, part, here, wears=False)
    hand.put("tested", f"{part} {agent}", here)


def _reached(hand: Hand, part: str, how: str, here: int) -> Iterator[tuple[str, int]]:
    """Parts that the agent reaches; those that are shielded are left out."""
    found = {part: here}
    if how == "bath":
        found |= {each: machines & here for each, machines in hand.below(part).items()}
    for each, machines in found.items():
        if machines and each not in hand.step.shields:
            yield each, machines


def _cleaned(hand: Hand, part: str, agent: Agent, machines: int) -> None:
    hand.put("clean", part, machines, ("agents", agent.id))
    if agent.flammable:
        hand.put("wet", part, machines, ("agents", agent.id))
    if not agent.strips_oil:
        return
    hand.end("gummed", part, machines)
    for point in hand.anatomy.points_on.get(part, ()):
        dry(hand, point, machines & hand.point(point), ("agents", agent.id))


def _drips(hand: Hand, part: str, agent: Agent, here: int) -> None:
    """On the machine, what is wiped on a part runs down the head too."""
    root = hand.anatomy.root
    if not root or part == root or root in hand.step.shields:
        return
    machines = here & hand.fitted(part) & hand.part(root)
    finish = hand.library.parts[root].finish
    layers = [
        (layer, there & machines)
        for name, there in hand.ground.value_masks(finish, hand.world)
        for layer in layers_of(hand, name)
    ]
    _meets(hand, root, agent, machines, layers, part)
    if agent.flammable:
        hand.put("wet", root, machines, ("agents", agent.id))
    hand.derive("runs-down", ("parts", root), machines, ("parts", part))


def _layers(hand: Hand, part: str, machines: int) -> list[tuple[str, int]]:
    """Material and every layer of the finish of a part, each with the machines that have it."""
    record = hand.library.parts[part]
    found: list[tuple[str, int]] = []
    for finish, here in hand.ground.value_masks(record.finish, hand.world):
        found += [(layer, here & machines) for layer in layers_of(hand, finish)]
    found += [(material, here & machines) for material, here in hand.ground.value_masks(record.material, hand.world)]
    return found


def layers_of(hand: Hand, finish: str) -> tuple[str, ...]:
    """A finish's layers, itself if it has none."""
    record = hand.library.finishes.get(finish)
    return (record.layers or (finish,)) if record else (finish,)


def _meets(hand: Hand, part: str, agent: Agent, machines: int, layers: list[tuple[str, int]], unless_off: str) -> None:
    """The worst layer governs; what is harmed only because a part hangs on would not be with that part off."""
    about = ("agents", agent.id)
    for layer, here in layers:
        verdict = agent.harms.get(layer, UNKNOWN)
        subject = ("parts", part)
        if verdict == NEVER:
            harmed = hand.require("off", unless_off, True, here & machines) if unless_off else here & machines
            hand.tell("agent-harms", subject, harmed, about, ((("off", unless_off), False),) if unless_off else ())
        elif verdict == TEST:
            untried = hand.require("tested", f"{part} {agent.id}", True, here & machines)
            hand.tell("not-tested-first", subject, untried, about)
        elif verdict == UNKNOWN:
            hand.derive("unknown-pairing", subject, here & machines, about, layer)

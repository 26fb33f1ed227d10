"""A procedure backwards: steps in reverse order, each doing the contrary."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, cast

from handwheel.procedures.ids import base_anchor
from handwheel.procedures.program import Act, Fork, Guarded, Item, Items, Loop, Reached, acts_of, inside, with_inside
from handwheel.procedures.words import fill
from handwheel.reading.messages import Message, nearest
from handwheel.records.kinds import NOWHERE
from handwheel.records.step_records import EFFECTS, Mirror, Step
from handwheel.records.values import Varies

BLANK = Step(**cast(Any, {"do": Varies((), NOWHERE)}))
_CLEARED = {effect: getattr(BLANK, effect) for effect in EFFECTS}


@dataclass(frozen=True)
class Pick:
    """Which steps of a mirrored procedure are taken, and what is put in after them."""

    node: Mirror
    after: Mapping[str, Items] = field(default_factory=dict)
    """Step as the author named it -> items, already written out."""

    def takes(self, act: Act) -> bool:
        """Whether the step is mirrored at all."""
        if any(self._names(ref, act) for ref in self.node.without):
            return False
        return not self.node.only or any(self._names(ref, act) for ref in self.node.only)

    def put_in(self, act: Act) -> Items:
        """What is put in after the mirrored step."""
        return tuple(item for ref, items in self.after.items() if self._names(ref, act) for item in items)

    def unknown(self, items: Items) -> Iterator[Message]:
        """A message for each step named that the procedure does not have."""
        acts = tuple(acts_of(items))
        for name in ("without", "only", "after"):
            for ref in getattr(self.node, name):
                if not any(self._names(ref, act) for act in acts):
                    yield self._no_step(name, ref, acts)

    def speechless(self, items: Items) -> Iterator[Message]:
        """A message for each step of words only whose contrary nobody could tell."""
        for item in items:
            match item:
                case Act() if self.takes(item) and not item.unless_apart and _only_words(item.step):
                    yield self._no_words(item)
                case Guarded() | Fork():
                    for held in inside(item):
                        yield from self.speechless(held)

    def _no_words(self, act: Act) -> Message:
        what = f"step '{act.id}' has no effect that can be mirrored and no words for it, so that it is left out"
        right = f"say 'back: ...' in the step, or 'without: [{act.local}]' here"
        related = ((act.place, "the step"),)
        return Message("mirror-without-words", self.node.place, what, right, "warning", related)

    def _names(self, ref: str, act: Act) -> bool:
        return ref == act.id or f"{self.node.mirror}/{ref}" == act.id

    def _no_step(self, name: str, ref: str, acts: tuple[Act, ...]) -> Message:
        own = f"{self.node.mirror}/"
        near = nearest(ref, (act.id.removeprefix(own) for act in acts))
        right = f"did you mean '{near}'?" if near else "give the step that is meant an id"
        return Message("unknown-step", self.node.where(name), f"'{self.node.mirror}' has no step '{ref}'", right)


def mirrored(items: Items, pick: Pick) -> Items:
    """The items backwards. Repeats, reached parts and ensured runs are not mirrored."""
    found: list[Items] = []
    for item in reversed(items):
        match item:
            case Act():
                found.append(_taken(item, pick))
            case Guarded(items=held):
                found.append(_kept(with_inside(item, (mirrored(held, pick),))))
            case Fork(arms=arms):
                found.append(_kept(with_inside(item, tuple(mirrored(arm.items, pick) for arm in arms))))
            case Loop() | Reached():
                pass
    return tuple(item for run in found for item in run)


def mirror_act(act: Act) -> Act | None:
    """The contrary of a step; None where it has none. A mirrored step becomes the step again."""
    if act.mirrored:
        step, back = fill(act.authored, act.words), False
    else:
        step, back = mirror_step(act.step), True
    if back and step is act.step:
        return None
    return replace(act, step=step, mirrored=back, anchor=base_anchor(act.chain, act.local, back))


def mirror_step(step: Step) -> Step:
    """What was removed is fitted, what was undone or loosened is tightened; other effects are dropped.

    A lift stays with what it lifts: a part lifted off by two is lifted on by two. The very
    same step where nothing can be mirrored and it has no words for its mirror.
    """
    loose = step.leaves_back
    fits = tuple(reversed(step.removes))
    tightens = () if loose else tuple(reversed((*step.loosens, *step.undoes)))
    if not (fits or tightens or step.back):
        return step
    contrary = {
        "fits": fits,
        "tightens": tightens,
        "leaves": loose if fits else "",
        "leaves_back": "",
        "lifts": step.lifts if fits else (),
        "people": step.people if fits and step.lifts else 1,
        "do": step.back or step.do,
    }
    dropped = dict.fromkeys(("why", "ok", "trap", "otherwise", "back"))
    emptied = dict.fromkeys(("shown", "supplies", "shields"), ())
    return replace(step, **_CLEARED | contrary | dropped | emptied | {"how": ""})


def _only_words(step: Step) -> bool:
    return step.back is None and not any(getattr(step, effect) for effect in EFFECTS)


def _taken(act: Act, pick: Pick) -> Items:
    contrary = mirror_act(act) if pick.takes(act) and not act.unless_apart else None
    return (*((contrary,) if contrary else ()), *pick.put_in(act))


def _kept(item: Item) -> Items:
    """The item, unless nothing is left in it."""
    return (item,) if any(inside(item)) else ()

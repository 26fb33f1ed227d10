"""What typing needs while it reads: the index of everything that was written, and where to say what is wrong."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from handwheel.reading.messages import Messages
from handwheel.reading.nearest import nearest
from handwheel.records.kinds import KINDS
from handwheel.records.places import Place

CHOICE_STATES = ("accepted", "declined")
_PERHAPS_ELSEWHERE = ("unknown-id", "unknown-step")
_MEANT = "did you mean"


@dataclass
class Index:
    """Ids and states of everything written, known before anything is typed."""

    ids: dict[str, tuple[str, ...]] = field(default_factory=dict)
    """Plural of a kind -> ids in the order written."""
    states: dict[str, tuple[str, ...]] = field(default_factory=dict)
    """Question or position -> its states."""
    family_of: dict[str, str] = field(default_factory=dict)
    """Variant -> family."""
    groups: dict[str, tuple[str, str]] = field(default_factory=dict)
    """Group -> first and last variant."""

    def variants_of(self, family: str) -> tuple[str, ...]:
        """Ids of a family's variants in the order written."""
        return tuple(each for each in self.ids.get("variants", ()) if self.family_of.get(each) == family)

    def span(self, first: str, last: str) -> tuple[str, ...]:
        """Variants from first to last of one family; empty when they are not in that order."""
        order = self.variants_of(self.family_of.get(first, ""))
        if first not in order or last not in order:
            return ()
        return order[order.index(first) : order.index(last) + 1]

    def states_of(self, question: str) -> tuple[str, ...]:
        """States of a question; none when it has none or is unknown."""
        return self.states.get(question, ())


@dataclass
class Context:
    """One run of typing."""

    messages: Messages
    index: Index
    whole: bool = True
    """Whether every file could be read; an id that is like no other may stand in one that could not: not told then."""
    layer: str = ""
    words: frozenset[str] = frozenset()
    """Words that the shared procedure being read is given."""
    procedure: str = ""
    year_cuts: set[int] = field(default_factory=set)
    serial_cuts: set[tuple[str, int]] = field(default_factory=set)
    branches: list[tuple[str, frozenset[str], Place]] = field(default_factory=list)
    """Each `by`: its question, the states it names, its place; judged when all variants are typed."""
    step_refs: list[tuple[str, str, Place]] = field(default_factory=list)
    """Each reference to a step: the procedure it stands in, the reference, its place."""

    def say(self, code: str, place: Place, what: str, right: str, *, related: Iterable[tuple[Place, str]] = ()) -> None:
        """Leave a message."""
        if not self.whole and code in _PERHAPS_ELSEWHERE and not right.startswith(_MEANT):
            return
        self.messages.add(code, place, what, right, related=related)

    def check_ref(self, kinds: tuple[str, ...], identifier: str, place: Place) -> bool:
        """Whether the id is that of a record of one of the kinds; says the nearest right one when it is not."""
        if any(identifier in self.id_sets.get(kind, ()) for kind in kinds):
            return True
        if identifier.startswith("$"):
            return self.check_word(identifier[1:], place)
        wanted = " or ".join(f"{KINDS[kind].singular}" for kind in kinds)
        elsewhere = [KINDS[kind].singular for kind, ids in self.id_sets.items() if identifier in ids]
        near = nearest(identifier, (each for kind in kinds for each in self.index.ids.get(kind, ())))
        what = f"no {wanted} has the id '{identifier}'"
        if elsewhere:
            what += f" ({_with_article(elsewhere[0])} has)"
        right = f"did you mean '{near}'?" if near else f"the id of a {wanted}, or a new entry under '{kinds[0]}:'"
        self.say("unknown-id", place, what, right)
        return False

    def check_word(self, word: str, place: Place) -> bool:
        """Whether a `$word` is one that this shared procedure takes."""
        if word in self.words:
            return True
        near = nearest(word, self.words)
        right = f"did you mean '${near}'?" if near else "name it under 'takes:' of a shared procedure"
        self.say("unknown-word", place, f"'${word}' is no word that this procedure takes", right)
        return False

    def check_state(self, question: str, state: str, place: Place, also: tuple[str, ...] = ()) -> bool:
        """Whether the question has the state."""
        known = self.index.states_of(question)
        if state in known or state in also:
            return True
        near = nearest(state, known)
        right = f"did you mean '{near}'?" if near else f"one of: {', '.join(known)}"
        self.say("unknown-state", place, f"'{question}' has no state '{state}'", right)
        return False

    @property
    def id_sets(self) -> Mapping[str, frozenset[str]]:
        """Plural -> ids, for quick look-up."""
        if not self._sets:
            self._sets.update({kind: frozenset(ids) for kind, ids in self.index.ids.items()})
        return self._sets

    _sets: dict[str, frozenset[str]] = field(default_factory=dict)


def _with_article(noun: str) -> str:
    return f"an {noun}" if noun[0] in "aeiou" else f"a {noun}"

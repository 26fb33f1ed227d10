"""Identification as a talk: one question, one answer; each answer can be taken back. No input or output here."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from handwheel.identify.answer import Answer, identify
from handwheel.identify.conflicts import Names
from handwheel.identify.evidence import Evidence, EvidenceError, Look, saw
from handwheel.identify.looks import Plan
from handwheel.identify.said import (
    forms_of,
    kilograms_in,
    trait_of,
    typed_serial,
    with_look,
    with_marking,
    with_mass,
    with_second_look,
)
from handwheel.identify.tables import Tables
from handwheel.identify.telling import INSTRUMENTS, effort_of, look_name

HELP = (
    "Answer with a number or words; 'a or b' for this or that; ? cannot see. Also: list, look NAME (again: a second "
    "look that gives the same counts), marking NAME, back, stop."
)
CANNOT_SEE = ("?", "cannot see", "can't see")
STOP = ("stop", "quit", "q")


@dataclass(frozen=True)
class Questions:
    """What to ask at a look: the shop's own words, by feature."""

    ask: dict[str, str]
    look: dict[str, str]


@dataclass(frozen=True)
class Talk:
    """Where the talk stands."""

    tables: Tables
    names: Names
    plan: Plan
    evidence: Evidence
    chosen: str = ""
    """A look that the person asked for; empty: the next best."""
    skipped: frozenset[str] = frozenset()
    """Serial or mass that cannot be read."""
    before: Talk | None = None

    @property
    def answer(self) -> Answer:
        """What the evidence tells so far."""
        return identify(self.tables, self.evidence, self.plan)

    def asked(self, answer: Answer) -> str:
        """The look that is asked for now; empty: there is none."""
        if self.chosen:
            return self.chosen
        if answer.next.stop:
            return ""
        return next((each.id for each in answer.next.looks if each.id not in self.skipped), "")


def question(talk: Talk, look: str, words: Questions) -> Iterator[str]:
    """A look as it is asked for."""
    yield f"{words.ask.get(look) or look_name(look, talk.names)}  ({effort_of(talk.tables, look)})"
    if words.look.get(look):
        yield f"  Where: {words.look[look]}"
    if look == "serial":
        yield "  Type it as it stands, with ? for a character that cannot be read, [38] for a three or an eight."
    elif look in INSTRUMENTS:
        yield "  In kilograms, bare."
    else:
        answers = trait_of(talk.tables, look).answers
        yield from (f"  {n}  {talk.names.form(look, form)}" for n, form in enumerate(answers, 1))


def listed(talk: Talk, answer: Answer) -> Iterator[str]:
    """Looks not yet taken, the most telling first."""
    yield from (f"  {each.id}: {look_name(each.id, talk.names)}" for each in answer.next.looks)
    known = [each.id for each in talk.tables.subject.markings if each.id not in talk.evidence.markings]
    yield from (f"  marking {each}" for each in known)


def heard(talk: Talk, look: str, text: str) -> Talk:
    """The talk after one line.

    Raises:
        EvidenceError: it is no answer; the sentence says what would be.
    """
    text = text.strip()
    command, _, rest = text.partition(" ")
    if not text:
        raise EvidenceError(HELP)
    if text == "back":
        if talk.before is None:
            raise EvidenceError("there is no answer to take back")
        return talk.before
    if command == "look" and rest:
        known = {each.id for each in talk.tables.instruments}
        return replace(talk, chosen=rest if rest in known else trait_of(talk.tables, rest).id, before=talk)
    if command == "marking" and rest:
        return replace(talk, evidence=with_marking(talk.tables, talk.evidence, rest), before=talk)
    return _answered(talk, look, text)


def _answered(talk: Talk, look: str, text: str) -> Talk:
    evidence, skipped = talk.evidence, talk.skipped
    if look in INSTRUMENTS:
        if text in CANNOT_SEE or not text.strip("? "):
            skipped |= {look}
        else:
            evidence = _read(talk, look, text)
    elif text in CANNOT_SEE:
        evidence = with_look(evidence, saw(look))
    else:
        evidence = with_second_look(evidence, Look(look, forms_of(trait_of(talk.tables, look), talk.names, text)))
    return replace(talk, evidence=evidence, chosen="", skipped=skipped, before=talk)


def _read(talk: Talk, look: str, text: str) -> Evidence:
    if look == "serial":
        return replace(talk.evidence, serial=typed_serial(text))
    return with_mass(talk.tables, replace(talk.evidence, measured=()), kilograms_in(text))

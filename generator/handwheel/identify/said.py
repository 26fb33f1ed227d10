"""What a person says at the bench, in words and ids, to evidence; each mistake with the nearest right name."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from handwheel.identify.conflicts import Names
from handwheel.identify.evidence import Evidence, EvidenceError, Look, Measured, SerialRead, read_serial, saw
from handwheel.identify.tables import Tables, Trait, marking_trait
from handwheel.reading.messages import nearest

SCALE_ERROR = 0.05
"""Standard error of a mass in kilograms where none is told: a hanging scale; common practice."""


@dataclass(frozen=True)
class Said:
    """Options as typed."""

    saw: Sequence[str] = ()
    """`FEATURE=FORM,FORM`."""
    cannot_see: Sequence[str] = ()
    markings: Sequence[str] = ()
    """`ID` or `ID=no`."""
    serial: str = ""
    mass: str = ""


def evidence_of(tables: Tables, names: Names, said: Said) -> Evidence:
    """Evidence from options.

    Raises:
        EvidenceError: something is named that the family does not have, or cannot be read.
    """
    looks = [_look(tables, names, each) for each in said.saw]
    looks += [saw(trait_of(tables, each).id) for each in said.cannot_see]
    _agree(looks)
    evidence = Evidence(tuple(looks))
    for each in said.markings:
        evidence = with_marking(tables, evidence, each)
    if said.serial:
        evidence = replace(evidence, serial=typed_serial(said.serial))
    return with_mass(tables, evidence, kilograms_in(said.mass)) if said.mass else evidence


def _agree(looks: Sequence[Look]) -> None:
    """Looks at one feature agree: a second one counts only where it gives the same."""
    first: dict[str, Look] = {}
    for look in looks:
        other = first.setdefault(look.feature, look)
        if other.forms and look.forms and not other.forms & look.forms:
            both = ",".join([*sorted(other.forms), *sorted(look.forms)])
            raise EvidenceError(f"two looks at '{look.feature}' do not agree; for this or that: {look.feature}={both}")
        if bool(other.forms) != bool(look.forms):
            raise EvidenceError(f"'{look.feature}' was seen, and could not be seen: say one of the two")


def typed_serial(text: str) -> SerialRead:
    """A serial as a person types it; of one that is all question marks nothing can be said.

    Raises:
        EvidenceError: it cannot be read.
    """
    read = read_serial(text)
    if not set(text) - set("? -."):
        raise EvidenceError(f"serial '{text}': no character of it could be read, so leave it out")
    return read


def trait_of(tables: Tables, feature: str) -> Trait:
    """A feature that can be looked at, by its id."""
    known = [trait.id for trait in tables.traits if not trait.is_marking]
    return tables.traits[tables.trait(_known("feature", feature, known))]


def form_of(trait: Trait, names: Names, text: str) -> str:
    """A form by its id, its number in the list, or words that no other form has."""
    text = " ".join(text.casefold().split())
    if text.isdecimal() and text not in trait.answers:
        if not 1 <= int(text) <= len(trait.answers):
            raise EvidenceError(f"there is no answer {text}; answers go from 1 to {len(trait.answers)}")
        return trait.answers[int(text) - 1]
    words = {form: names.form(trait.id, form).casefold() for form in trait.answers}
    exact = [form for form, said in words.items() if text in (form.casefold(), said)]
    holding = [form for form, said in words.items() if re.search(rf"\b{re.escape(text)}\b", said)]
    for found in (exact, holding):
        if len(found) == 1:
            return found[0]
    if holding:
        raise EvidenceError(f"'{text}' may be {' or '.join(holding)}; say which")
    return _known(f"form of '{trait.id}'", text, trait.answers)


def forms_of(trait: Trait, names: Names, text: str) -> frozenset[str]:
    """`this or that`, `this, that`; a form whose own words hold an "or" is found first."""
    try:
        return frozenset((form_of(trait, names, text),))
    except EvidenceError:
        parts = [part for part in re.split(r",|\bor\b", text) if part.strip()]
        if len(parts) < 2:
            raise
        return frozenset(form_of(trait, names, part) for part in parts)


def with_look(evidence: Evidence, look: Look) -> Evidence:
    """A look more; one at the same feature is said anew."""
    return replace(evidence, looks=(*(each for each in evidence.looks if each.feature != look.feature), look))


def with_second_look(evidence: Evidence, look: Look) -> Evidence:
    """A look more; a second one that gives the same as the first stands beside it, any other is said anew."""
    same = [each for each in evidence.looks if each.feature == look.feature]
    if same == [look] and look.forms:
        return replace(evidence, looks=(*evidence.looks, look))
    return with_look(evidence, look)


def with_marking(tables: Tables, evidence: Evidence, text: str) -> Evidence:
    """`ID` is written on it, `ID=no` is not."""
    name, _, there = text.partition("=")
    _known("marking", name, [each.id for each in tables.subject.markings])
    if there not in ("", "yes", "no"):
        raise EvidenceError(f"'{text}': a marking is there (yes) or not (no)")
    if there != "no":
        return replace(evidence, markings=(*evidence.markings, name))
    known = any(trait.id == marking_trait(name) for trait in tables.traits)
    return with_look(evidence, saw(marking_trait(name), "not seen")) if known else evidence


def with_mass(tables: Tables, evidence: Evidence, kilograms: float) -> Evidence:
    """What the head weighs."""
    if not any("mass" in tables.subject.of(variant).measures for variant in tables.variants):
        raise EvidenceError(f"no mass is written down for any pattern of '{tables.subject.family.id}'")
    if not 0 < kilograms < 1000:
        raise EvidenceError(f"{kilograms:g} kg is no mass of a head")
    return replace(evidence, measured=(*evidence.measured, Measured("mass", kilograms, SCALE_ERROR)))


def kilograms_in(text: str) -> float:
    """A mass as a person types it.

    >>> kilograms_in("12,4 kg")
    12.4
    """
    try:
        return float(text.casefold().removesuffix("kg").strip().replace(",", "."))
    except ValueError:
        raise EvidenceError(f"'{text}' is no mass; write kilograms, as 12.4") from None


def _look(tables: Tables, names: Names, text: str) -> Look:
    feature, equals, forms = text.partition("=")
    trait = trait_of(tables, feature)
    if not equals or not forms.strip():
        raise EvidenceError(f"'{text}': write FEATURE=FORM, or FORM,FORM for this or that")
    return Look(trait.id, forms_of(trait, names, forms))


def _known(what: str, identifier: str, known: Iterable[str]) -> str:
    listed = list(known)
    if identifier in listed:
        return identifier
    near = nearest(identifier, listed)
    hint = f"did you mean '{near}'?" if near else f"there are: {', '.join(listed) or 'none'}"
    raise EvidenceError(f"no {what} is called '{identifier}'; {hint}")

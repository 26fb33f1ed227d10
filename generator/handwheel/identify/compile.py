"""What the browser needs, as data: the tables by number, the sentences, the words.

`pages/assets/identify.js` reads this and nothing else; key for key it does what the modules beside this one
do. The tests hold the two together.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any

from handwheel.identify import readings
from handwheel.identify.answer import Answer, Candidate
from handwheel.identify.answers import answer_mask
from handwheel.identify.conflicts import LARGEST, WORDS, Names
from handwheel.identify.evidence import SERIAL_CHARACTERS, Evidence
from handwheel.identify.facts import Block, Marking, Measure, VariantFacts, Years
from handwheel.identify.instruments import measure_background
from handwheel.identify.looks import LITTLE, SECONDS
from handwheel.identify.originals import KINDS, PartAccount
from handwheel.identify.posterior import ENOUGH, alike
from handwheel.identify.serials import LOOK_ALIKES, MIXED_UP, block_size
from handwheel.identify.tables import Carrier, Group, Instrument, Tables, Trait, marking_trait
from handwheel.machines.questions import Effort

Data = dict[str, Any]


def compiled(tables: Tables, names: Names | None = None, seconds: Mapping[Effort, float] | None = None) -> Data:
    """The family for the browser; nothing but dictionaries, lists, text, numbers, truth values and None."""
    names = names or Names()
    rates = tables.rates
    facts = [tables.subject.of(variant) for variant in tables.variants]
    return {
        "family": tables.subject.family.id,
        "variants": list(tables.variants),
        "priors": list(tables.priors),
        "histories": list(tables.histories),
        "fitsNone": list(tables.fits_none),
        "traits": [_trait(trait) for trait in tables.traits],
        "carriers": [_carrier(carrier) for carrier in tables.carriers],
        "groups": [_group(group) for group in tables.groups],
        "groupOf": list(tables.group_of),
        "instruments": [_instrument(instrument) for instrument in tables.instruments],
        "wrong": dict(rates.wrong),
        "serial": _serial(tables, facts),
        "measures": {name: _measure(tables, facts, name) for name in _quantities(facts)},
        "twin": rates.twin,
        "wildMeasure": rates.wild_measure,
        "markings": {marking.id: _marking(tables, marking) for marking in tables.subject.markings},
        "years": [_years(known.years) for known in facts],
        "alike": [list(members) for members in alike(tables)],
        "kinds": list(KINDS),
        "plan": {"seconds": dict(seconds or SECONDS), "little": LITTLE, "enough": ENOUGH},
        "largest": LARGEST,
        "words": dict(WORDS),
        "readings": {
            "names": dict(readings.NAMES),
            "units": dict(readings.UNITS),
            "more": readings.MORE,
            "shown": readings.SHOWN,
            "far": readings.FAR,
        },
        "names": _names(names),
    }


def answer_data(answer: Answer) -> Data:
    """An answer as the script gives it, and as the terminal prints it."""
    found, judgement = answer.posterior, answer.judgement
    return {
        "variants": list(found.variants),
        "none": found.none,
        "possible": list(found.possible),
        "verdict": judgement.verdict,
        "inPlay": list(judgement.variants),
        "probability": judgement.probability,
        "againstAll": judgement.against_all,
        "top": [_candidate(candidate) for candidate in answer.top],
        "clashes": [list(clash.carriers) for clash in answer.clashes],
        "lookAgain": [list(pair) for pair in answer.look_again],
        "next": [
            {"id": w.id, "bits": w.bits, "seconds": w.seconds, "chances": [list(pair) for pair in w.chances]}
            for w in answer.next.looks
        ],
        "stop": answer.next.stop,
        "years": _years(answer.years),
    }


def evidence_data(evidence: Evidence) -> Data:
    """Evidence as the script takes it."""
    looks = [{"feature": k.feature, "forms": sorted(k.forms), "care": k.care} for k in evidence.looks]
    places = ["".join(sorted(place)) for place in evidence.serial.places] if evidence.serial else None
    return {
        "looks": looks,
        "markings": list(evidence.markings),
        "serial": places,
        "measured": [asdict(measured) for measured in evidence.measured],
    }


def _trait(trait: Trait) -> Data:
    return {
        "id": trait.id,
        "answers": list(trait.answers),
        "forms": trait.forms,
        "rows": [list(row) for row in trait.rows],
        "effort": trait.effort,
        "isMarking": trait.is_marking,
    }


def _carrier(carrier: Carrier) -> Data:
    mixes = [[m.original, m.donor, m.outsider, m.stranger, m.missing, m.kin] for m in carrier.mixes]
    return {
        "id": carrier.id,
        "traits": list(carrier.traits),
        "neverSwapped": carrier.never_swapped,
        "canBeLost": carrier.can_be_lost,
        "patterns": _lists(carrier.patterns),
        "kin": _lists(carrier.kin),
        "counts": list(carrier.counts),
        "ofVariant": list(carrier.of_variant),
        "outsiders": _lists(carrier.outsiders),
        "outsiderIds": list(carrier.outsider_ids),
        "mixes": mixes,
    }


def _group(group: Group) -> Data:
    return {
        "carriers": list(group.carriers),
        "reads": _lists(group.reads),
        "allowed": [_lists(combos) for combos in group.allowed],
        "cells": _lists(group.cells),
        "ofVariant": list(group.of_variant),
        "scale": [list(row) for row in group.scale],
    }


def _instrument(instrument: Instrument) -> Data:
    return {
        "id": instrument.id,
        "effort": instrument.effort,
        "background": list(instrument.background),
        "wild": list(instrument.wild),
        "extra": [[list(pair) for pair in shares] for shares in instrument.extra],
        "entropies": list(instrument.entropies),
    }


def _serial(tables: Tables, facts: Sequence[VariantFacts]) -> Data:
    return {
        "characters": SERIAL_CHARACTERS,
        "alikes": list(LOOK_ALIKES),
        "mixedUp": MIXED_UP,
        "wrong": tables.rates.wrong_character,
        "noBlock": tables.rates.no_block,
        "likeBlocks": tables.rates.like_blocks,
        "universe": tables.universe,
        "sizes": [sum(map(block_size, known.blocks)) for known in facts],
        "blocks": [[_block(block) for block in known.blocks] for known in facts],
    }


def _block(block: Block) -> list[Any]:
    gaps = [list(gap) for gap in block.gaps]
    return [block.prefix, block.first, block.last, block.suffix, gaps, _years(block.years)]


def _quantities(facts: Sequence[VariantFacts]) -> list[str]:
    return list(dict.fromkeys(name for known in facts for name in known.measures))


def _measure(tables: Tables, facts: Sequence[VariantFacts], name: str) -> Data:
    around = measure_background(tables.subject, name)
    return {"around": _pair(around), "variants": [_pair(known.measures.get(name)) for known in facts]}


def _pair(measure: Measure | None) -> list[float] | None:
    return [measure.value, measure.spread] if measure else None


def _marking(tables: Tables, marking: Marking) -> Data:
    fixed = {carrier.id for carrier in tables.carriers if carrier.never_swapped} | {""}
    traits = {name: tables.trait(name) for name in marking.forms}
    return {
        "trait": tables.trait(marking_trait(marking.id)) if marking.variants else None,
        "forms": [[traits[name], answer_mask(tables.traits[traits[name]], f)] for name, f in marking.forms.items()],
        "notBefore": marking.not_before if marking.carried_by in fixed else None,
    }


def _years(years: Years | None) -> list[int] | None:
    return [years.first, years.last] if years else None


def _names(names: Names) -> Data:
    return {
        "features": dict(names.features),
        "forms": [[feature, form, words] for (feature, form), words in names.forms.items()],
        "variants": dict(names.variants),
    }


def _candidate(candidate: Candidate) -> Data:
    return {
        "variant": candidate.variant,
        "probability": candidate.probability,
        "possible": candidate.possible,
        "changed": [_account(account) for account in candidate.changed],
        "misfits": [
            {
                "carrier": misfit.carrier,
                "feature": misfit.feature,
                "seen": list(misfit.seen),
                "original": list(misfit.original),
                "neverSwapped": misfit.never_swapped,
                "reading": misfit.reading,
            }
            for misfit in candidate.misfits
        ],
    }


def _account(account: PartAccount) -> Data:
    return {
        "carrier": account.carrier,
        "likeliest": account.likeliest,
        "chances": [p for _, p in account.chances],
        "donors": list(account.donors),
        "outsiders": list(account.outsiders),
    }


def _lists(rows: Sequence[Sequence[int]]) -> list[list[int]]:
    return [list(row) for row in rows]

"""Plain contradictions: what of the evidence cannot be together, and why a variant does not fit.

These are data with a small function each that says them; names of features, forms and variants are handed
in, so that pages, terminal and browser say the same words.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from handwheel.identify.barred import Bar
from handwheel.identify.evidence import Evidence
from handwheel.identify.instruments import SERIAL
from handwheel.identify.likelihood import carrier_sources
from handwheel.identify.possible import exact_answers
from handwheel.identify.readings import NAMES as READING_NAMES
from handwheel.identify.readings import against, bearers, reading_id, readings_of
from handwheel.identify.tables import MISSING, Carrier, Tables

LARGEST = 3
"""Looks that a contradiction names at most; a longer one is of no use at the bench."""


@dataclass(frozen=True)
class Clash:
    """Parts and readings of which no variant left the works with all; without any one of them one could have."""

    carriers: tuple[str, ...]


@dataclass(frozen=True)
class Misfit:
    """One look that a variant's own part does not give."""

    variant: str
    carrier: str
    feature: str
    seen: tuple[str, ...]
    original: tuple[str, ...]
    never_swapped: bool
    reading: bool = False
    """Not a look at a part but the serial number, or a quantity that was measured."""


@dataclass(frozen=True)
class Names:
    """Words for ids; an id without one is said as it is."""

    features: Mapping[str, str] = field(default_factory=dict)
    forms: Mapping[tuple[str, str], str] = field(default_factory=dict)
    variants: Mapping[str, str] = field(default_factory=dict)
    barred: Sequence[Bar] = ()
    """Combinations that cannot stand, with the reason."""

    def feature(self, feature: str) -> str:
        """A feature in words."""
        return self.features.get(feature, feature)

    def form(self, feature: str, form: str) -> str:
        """A form in words."""
        return self.forms.get((feature, form), form)

    def variant(self, variant: str) -> str:
        """A variant in words."""
        return self.variants.get(variant, variant)


WORDS = {
    "clash": "No pattern left the works with {looks} together.",
    "alone": "No pattern left the works with {looks}.",
    "clash with each": "No pattern left the works with {looks} and any one of these: {others}.",
    "never swapped": "{variant} left the works with {feature}: {original}, not {seen}; that part is not exchanged, "
    "so it is another machine or the look was wrong.",
    "swapped": "{variant} left the works with {feature}: {original}, not {seen}; the part may have been exchanged.",
    "missing": "{variant} left the works with {feature}: {original}; here the part is missing.",
    "serial": "{variant} has the serial numbers {original}; {seen} is none of them: it was read wrongly or stamped "
    "anew, or it is another machine.",
    "measured": "{variant} has {feature} {original}, and {seen} is far from that: something was on it or off it, "
    "or it is another machine.",
    "or": " or ",
    "and": " and ",
    "between": "; ",
}
"""Templates of the sentences, also handed to the browser."""


def clashes(tables: Tables, evidence: Evidence) -> tuple[Clash, ...]:
    """Smallest sets of parts that no variant left the works with together, at most `LARGEST` parts each.

    A part said to be missing clashes with nothing: every variant may have lost it.
    """
    masks = {c.id: _makers(tables, c, evidence) for c in tables.carriers}
    telling = {carrier: mask for carrier, mask in masks.items() if mask is not None}
    telling |= {reading_id(name): bearers(tables, evidence, name) for name in readings_of(evidence)}
    found: list[tuple[str, ...]] = []
    for size in range(1, LARGEST + 1):
        for chosen in itertools.combinations(telling, size):
            if any(set(smaller) <= set(chosen) for smaller in found):
                continue
            if not _all_of((1 << len(tables.variants)) - 1, [telling[carrier] for carrier in chosen]):
                found.append(chosen)
    return tuple(map(Clash, found))


def misfits(tables: Tables, evidence: Evidence, variant: int) -> tuple[Misfit, ...]:
    """Looks that the variant, every part being its own, would not give, and readings that it does not have."""
    exact = exact_answers(tables, evidence)
    found = []
    for carrier in tables.carriers:
        pattern = carrier.patterns[carrier.of_variant[variant]]
        for trait, row in zip(carrier.traits, pattern, strict=True):
            said = exact.get(trait)
            dist = tables.traits[trait].rows[row]
            if said is not None and not any(p > 0 and x > 0 for p, x in zip(dist, said, strict=False)):
                found.append(_misfit(tables, carrier, trait, variant, dist, said))
    name = tables.variants[variant]
    read = against(tables, evidence, variant)
    return (*found, *(Misfit(name, reading_id(r.name), r.name, (r.seen,), r.own, False, True) for r in read))


def say_clash(tables: Tables, evidence: Evidence, clash: Clash, names: Names) -> str:
    """A clash as one sentence."""
    said = _looks_of(tables, evidence, names)
    looks = [look for carrier, looks in said.items() if carrier in clash.carriers for look in looks]
    return WORDS["clash" if len(looks) > 1 else "alone"].format(looks=_listed(looks, WORDS["and"]))


def say_clashes(tables: Tables, evidence: Evidence, found: Sequence[Clash], names: Names) -> list[str]:
    """Clashes as sentences; pairs that share a part are told in one, since that part is the one to look at."""
    said = _looks_of(tables, evidence, names)
    pairs = [each for each in found if len(each.carriers) == 2]
    alone = [each for each in found if len(each.carriers) != 2]
    sentences = [say_clash(tables, evidence, each, names) for each in alone]
    while pairs:
        carriers = list(dict.fromkeys(carrier for each in pairs for carrier in each.carriers))
        hub = max(carriers, key=lambda carrier: sum(carrier in each.carriers for each in pairs))
        of_it = [each for each in pairs if hub in each.carriers]
        pairs = [each for each in pairs if hub not in each.carriers]
        if len(of_it) == 1:
            sentences.append(say_clash(tables, evidence, of_it[0], names))
            continue
        others = [carrier for each in of_it for carrier in each.carriers if carrier != hub]
        sentences.append(
            WORDS["clash with each"].format(
                looks=_listed(said[hub], WORDS["and"]),
                others=WORDS["between"].join(_listed(said[carrier], WORDS["and"]) for carrier in others),
            )
        )
    return sentences


def _looks_of(tables: Tables, evidence: Evidence, names: Names) -> dict[str, list[str]]:
    """What was seen of each part, and each reading, in words."""
    exact = exact_answers(tables, evidence)
    looks = {c.id: [_look(tables, t, exact[t], names) for t in c.traits if t in exact] for c in tables.carriers}
    return looks | {reading_id(r): [f"{_reading_name(r)}: {text}"] for r, text in readings_of(evidence).items()}


def say_misfit(misfit: Misfit, names: Names) -> str:
    """A misfit as one sentence."""
    if misfit.reading:
        return _say_reading(misfit, names)
    kind = "never swapped" if misfit.never_swapped else "swapped"
    if misfit.seen == (MISSING,):
        kind = "missing"
    return WORDS[kind].format(
        variant=names.variant(misfit.variant),
        feature=names.feature(misfit.feature),
        original=_listed([names.form(misfit.feature, form) for form in misfit.original], WORDS["or"]),
        seen=_listed([names.form(misfit.feature, form) for form in misfit.seen], WORDS["or"]),
    )


def say_bar(variant: str, bar: Bar, seen: Mapping[str, frozenset[str]], names: Names) -> str:
    """Why a variant cannot have what was seen; a reason that holds marks of its own is left to the pages."""
    said = {feature: [names.form(feature, form) for form in sorted(seen[feature])] for feature, _ in bar.forms}
    looks = [f"{names.feature(feature)}: {_listed(forms, WORDS['or'])}" for feature, forms in said.items()]
    together = " together" if len(looks) > 1 else ""
    why = "" if "<" in bar.why.raw else f" {bar.why.raw}"
    return f"{names.variant(variant)} cannot have {_listed(looks, WORDS['and'])}{together}.{why}"


def _say_reading(misfit: Misfit, names: Names) -> str:
    return WORDS["serial" if misfit.feature == SERIAL else "measured"].format(
        variant=names.variant(misfit.variant),
        feature=_reading_name(misfit.feature),
        original=_listed(misfit.original, WORDS["or"]),
        seen=misfit.seen[0],
    )


def _reading_name(name: str) -> str:
    return READING_NAMES.get(name, name)


def _makers(tables: Tables, carrier: Carrier, evidence: Evidence) -> int | None:
    """Variants whose own part shows what was seen, as bits; None where nothing tells."""
    exact = exact_answers(tables, evidence)
    seen = {t: exact[t] for t in carrier.traits if t in exact}
    if not seen or any(_says_missing(tables, t, said) for t, said in seen.items()):
        return None
    sources = carrier_sources(tables, carrier, (), seen).patterns
    return sum(1 << v for v, pattern in enumerate(carrier.of_variant) if sources[pattern][0] > 0)


def _says_missing(tables: Tables, trait: int, said: Sequence[float]) -> bool:
    return len(said) > tables.traits[trait].forms and said[-1] > 0


def _all_of(start: int, masks: Sequence[int]) -> int:
    for mask in masks:
        start &= mask
    return start


def _misfit(
    tables: Tables, carrier: Carrier, trait: int, variant: int, dist: Sequence[float], said: Sequence[float]
) -> Misfit:
    answers = tables.traits[trait].answers
    return Misfit(
        tables.variants[variant],
        carrier.id,
        tables.traits[trait].id,
        tuple(form for form, x in zip(answers, said, strict=True) if x > 0) or (MISSING,),
        tuple(form for form, p in zip(answers, dist, strict=False) if p > 0),
        carrier.never_swapped,
    )


def _look(tables: Tables, trait: int, said: Sequence[float], names: Names) -> str:
    feature = tables.traits[trait].id
    forms = [form for form, x in zip(tables.traits[trait].answers, said, strict=True) if x > 0] or [MISSING]
    return f"{names.feature(feature)}: {_listed([names.form(feature, form) for form in forms], WORDS['or'])}"


def _listed(words: Sequence[str], last: str) -> str:
    """Words with commas, the last two joined by `last`."""
    return last.join([", ".join(words[:-1]), words[-1]]) if len(words) > 1 else "".join(words)


__all__ = [
    "WORDS",
    "Clash",
    "Misfit",
    "Names",
    "clashes",
    "misfits",
    "say_bar",
    "say_clash",
    "say_clashes",
    "say_misfit",
]

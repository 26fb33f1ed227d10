"""An answer in words and as data, for the terminal: which machine, how sure, what is not original, what next."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from handwheel.identify.answer import Answer, Candidate
from handwheel.identify.compile import answer_data, evidence_data
from handwheel.identify.conflicts import Names, misfits, say_bar, say_clash, say_clashes, say_misfit
from handwheel.identify.evidence import Evidence
from handwheel.identify.originals import PartAccount
from handwheel.identify.posterior import rounded
from handwheel.identify.readings import NAMES
from handwheel.identify.tables import Tables

INSTRUMENTS = NAMES
EFFORTS = {"glance": "a glance", "tool": "with a tool", "strip": "something must come off"}
NOT_OWN = {
    "donor": "from another pattern",
    "outsider": "a known part from outside",
    "stranger": "from outside",
    "missing": "missing",
}
STOPS = {
    "settled": "Enough was seen.",
    "alike": "Nothing that can be looked at tells these apart.",
    "fits none": "No further look makes it one of these patterns; look at the castings again, then write it down.",
    "impossible": "Take a look back: they cannot all be right.",
    "nothing left that tells": "No look that is left tells more.",
}
SHOWN = 5
"""Next looks that are shown."""


def sentence(tables: Tables, answer: Answer, names: Names) -> str:
    """The machine so far."""
    judged = answer.judgement
    variants = either(names.variant(tables.variants[v]) for v in judged.variants)
    sure = in_hundred(judged.probability)
    match judged.verdict:
        case "nothing seen":
            return f"Nothing was seen yet: it may be any of {len(tables.variants)} patterns, or one not written down."
        case "impossible":
            return "No machine shows all this: some look must be wrong."
        case "fits none":
            return f"It fits none of the patterns written down here ({sure})."
        case "settled":
            said = f"It is {variants} ({sure})"
        case "alike":
            said = f"It is {variants} ({sure} together), and nothing tells these apart"
        case "open":
            other = f"a pattern not written down ({in_hundred(answer.posterior.none)})"
            order = [f"{variants}{_built(answer)}", other]
            return f"It may be {', or '.join(reversed(order) if none_leads(answer) else order)}."
    return "; ".join([f"{said}{_built(answer)}", *_not_own(answer, names)]) + "."


def none_leads(answer: Answer) -> bool:
    """Whether a pattern that is not written down is likelier than any one that is."""
    return rounded(answer.posterior.none) > rounded(max(answer.posterior.variants))


def _built(answer: Answer) -> str:
    years = answer.years
    if years is None:
        return ""
    return f", built {years.first}" if years.first == years.last else f", built {years.first} to {years.last}"


def _not_own(answer: Answer, names: Names) -> list[str]:
    changed = answer.top[0].changed if answer.top else ()
    kinds = (
        ("not its own: ", [names.feature(each.carrier) for each in changed if each.likeliest != "missing"]),
        ("missing: ", [names.feature(each.carrier) for each in changed if each.likeliest == "missing"]),
    )
    return [kind + both(features) for kind, features in kinds if features]


def in_hundred(share: float) -> str:
    """An honest share: never 100 in 100, never 0.

    >>> in_hundred(0.934), in_hundred(0.9999), in_hundred(0.001)
    ('93 in 100', 'more than 99 in 100', 'less than 1 in 100')
    """
    if share > 0.99:
        return "more than 99 in 100"
    return "less than 1 in 100" if share < 0.01 else f"{share * 100:.0f} in 100"


def lines(tables: Tables, evidence: Evidence, answer: Answer, names: Names) -> Iterator[str]:
    """The whole answer for a person to read."""
    yield sentence(tables, answer, names)
    yield from contradictions(tables, evidence, answer, names)
    if answer.judgement.verdict == "impossible":
        return
    yield ""
    yield "What it may be:"
    none = f"  none of these: {in_hundred(answer.posterior.none)}"
    if none_leads(answer):
        yield none
    for v in answer.posterior.ranked:
        yield f"  {names.variant(tables.variants[v])}: {in_hundred(answer.posterior.variants[v])}"
        yield from (f"    {line}" for line in _why(tables, evidence, answer, v, names))
    if not none_leads(answer):
        yield none
    yield from _next(tables, answer, names)


def contradictions(tables: Tables, evidence: Evidence, answer: Answer, names: Names) -> Iterator[str]:
    """What cannot be together, and what to look at again."""
    if answer.judgement.against_all and not evidence.is_empty and answer.judgement.verdict != "impossible":
        yield "No machine that can stand here shows all this: a look is wrong, or the pattern is not written down."
    yield from say_clashes(tables, evidence, answer.clashes, names)
    for part, chance in answer.look_again:
        yield f"Look again at {names.feature(part)}: the look may be wrong ({in_hundred(chance)})."


def _why(tables: Tables, evidence: Evidence, answer: Answer, v: int, names: Names) -> Iterator[str]:
    candidate = next((each for each in answer.top if each.variant == tables.variants[v]), None)
    if candidate is not None:
        yield from (_account_words(each, names) for each in candidate.changed)
    yield from _why_not(tables, evidence, v, names)


def _why_not(tables: Tables, evidence: Evidence, v: int, names: Names) -> Iterator[str]:
    """Looks that do not fit; of a part that cannot stand there it is not said that it may have been exchanged."""
    seen = {look.feature: look.forms for look in evidence.looks if look.forms}
    bars = [bar for bar in names.barred if bar.holds(tables.variants[v], seen)]
    told = {feature for bar in bars for feature, _ in bar.forms}
    for misfit in misfits(tables, evidence, v):
        if misfit.never_swapped or misfit.feature not in told:
            yield say_misfit(misfit, names)
    yield from (say_bar(tables.variants[v], bar, seen, names) for bar in bars)


def _account_words(account: PartAccount, names: Names) -> str:
    words = NOT_OWN[account.likeliest]
    if account.likeliest == "missing":
        return f"{names.feature(account.carrier)} is likely missing ({in_hundred(account.not_original)})."
    if account.likeliest == "donor" and account.donors:
        words += f", as on {either(map(names.variant, account.donors))}"
    return f"{names.feature(account.carrier)} is likely not its own: {words} ({in_hundred(account.not_original)})."


def _next(tables: Tables, answer: Answer, names: Names) -> Iterator[str]:
    yield ""
    if answer.next.stop:
        yield STOPS[answer.next.stop]
    if answer.next.looks and answer.next.stop not in ("settled", "alike"):
        yield "Look next, the most telling for its time first:"
        for each in answer.next.looks[:SHOWN]:
            yield f"  {look_name(each.id, names)} ({effort_of(tables, each.id)})"


def look_name(look: str, names: Names) -> str:
    """A feature, the serial or a quantity in words."""
    return INSTRUMENTS.get(look) or names.feature(look)


def effort_of(tables: Tables, look: str) -> str:
    """What a look costs, in words."""
    known = {trait.id: trait.effort for trait in tables.traits} | {each.id: each.effort for each in tables.instruments}
    return EFFORTS[known[look]]


def as_data(tables: Tables, evidence: Evidence, answer: Answer, names: Names) -> dict[str, Any]:
    """The whole answer as JSON data: the sentence, then what the script in the browser gives too."""
    data = answer_data(answer)
    for worth in data["next"]:
        worth["effort"] = effort_of(tables, worth["id"])
    return {
        "family": tables.subject.family.id,
        "sentence": sentence(tables, answer, names),
        "evidence": evidence_data(evidence),
        **data,
        "variants": dict(zip(tables.variants, answer.posterior.variants, strict=True)),
        "possible": dict(zip(tables.variants, answer.posterior.possible, strict=True)),
        "inPlay": [tables.variants[v] for v in answer.judgement.variants],
        "contradictions": [say_clash(tables, evidence, each, names) for each in answer.clashes],
        "whyNot": {name: list(_why_not(tables, evidence, v, names)) for v, name in enumerate(tables.variants)},
        "notOriginal": {each.variant: _changed(each, names) for each in answer.top},
    }


def _changed(candidate: Candidate, names: Names) -> list[str]:
    return [_account_words(each, names) for each in candidate.changed]


def either(words: Iterable[str]) -> str:
    """`a, b or c`."""
    return _joined(list(words), "or")


def both(words: Iterable[str]) -> str:
    """`a, b and c`."""
    return _joined(list(words), "and")


def _joined(words: list[str], last: str) -> str:
    return f"{', '.join(words[:-1])} {last} {words[-1]}" if len(words) > 1 else "".join(words)

"""How much of a shop its procedures reach: parts that come back, forms that change a step, settings that are set."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from handwheel.checks.conditions import inside
from handwheel.checks.sites import ForkSite, Site
from handwheel.machines.conditions import Condition, Is
from handwheel.records.kinds import fields_of
from handwheel.records.library import Library
from handwheel.records.values import Varies

Names = tuple[str, ...]


@dataclass(frozen=True)
class Count:
    """How many of all things of a kind have a property, and which have not."""

    what: str
    of: int
    lacking: Names = ()

    @property
    def line(self) -> str:
        """In one line, with those that lack it."""
        without = f"; not so: {', '.join(self.lacking)}" if self.lacking else ""
        return f"{self.what}: {self.of - len(self.lacking)} of {self.of}{without}"


def counts(library: Library, sites: Sequence[Site], forks: Sequence[ForkSite]) -> tuple[Count, ...]:
    """All counts of a library.

    Args:
        library: What was read.
        sites: Every step where it is met.
        forks: Every choice of steps where it is met.
    """
    removed = _named(sites, "removes")
    fitted = set(_named(sites, "fits"))
    set_somewhere = set(_named(sites, "sets"))
    forms = tuple(_forms(library))
    changing = _changing(library, sites, forks)
    return (
        Count("parts that a step takes off", len(library.parts), _lacking(library.parts, set(removed))),
        Count("parts taken off that a step puts back", len(removed), _lacking(removed, fitted)),
        Count("forms by which a step differs", len(forms), _lacking(forms, changing)),
        Count("settings that a step sets", len(library.settings), _lacking(library.settings, set_somewhere)),
    )


def _lacking(all_of: Iterable[str], having: set[str]) -> Names:
    return tuple(each for each in all_of if each not in having)


def _named(sites: Iterable[Site], effect: str) -> Names:
    """Ids that steps name under an effect, each once."""
    return tuple(dict.fromkeys(name for site in sites for name in getattr(site.step, effect)))


def _forms(library: Library) -> Iterator[str]:
    """`feature=form` of every form that a family in this shop can have; derived ones follow from others."""
    used = {name for variant in library.variants.values() for name in variant.features}
    for feature in library.features.values():
        if not feature.derived and feature.id in used:
            yield from (f"{feature.id}={form}" for form in _forms_here(library, feature.id))


def _forms_here(library: Library, feature: str) -> Names:
    """Forms of a feature that a variant left the works with, or that came from elsewhere."""
    met = {form for variant in library.variants.values() for form in variant.features.get(feature, ())}
    met |= {form for outsider in library.outsiders.values() for form in outsider.forms.get(feature, ())}
    return tuple(form for form in library.features[feature].forms if form in met)


def _changing(library: Library, sites: Iterable[Site], forks: Iterable[ForkSite]) -> set[str]:
    """`feature=form` of forms that some step tells from each other form of the feature."""
    told: dict[str, set[frozenset[str]]] = {}
    for condition in dict.fromkeys(_conditions(sites, forks)):
        for part in inside(condition):
            if isinstance(part, Is):
                told.setdefault(part.question, set()).add(part.states)
    return {
        f"{feature}={form}"
        for feature, sets in told.items()
        if feature in library.features
        for form in _apart(_forms_here(library, feature), sets)
    }


def _apart(forms: Names, told: Iterable[frozenset[str]]) -> Iterator[str]:
    """Forms that differ from each other one in some set that is spoken of."""
    groups: dict[tuple[bool, ...], list[str]] = {}
    for form in forms:
        groups.setdefault(tuple(form in states for states in told), []).append(form)
    return (group[0] for group in groups.values() if len(group) == 1)


def _conditions(sites: Iterable[Site], forks: Iterable[ForkSite]) -> Iterator[Condition]:
    """Those that steps and choices stand under, and those of texts and values in steps."""
    for fork in forks:
        yield from fork.conditions
    for site in sites:
        yield site.condition
        for name in fields_of(site.step):
            held = getattr(site.step, name)
            if isinstance(held, Varies):
                yield from (case.condition for case in held.cases)

"""Features that work changes: an LED lamp fitted, a motor exchanged. Later conditions see the new form."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from handwheel.procedures.expand import expand
from handwheel.procedures.program import Items, acts_of
from handwheel.records.library import Library
from handwheel.records.step_records import Step

Changes = Mapping[str, frozenset[str]]
"""Feature -> forms that it may have been given."""


def changes_of(library: Library, step: Step) -> dict[str, str]:
    """Feature -> its new form, for each part that the step renews by another kind."""
    return {
        feature.id: form
        for part, form in step.renews.items()
        if form
        for feature in library.features.values()
        if feature.changes_by_work and form in feature.forms and part in (feature.carried_by, feature.id)
    }


def changes_in(library: Library, items: Items) -> Changes:
    """What some step among the items may change."""
    found: dict[str, frozenset[str]] = {}
    for act in acts_of(items):
        for feature, form in changes_of(library, act.step).items():
            found[feature] = found.get(feature, frozenset()) | {form}
    return found


@lru_cache(maxsize=4096)
def changes_before(library: Library, procedure: str) -> Changes:
    """What may have been changed, in some job, before the procedure begins."""
    found: dict[str, frozenset[str]] = {}
    for job in library.jobs.values():
        if procedure not in job.procedures:
            continue
        last = len(job.procedures) - 1 - tuple(reversed(job.procedures)).index(procedure)
        for earlier in job.procedures[:last]:
            for feature, forms in changes_in(library, expand(library, earlier).items).items():
                found[feature] = found.get(feature, frozenset()) | forms
    return found

"""How a note finds its step again: the step's id, and a digest of the words that the writer wrote for it."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from functools import lru_cache

from handwheel.procedures.ids import full_id, own_steps
from handwheel.records.library import Library
from handwheel.records.step_records import Step

LENGTH = 12


@lru_cache(maxsize=8)
def steps_by_id(library: Library) -> Mapping[str, Step]:
    """`procedure/step` -> the step as it is written; of two with one id, the first."""
    found: dict[str, Step] = {}
    for procedure in library.procedures.values():
        for step in own_steps(procedure.steps):
            found.setdefault(full_id(procedure.id, step), step)
    return found


def words_of(step: Step) -> str:
    """What a step says, each alternative in turn."""
    return " / ".join(case.value.raw for case in step.do.cases)


def digest_of(step: Step) -> str:
    """Changes when the step's words do, for the way there or the way back."""
    texts = [case.value.raw for varies in (step.do, step.back) if varies for case in varies.cases]
    return hashlib.sha256("\0".join(texts).encode("utf-8")).hexdigest()[:LENGTH]

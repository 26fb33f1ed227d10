"""Values that may differ by machine, taken together: every mixture that some machine has."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product
from typing import Any

from handwheel.checks.machines import Machines
from handwheel.machines.conditions import ALWAYS, Condition
from handwheel.machines.reduce import conjunction
from handwheel.records.values import Case, Varies

_NOTHING: Case[Any] = Case(ALWAYS, None, None)  # type: ignore[arg-type]


def mixtures(
    machines: Machines, within: Condition, values: Sequence[Varies[Any] | None]
) -> Iterator[tuple[tuple[Any, ...], str]]:
    """The values, and the machines that have just these; no words where all that `within` holds on have them.

    A value that is not told stands as None.
    """
    choices = [value.cases if value else (_NOTHING,) for value in values]
    if all(len(cases) == 1 and cases[0].condition == ALWAYS for cases in choices):
        yield tuple(cases[0].value for cases in choices), ""
        return
    for picked in product(*choices):
        condition = conjunction((within, *(case.condition for case in picked)))
        for space in machines.spaces(within, condition):
            mask = machines.where(space, condition)
            if mask:
                words = machines.words(space, mask, machines.where(space, within))
                yield tuple(case.value for case in picked), words

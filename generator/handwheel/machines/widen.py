"""Machines of a space that tells few features apart, found in one of the same family that tells more."""

from __future__ import annotations

from handwheel.machines.masks import VARIANT, union
from handwheel.machines.space import Space


class Widen:
    """Gives a mask of the narrow space as one of the wide: a machine stands in both or in neither.

    Args:
        narrow: Its questions are among those of the wide one.
        wide: Of the same family.
    """

    def __init__(self, narrow: Space, wide: Space) -> None:
        self.narrow, self.wide = narrow, wide
        self._questions = (VARIANT, *narrow.questions)
        self._found: dict[int, int] = {}

    def __call__(self, mask: int) -> int:
        """The wide space's machines that stand in the mask."""
        if mask not in self._found:
            self._found[mask] = self._split(mask, 0, self.narrow.all, self.wide.all)
        return self._found[mask]

    def _split(self, mask: int, place: int, narrow: int, wide: int) -> int:
        """Answers part the machines until all of a part stand in the mask, or none."""
        inside = narrow & mask
        if not inside or inside == narrow:
            return wide if inside else 0
        question = self._questions[place]
        return union(
            self._split(mask, place + 1, here, wide & self.wide.form_mask(question, state))
            for state in self.narrow.states(question)
            if (here := narrow & self.narrow.form_mask(question, state))
        )

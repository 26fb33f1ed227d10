"""What recomputing a value has shown, in words and with its arithmetic."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from handwheel.engineering.units import Dimension, format_both
from handwheel.evidence.standing import Standing
from handwheel.records.values import Amount

NEAR = 0.002
"""Share by which a length may lie off its counterpart, for rounding."""
DIMENSIONS = {each.title: each for each in Dimension} | {each.name.lower(): each for each in Dimension}


class Outcome(Enum):
    """The three things that a comparison can say."""

    AGREES = "agrees"
    DIFFERS = "differs"
    UNCHECKED = "cannot be checked"


@dataclass(frozen=True)
class Verdict:
    """One value recomputed.

    Args:
        what: the value's name, `Pitch`.
        value: as written, with its other unit.
        outcome: agrees, differs or cannot be checked.
        says: what it agrees with, by how much it differs, or why it cannot be checked.
        standing: of what the value rests on.
        arithmetic: the comparison, a line each.
        weak: what the comparison itself rests on that may not permit; empty when nothing.
    """

    what: str
    value: str
    outcome: Outcome
    says: str
    standing: Standing
    arithmetic: tuple[str, ...] = ()
    weak: str = ""

    @property
    def permits(self) -> bool:
        """Whether work may lean on the value: it agrees, and nothing that it rests on is weak."""
        return self.outcome is Outcome.AGREES and self.standing.may_permit and not self.weak

    @property
    def words(self) -> str:
        """The verdict as one sentence.

        >>> Verdict("Pitch", "0.7 mm", Outcome.AGREES, "with M4", Standing.MEMORY).words
        'agrees with M4; from memory: it may forbid and permits nothing'
        """
        joint = ":" if self.outcome is Outcome.UNCHECKED else ""
        told = f"{self.outcome.value}{joint} {self.says}".strip()
        notes = [self.standing.rule] if not self.standing.may_permit else []
        if self.weak and self.outcome is not Outcome.UNCHECKED:
            notes.append(f"the sum leans on {self.weak}: it may forbid and permits nothing")
        return "; ".join((told, *notes))


def both(amount: Amount) -> str:
    """A quantity as written, and beside it in metric and inch units where those are other words.

    >>> from handwheel.records.places import Place
    >>> both(Amount("9/64 in", 0.003571875, "length", Place("", 1, 1)))
    '9/64 in = 3.57 mm (0.141 in)'
    """
    dimension = DIMENSIONS.get(amount.dimension)
    if amount.value is None or dimension is None:
        return amount.text
    other = format_both(amount.value, dimension)
    if other == amount.text:
        return amount.text
    metric, _, inch = other.partition(" (")
    return f"{amount.text} ({inch}" if metric == amount.text and inch else f"{amount.text} = {other}"


def compared(
    what: str, value: str, pair: tuple[float, float], name: str, standing: Standing, weak: str = ""
) -> Verdict:
    """A length against its counterpart, `pair` = told and right [m], shown in millimetres."""
    told, right = pair
    off = told - right
    sums = (f"{what.lower()} here {told * 1e3:.4g} mm; {name} has {right * 1e3:.4g} mm",)
    if abs(off) <= NEAR * right:
        return Verdict(what, value, Outcome.AGREES, f"with {name}", standing, sums, weak)
    says = f"by {abs(off) * 1e3:.3g} mm ({abs(off) / right:.1%} {'more' if off > 0 else 'less'} than {name})"
    step = f"{told * 1e3:.4g} - {right * 1e3:.4g} = {off * 1e3:+.3g} mm"
    return Verdict(what, value, Outcome.DIFFERS, says, standing, (*sums, step), weak)

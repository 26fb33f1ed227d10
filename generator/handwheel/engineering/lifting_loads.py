"""Loads of the bench (head with motor, head without, base, case) against what one person may lift."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from handwheel.engineering.lifting import MASS, Lift, lifting_index, weight_limit
from handwheel.engineering.lifting_tables import METRIC, Constants
from handwheel.engineering.ranges import Span

LIFT_CAUTION = "Lifting a load above the limit can cause lasting injury to the back. Take parts off first, or get help."


@dataclass(frozen=True)
class Judged:
    """A load held against what one person may lift here."""

    load: str
    mass: Span
    limit: float
    index: Span

    @property
    def one_person(self) -> bool:
        """Whether one person may: the heavier end of the mass is not above the limit."""
        return self.index.high <= 1.0

    @property
    def words(self) -> str:
        """The finding in words, for the page and the bench."""
        if self.one_person:
            return f"{self.load}: within the recommended limit of {self.limit:.1f} kg for one person"
        if self.index.high > 3:
            return f"{self.load}: more than three times the limit is raised risk for nearly everyone. {LIFT_CAUTION}"
        return f"{self.load}: above the recommended limit of {self.limit:.1f} kg for one person. {LIFT_CAUTION}"


def judge_loads(loads: Mapping[str, Span], lift: Lift, constants: Constants = METRIC) -> tuple[Judged, ...]:
    """Hold each load (head with motor, head without, base, case) against the limit of a lift.

    Formula: LI = L/RWL at both ends of the mass's span; up to 1 is the design goal, above 3 is raised risk for
    nearly everyone.

    Args:
        loads: name and mass of each [kg], a span since few masses are known exactly.
        lift: the lift that is meant.
        constants: METRIC or US.

    Source: NIOSH 94-110 (2021), pp. 7 and 20.

    >>> from handwheel.engineering.lifting import Coupling, Place
    >>> to_bench = Lift(Place(0.35, 0.75), Place(0.40, 0.80), Coupling.FAIR)
    >>> [judged.one_person for judged in judge_loads({"head": Span(9, 10), "head with motor": Span(12, 15)}, to_bench)]
    [True, False]
    """
    limit = weight_limit(lift, constants).governing
    return tuple(
        Judged(name, mass, limit, Span(lifting_index(mass.low, limit), lifting_index(mass.high, limit)))
        for name, mass in loads.items()
    )


def assembled(parts: Mapping[str, Span], fitted: Sequence[str]) -> Span:
    """Mass of what is lifted together, from the masses of its parts [kg].

    Formula: sum of the parts' spans.  Args: parts: name and mass [kg]; fitted: the names lifted together.
    Source: arithmetic.

    >>> assembled({"head": Span(9, 10), "motor": Span(1.5, 2), "base": Span(3, 4)}, ["head", "motor"])
    Span(low=10.5, high=12.0)
    """
    missing = [name for name in fitted if name not in parts]
    if missing:
        raise ValueError(f"no mass known for {', '.join(missing)}; known: {', '.join(parts)}")
    if not fitted:
        raise ValueError("nothing is lifted: name at least one part")
    if len(set(fitted)) < len(fitted):
        raise ValueError("a part is named twice among those lifted together")
    total = Span(0.0, 0.0)
    for name in fitted:
        total = total + Span(MASS.check(parts[name].low, name), parts[name].high)
    return total

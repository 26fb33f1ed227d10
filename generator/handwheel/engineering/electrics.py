"""Electrical readings judged against named limits: by looks first, then by class.

Nothing here clears a machine for use. A reading never lifts a fail by looks, and a metal body on a two-core
lead belongs to no class. What readings mean is for a licensed person under local codes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from handwheel.engineering.electric_limits import (
    TEST_VOLTAGE,
    ApplianceClass,
    Lead,
    Limit,
    Quantity,
    limits_for,
)
from handwheel.engineering.ranges import Range, Span

CAUTION = "WARNING: mains voltage can kill. Pull the plug before you touch an electrical part."
DEFERRAL = "Local codes decide. A licensed person judges what readings mean and does the work on mains parts."

READ = {
    Quantity.EARTH_BOND: Range(0.0, 1e6, "ohm"),
    Quantity.INSULATION: Range(0.0, 1e12, "Mohm", 1e6),
    Quantity.LEAKAGE: Range(0.0, 1.0, "mA", 1e-3),
}
NEEDED = {
    ApplianceClass.ONE: (Quantity.EARTH_BOND, Quantity.INSULATION),
    ApplianceClass.TWO: (Quantity.INSULATION,),
    ApplianceClass.THREE: (Quantity.INSULATION,),
}


@dataclass(frozen=True)
class Construction:
    """How a machine is built, as seen on the bench.

    Args:
        metal_body: whether metal of the body can be touched.
        mains_cores: cores of the mains lead: 2 or 3, or 0 when only extra-low voltage comes in.
        double_square: whether the whole machine, not one part on it, bears the double square.
        class_three_mark: whether it bears the mark of Class III.
    """

    metal_body: bool
    mains_cores: int
    double_square: bool = False
    class_three_mark: bool = False

    def __post_init__(self) -> None:
        if self.mains_cores not in (0, 2, 3):
            raise ValueError(f"a mains lead of {self.mains_cores} cores; write 2 or 3, or 0 for extra-low voltage only")


@dataclass(frozen=True)
class Classed:
    """The class that the construction shows, or none, and why."""

    appliance: ApplianceClass | None
    why: str


def class_of(construction: Construction) -> Classed:
    """Class of a machine by its construction.

    Formula: three cores: Class I; two cores, insulating body and double square: Class II; extra-low voltage and
    its mark: Class III; a metal body on two cores: none, whatever it bears; marks that contradict: none.

    Args:
        construction: as seen on the bench [no unit].

    Source: protection classes of IEC 61140 (seen in general pages, not in the standard); that a metal body on two
    cores is refused whatever its marks is the shop's caution, since a mark may belong to one part only.

    >>> print(class_of(Construction(metal_body=True, mains_cores=2, double_square=True)).appliance)
    None
    >>> class_of(Construction(metal_body=True, mains_cores=3)).appliance.value
    'Class I'
    """
    if construction.mains_cores == 3:
        return _three_cores(construction)
    if construction.mains_cores == 0:
        if construction.class_three_mark:
            return Classed(ApplianceClass.THREE, "extra-low voltage only, and marked so")
        return Classed(None, "no mains lead and no mark of Class III: the class cannot be told")
    if construction.metal_body:
        return Classed(None, "a metal body on a two-core lead belongs to no class")
    if construction.double_square and not construction.class_three_mark:
        return Classed(ApplianceClass.TWO, "two cores, insulating body, double square")
    return Classed(None, "two cores without a clear double square: the class cannot be told")


def _three_cores(construction: Construction) -> Classed:
    if construction.double_square or construction.class_three_mark:
        return Classed(None, "an earth core and a mark of another class contradict each other")
    return Classed(ApplianceClass.ONE, "an earth core comes with the lead")


class Fault(Enum):
    """What a look alone can fail."""

    PERISHED = "insulation hard, cracked, sticky or bare"
    DAMAGED_LEAD = "lead cut, crushed, taped or jointed"
    PLUG = "plug cracked, scorched or of the wrong fuse"
    GRIP = "lead not gripped where it enters"
    OPEN_COVER = "live part within reach, or a cover missing"
    SCORCHED = "scorched holder, switch or control"
    COLOURS = "core colours that are not those of the local code"
    WET = "damp, or oil in an electrical part"


@dataclass(frozen=True)
class Looks:
    """The look that comes before every reading.

    Args:
        complete: whether all of it was done.
        faults: what it found.
    """

    complete: bool
    faults: frozenset[Fault] = frozenset()


@dataclass(frozen=True)
class Reading:
    """One instrument reading.

    Args:
        quantity: what was read.
        value: [SI: ohm or A]; for a display that says "over", its greatest figure.
        error: the instrument's error, give or take [SI], not negative.
        volts: test voltage of an insulation reading [V, direct].
    """

    quantity: Quantity
    value: float
    error: float = 0.0
    volts: float | None = None

    def __post_init__(self) -> None:
        READ[self.quantity].check(self.value, f"{self.quantity.title} reading")
        READ[self.quantity].check(self.error, f"error of the {self.quantity.title} reading")

    @property
    def span(self) -> Span:
        """The reading give or take its error, not below nothing."""
        return Span(max(0.0, self.value - self.error), self.value + self.error)


class Verdict(Enum):
    """What can be said, in order of gravity. None of them clears a machine for use."""

    FAILS = "does not meet the limits"
    NO_CLASS = "belongs to no class: not judged, and out of use"
    LOOK_FIRST = "not judged: the look comes first"
    UNDECIDED = "cannot be told from these readings"
    MISSING = "readings are missing"
    WITHIN = "the readings are within the limits named"


@dataclass(frozen=True)
class Held:
    """A reading held against one limit."""

    limit: Limit
    reading: Reading
    verdict: Verdict

    @property
    def words(self) -> str:
        """The comparison with its figures and its source."""
        sign = "at least" if self.limit.at_least else "below" if self.limit.below else "at most"
        title, unit = self.reading.quantity.title, self.reading.quantity.unit
        compared = f"{title} {self.reading.value:.4g} {unit}, {sign} {self.limit.bound:.4g} {unit}"
        return f"{compared} by {self.limit.scheme} [{self.limit.basis.standing.value}]: {self.verdict.value}"


@dataclass(frozen=True)
class Judgement:
    """The whole judgement; its words always end with the caution and the deferral."""

    verdict: Verdict
    classed: Classed
    reasons: tuple[str, ...]

    @property
    def words(self) -> str:
        """What is printed."""
        told = "; ".join((self.verdict.value, *self.reasons))
        return f"{told}. {CAUTION} {DEFERRAL}"


def judge(construction: Construction, looks: Looks, readings: Sequence[Reading], lead: Lead) -> Judgement:
    """Judge a machine's looks and readings against every code listed; the strictest governs.

    Formula: a fault by looks fails, whatever the readings; then no class, no judgement; then an unfinished look;
    then each reading with its error against each limit of its class. A limit from memory can fail a reading
    and can never bring it within.

    Args:
        construction: how the machine is built.
        looks: the look that comes first.
        readings: instrument readings; Class I needs earth bond and insulation, others insulation.
        lead: the mains lead.

    Source: limits in `electric_limits.SCHEMES`, each with its own; order of look and test: HSG107 (2013).

    >>> bare = judge(Construction(True, 2), Looks(True), [Reading(Quantity.INSULATION, 1e9, volts=500)], Lead(2.0))
    >>> bare.verdict.name
    'NO_CLASS'
    """
    classed = class_of(construction)
    if looks.faults:
        found = tuple(sorted(f"by looks: {fault.value}" for fault in looks.faults))
        return Judgement(Verdict.FAILS, classed, (*found, "no reading lifts a fail by looks"))
    if classed.appliance is None:
        return Judgement(Verdict.NO_CLASS, classed, (classed.why,))
    if not looks.complete:
        return Judgement(Verdict.LOOK_FIRST, classed, ())
    return _by_readings(classed, classed.appliance, readings, lead)


def _by_readings(classed: Classed, appliance: ApplianceClass, readings: Sequence[Reading], lead: Lead) -> Judgement:
    parts = [part for reading in readings for part in _hold(reading, appliance, lead)]
    verdicts = [verdict for verdict, _ in parts]
    missing = [quantity for quantity in NEEDED[appliance] if all(r.quantity is not quantity for r in readings)]
    reasons = tuple(words for _, words in parts) + tuple(f"no {quantity.title} reading" for quantity in missing)
    if missing:
        verdicts.append(Verdict.MISSING)
    order = list(Verdict)
    return Judgement(min(verdicts, key=order.index), classed, reasons)


def _hold(reading: Reading, appliance: ApplianceClass, lead: Lead) -> list[tuple[Verdict, str]]:
    """Verdicts of one reading, one for each limit; at least one."""
    if reading.quantity is Quantity.INSULATION and reading.volts != TEST_VOLTAGE:
        return [(Verdict.UNDECIDED, f"insulation limits hold at {TEST_VOLTAGE:.0f} V direct, not {reading.volts}")]
    limits = limits_for(reading.quantity, appliance, lead)
    held = [Held(limit, reading, hold(reading, limit)) for limit in limits]
    told = [(part.verdict, part.words) for part in held if part.verdict is not Verdict.UNDECIDED or _permits(part)]
    if not any(_permits(part) for part in held):
        told.append((Verdict.UNDECIDED, f"no seen limit for {reading.quantity.title} in {appliance.value}"))
    if reading.quantity is Quantity.EARTH_BOND and lead.resistance is None:
        told.append((Verdict.UNDECIDED, "resistance of the lead's earth core not known: the strictest limit needs it"))
    return told


def _permits(part: Held) -> bool:
    return part.limit.basis.standing.may_permit


def hold(reading: Reading, limit: Limit) -> Verdict:
    """Hold one reading with its error against one limit.

    Formula: fails when the whole span lies beyond the bound; within when the whole span meets it and the
    limit's source was seen; else cannot be told.

    Args:
        reading: [SI] with its error.
        limit: [SI] with its basis.

    Source: decision rule of JCGM 106:2012 with the guard band equal to the error (from memory).

    >>> one = limits_for(Quantity.INSULATION, ApplianceClass.ONE, Lead(2.0))[0]
    >>> [hold(Reading(Quantity.INSULATION, mohm * 1e6, 0.1e6, 500), one).name for mohm in (0.8, 1.0, 1.2)]
    ['FAILS', 'UNDECIDED', 'WITHIN']
    """
    if reading.quantity is not limit.quantity:
        raise ValueError(f"a {reading.quantity.title} reading cannot meet a limit for {limit.quantity.title}")
    span = reading.span
    best, worst = (span.high, span.low) if limit.at_least else (span.low, span.high)
    if not _meets(best, limit):
        return Verdict.FAILS
    meets = _meets(worst, limit) and limit.basis.standing.may_permit
    return Verdict.WITHIN if meets else Verdict.UNDECIDED


def _meets(value: float, limit: Limit) -> bool:
    if limit.below:
        return value < limit.bound
    return value >= limit.bound if limit.at_least else value <= limit.bound

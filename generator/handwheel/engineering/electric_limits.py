"""Named limits for earth bond, insulation and leakage readings, by class and by code of practice.

No limit here clears a machine for use. Those that rest on memory may forbid, never permit.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from handwheel.engineering.basis import Basis, Standing
from handwheel.engineering.ranges import Range

MOHM = 1e6
MILLIAMP = 1e-3
TEST_VOLTAGE = 500.0
"""Direct voltage at which the insulation limits hold [V]."""

LEAD_RESISTANCE = Range(0.0, 2.0, "ohm")
LEAD_LENGTH = Range(0.1, 60.0, "m")


class ApplianceClass(Enum):
    """Protection class of an appliance (IEC 61140 and IEC 60335-1)."""

    ONE = "Class I"
    TWO = "Class II"
    THREE = "Class III"


class Quantity(Enum):
    """What an instrument reads: name, SI unit."""

    EARTH_BOND = ("earth bond", "ohm")
    INSULATION = ("insulation", "ohm")
    LEAKAGE = ("leakage or touch current", "A")

    def __init__(self, title: str, unit: str) -> None:
        self.title = title
        self.unit = unit


@dataclass(frozen=True)
class Lead:
    """The mains lead.

    Args:
        length: [m], 0.1 to 60.
        resistance: of its earth core, end to end [ohm], 0 to 2; None when not measured or computed.
    """

    length: float
    resistance: float | None = None

    def __post_init__(self) -> None:
        LEAD_LENGTH.check(self.length, "length of the lead")
        if self.resistance is not None:
            LEAD_RESISTANCE.check(self.resistance, "resistance of the lead's earth core")


class EarthRule(Enum):
    """How a code sets its earth bond limit."""

    PLUS_LEAD = "0.1 ohm and the resistance of the lead's earth core"
    BY_LENGTH = "0.3 ohm to 5 m of lead, 0.1 ohm more for each full 7.5 m beyond, at most 1 ohm"
    SHORT_LEAD = "0.3 ohm to 5 m of lead"
    ONE_OHM = "below 1 ohm"


def earth_limit(rule: EarthRule, lead: Lead) -> float | None:
    """The greatest earth bond resistance that a rule allows [ohm], or None when it cannot be told.

    Formula: PLUS_LEAD 0.1 + R; BY_LENGTH min(1, 0.3 + 0.1 n), n = full 7.5 m beyond 5 m; SHORT_LEAD 0.3 below
    5 m, else none; ONE_OHM 1.

    Args:
        rule: the code's rule.
        lead: the mains lead; PLUS_LEAD needs its resistance.

    Source: IET Code of Practice, as stated by test contractors; DIN VDE 0701-0702; EN 50678; AS/NZS 3760
    (each seen in a second-hand text, see `SCHEMES`). Counting only full lengths is the shop's caution.

    >>> earth_limit(EarthRule.PLUS_LEAD, Lead(2.0, 0.05)), earth_limit(EarthRule.BY_LENGTH, Lead(13.0))
    (0.15000000000000002, 0.4)
    """
    if rule is EarthRule.PLUS_LEAD:
        return None if lead.resistance is None else 0.1 + lead.resistance
    if rule is EarthRule.BY_LENGTH:
        return min(1.0, 0.3 + 0.1 * max(0.0, (lead.length - 5.0) // 7.5))
    if rule is EarthRule.SHORT_LEAD:
        return 0.3 if lead.length < 5.0 else None
    return 1.0


@dataclass(frozen=True)
class Scheme:
    """One code's limits.

    Args:
        name: of the code.
        earth: rule for the earth bond, Class I.
        insulation: least insulation resistance by class [Mohm], as printed.
        leakage: greatest leakage or touch current by class [mA], as printed.
        earth_basis, insulation_basis, leakage_basis: what each rests on.
    """

    name: str
    earth: EarthRule
    insulation: tuple[tuple[ApplianceClass, float], ...]
    leakage: tuple[tuple[ApplianceClass, float], ...]
    earth_basis: Basis
    insulation_basis: Basis
    leakage_basis: Basis

    def basis(self, quantity: Quantity) -> Basis:
        """What the limits of a quantity rest on."""
        bases = {Quantity.EARTH_BOND: self.earth_basis, Quantity.INSULATION: self.insulation_basis}
        return bases.get(quantity, self.leakage_basis)


def _by_class(one: float, two: float, three: float | None = None) -> tuple[tuple[ApplianceClass, float], ...]:
    both = ((ApplianceClass.ONE, one), (ApplianceClass.TWO, two))
    return both if three is None else (*both, (ApplianceClass.THREE, three))


_UK = Basis(
    "IET Code of Practice for in-service inspection and testing", "as stated by test contractors", Standing.SEEN
)
_VDE = Basis("DIN VDE 0701-0702", "reproduction and annex in a tester's manual", Standing.SEEN)
_EN_SEEN = Basis("EN 50678 and EN 50699", "support note of a maker of testers", Standing.SEEN)
_EN_MEMORY = Basis("EN 50678 and EN 50699", "", Standing.MEMORY, "taken as in DIN VDE 0701-0702")
_AU = Basis("AS/NZS 3760", "contractors' pages and draft DR 3760", Standing.SEEN)

SCHEMES: tuple[Scheme, ...] = (
    Scheme(
        "IET Code of Practice", EarthRule.PLUS_LEAD, _by_class(1, 2, 0.25), _by_class(0.75, 0.25, 0.5), _UK, _UK, _UK
    ),
    Scheme("DIN VDE 0701-0702", EarthRule.BY_LENGTH, _by_class(1, 2, 0.25), _by_class(3.5, 0.5), _VDE, _VDE, _VDE),
    Scheme(
        "EN 50678 and EN 50699",
        EarthRule.SHORT_LEAD,
        _by_class(1, 2, 0.25),
        _by_class(3.5, 0.5),
        _EN_SEEN,
        _EN_MEMORY,
        _EN_MEMORY,
    ),
    Scheme("AS/NZS 3760", EarthRule.ONE_OHM, _by_class(1, 1), _by_class(5, 1), _AU, _AU, _AU),
)


@dataclass(frozen=True)
class Limit:
    """One limit of one code for one quantity, class and lead [SI]; `below`: the bound itself does not meet it."""

    scheme: str
    quantity: Quantity
    bound: float
    at_least: bool
    basis: Basis
    below: bool = False


def limits_for(quantity: Quantity, appliance: ApplianceClass, lead: Lead) -> tuple[Limit, ...]:
    """Every code's limit for a reading; empty when no code listed has one.

    Formula: table look-up; earth bond by `earth_limit`, Class I only.

    Args:
        quantity: what is read.
        appliance: the class.
        lead: the mains lead.

    Source: `SCHEMES`, each entry with its own.

    >>> [(limit.scheme, limit.bound) for limit in limits_for(Quantity.INSULATION, ApplianceClass.TWO, Lead(2.0))][0]
    ('IET Code of Practice', 2000000.0)
    """
    found = ((scheme, _bound(scheme, quantity, appliance, lead)) for scheme in SCHEMES)
    at_least = quantity is Quantity.INSULATION
    return tuple(
        Limit(scheme.name, quantity, bound, at_least, scheme.basis(quantity), _is_below(scheme, quantity))
        for scheme, bound in found
        if bound is not None
    )


def _is_below(scheme: Scheme, quantity: Quantity) -> bool:
    return quantity is Quantity.EARTH_BOND and scheme.earth is EarthRule.ONE_OHM


def _bound(scheme: Scheme, quantity: Quantity, appliance: ApplianceClass, lead: Lead) -> float | None:
    if quantity is Quantity.EARTH_BOND:
        return earth_limit(scheme.earth, lead) if appliance is ApplianceClass.ONE else None
    table, unit = (scheme.insulation, MOHM) if quantity is Quantity.INSULATION else (scheme.leakage, MILLIAMP)
    return next((value * unit for entry, value in table if entry is appliance), None)

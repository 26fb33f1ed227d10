"""Lamp against its holder, and the whole load against what carries it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from handwheel.engineering.basis import Basis, Standing
from handwheel.engineering.electrics import CAUTION, DEFERRAL
from handwheel.engineering.ranges import Range, Span

WATTS = Range(0.1, 2000.0, "W")
VOLTS = Range(1.0, 480.0, "V")
AMPS = Range(0.001, 20.0, "A")
CUSTOMARY_LAMP = 15.0
"""Watts of the usual lamp on a household machine."""
CUSTOMARY_BASIS = Basis(
    "common practice for lamps on household machines", "", Standing.MEMORY, "may forbid, never permit"
)


class Fit(Enum):
    """What can be said of a lamp in a holder or of a load on what carries it."""

    OVER = "over the rating"
    WRONG = "does not belong there"
    UNKNOWN = "cannot be told"
    NOT_OVER = "not over the rating marked"


@dataclass(frozen=True)
class Lamp:
    """A lamp.

    Args:
        watts: what it really takes, not what it replaces [W], 0.1 to 2000.
        volts: marked voltage, a span when so marked [V], 1 to 480.
        cap: name of its cap.
    """

    watts: float
    volts: Span
    cap: str

    def __post_init__(self) -> None:
        WATTS.check(self.watts, "lamp")
        VOLTS.check(self.volts.low, "lamp voltage")
        VOLTS.check(self.volts.high, "lamp voltage")


@dataclass(frozen=True)
class Holder:
    """A lamp holder.

    Args:
        watts: greatest lamp marked on it [W], None when it bears no mark.
        cap: name of the cap that it takes.
        volts: voltage that reaches it [V], 1 to 480.
        basis: what the figure rests on.
    """

    watts: float | None
    cap: str
    volts: float
    basis: Basis

    def __post_init__(self) -> None:
        VOLTS.check(self.volts, "voltage at the holder")
        if self.watts is not None:
            WATTS.check(self.watts, "holder rating")


@dataclass(frozen=True)
class Told:
    """A finding and its reason; its words always end with the caution and the deferral."""

    fit: Fit
    reason: str

    @property
    def words(self) -> str:
        """What is printed."""
        return f"{self.fit.value}: {self.reason}. {CAUTION} {DEFERRAL}"


def lamp_in_holder(lamp: Lamp, holder: Holder) -> Told:
    """Hold a lamp against its holder.

    Formula: cap alike; voltage at the holder within the lamp's marked span; lamp watts <= holder watts. Without a
    mark, more than the customary 15 W is over and nothing is permitted: general figures for unmarked fittings do
    not hold for a lamp this close to a body and its finish. A marking told from memory permits nothing either.

    Args:
        lamp: with its true watts.
        holder: with its marking, or None.

    Source: the holder's marking; overlamping scorches holder and lead insulation (general electricians' pages,
    seen); 15 W customary: from memory.

    >>> mark = Basis("marking on the holder", "", Standing.SEEN)
    >>> [lamp_in_holder(Lamp(w, Span(220, 240), "bayonet 15"), Holder(15, "bayonet 15", 230, mark)).fit.name
    ...  for w in (2.5, 15, 25)]
    ['NOT_OVER', 'NOT_OVER', 'OVER']
    """
    if lamp.cap != holder.cap:
        return Told(Fit.WRONG, f"lamp cap {lamp.cap}, holder takes {holder.cap}")
    if holder.volts not in lamp.volts:
        return Told(
            Fit.WRONG, f"lamp for {lamp.volts.low:g} to {lamp.volts.high:g} V, {holder.volts:g} V at the holder"
        )
    if holder.watts is None:
        return _without_mark(lamp)
    sum_shown = f"lamp {lamp.watts:g} W, holder {holder.watts:g} W ({holder.basis.standing.value})"
    if lamp.watts > holder.watts:
        return Told(Fit.OVER, sum_shown)
    return Told(Fit.NOT_OVER if holder.basis.standing.may_permit else Fit.UNKNOWN, sum_shown)


def _without_mark(lamp: Lamp) -> Told:
    if lamp.watts > CUSTOMARY_LAMP:
        return Told(
            Fit.OVER,
            f"holder without a mark; lamp {lamp.watts:g} W, customary {CUSTOMARY_LAMP:g} W ({CUSTOMARY_BASIS})",
        )
    return Told(Fit.UNKNOWN, f"holder without a mark; nothing says that it bears {lamp.watts:g} W")


@dataclass(frozen=True)
class Consumer:
    """Something that takes current.

    Args:
        name: of it.
        watts: input marked [W], 0.1 to 2000.
        amps: current marked [A], 0.001 to 20; None when not marked.
    """

    name: str
    watts: float
    amps: float | None = None

    def __post_init__(self) -> None:
        WATTS.check(self.watts, self.name)
        if self.amps is not None:
            AMPS.check(self.amps, self.name)

    def current(self, volts: float) -> float:
        """Current taken [A]: the greater of what is marked and watts over volts."""
        return max(self.amps or 0.0, self.watts / volts)


@dataclass(frozen=True)
class Carrier:
    """What the load flows through (lead, plug fuse, switch, control), its rating [A] and what that rests on."""

    name: str
    amps: float
    basis: Basis

    def __post_init__(self) -> None:
        AMPS.check(self.amps, self.name)


@dataclass(frozen=True)
class Load:
    """Total load and how it stands against each carrier."""

    watts: float
    amps: float
    against: tuple[tuple[str, Told], ...]


def total_load(consumers: Sequence[Consumer], volts: float, carriers: Sequence[Carrier]) -> Load:
    """Total load of motor and lamp against everything that carries it.

    Formula: P = sum(P_i); I = sum(max(I_i marked, P_i/U)). Currents are added as they are, which is the most they
    can come to. A motor of unmarked current can take more than P/U: mark it by measurement.

    Args:
        consumers: motor, lamp and so on [W, A].
        volts: supply [V], 1 to 480.
        carriers: what the load flows through [A].

    Source: Joule's law; ratings by their markings.

    >>> mark = Basis("marking", "", Standing.SEEN)
    >>> load = total_load([Consumer("motor", 70, 0.4), Consumer("lamp", 15)], 230, [Carrier("control", 0.6, mark)])
    >>> load.watts, round(load.amps, 3), load.against[0][1].fit.name
    (85.0, 0.465, 'NOT_OVER')
    """
    VOLTS.check(volts, "supply voltage")
    if not consumers:
        raise ValueError("no load: name at least one consumer")
    amps = sum(consumer.current(volts) for consumer in consumers)
    against = tuple((carrier.name, _on(amps, carrier)) for carrier in carriers)
    return Load(float(sum(consumer.watts for consumer in consumers)), amps, against)


def _on(amps: float, carrier: Carrier) -> Told:
    shown = f"{amps:.3g} A through the {carrier.name}, rated {carrier.amps:g} A ({carrier.basis.standing.value})"
    if amps > carrier.amps:
        return Told(Fit.OVER, shown)
    return Told(Fit.NOT_OVER if carrier.basis.standing.may_permit else Fit.UNKNOWN, shown)

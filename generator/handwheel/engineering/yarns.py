"""Thread sizes: tex and the older count systems.

The tex of a thread is its mass in grams for each kilometre; in SI, kg/m times 1e6.
"""

from __future__ import annotations

from enum import Enum

from handwheel.engineering.ranges import Range

TEX = Range(1.0, 2000.0, "tex")
COTTON = 453.59237 * 1000 / (840 * 0.9144)
"""Tex of cotton count 1: one pound in each hank of 840 yards."""


class System(Enum):
    """A way of giving thread size: constant, and whether a greater number is a finer thread.

    Direct systems: number = constant * tex. Indirect ones: number = constant / tex.
    """

    TEX = ("tex", 1.0, False)
    DTEX = ("decitex", 10.0, False)
    DENIER = ("denier", 9.0, False)
    METRIC_COUNT = ("metric count", 1000.0, True)
    COTTON_COUNT = ("cotton count", COTTON, True)
    METRIC_TICKET = ("metric ticket", 3000.0, True)
    COTTON_TICKET = ("cotton ticket", 3 * COTTON, True)

    def __init__(self, title: str, constant: float, indirect: bool) -> None:
        self.title = title
        self.constant = constant
        self.indirect = indirect


def tex_of(number: float, system: System, plies: int = 1) -> float:
    """Resultant tex of a thread [g/km].

    Formula: tex = number/constant * plies (direct) or constant/number * plies (indirect). A ticket number
    is of the whole thread and takes no plies.

    Args:
        number: count, denier or ticket as written [1].
        system: what the number is.
        plies: single yarns twisted together [1], 1 to 12; twist take-up is not in it.

    Source: published textile pages (seen: T Ne = 590.5, D = 9 T, ticket = 3 Nm or 3 Ne); ASTM D3823 for tickets.

    >>> round(tex_of(40, System.COTTON_COUNT, 2), 1), tex_of(270, System.DENIER)
    (29.5, 30.0)
    """
    if not number > 0:
        raise ValueError(f"{system.title} {number}: a thread size is more than nothing")
    if plies != 1 and system in (System.METRIC_TICKET, System.COTTON_TICKET):
        raise ValueError(f"a {system.title} is of the whole thread; leave the plies out")
    Range(1, 12, "plies").check(plies, "plies")
    single = system.constant / number if system.indirect else number / system.constant
    return TEX.check(single * plies, "thread size", "the shop's limits for sewing thread")


def number_of(tex: float, system: System) -> float:
    """The number that a thread of a given tex has in another system [1].

    Formula: number = constant * tex (direct) or constant/tex (indirect).

    Args:
        tex: resultant tex [g/km], 1 to 2000 (the shop's limits).
        system: the system wanted.

    Source: as `tex_of`.

    >>> number_of(30, System.DENIER)
    270.0
    >>> [round(number_of(30, system), 2) for system in (System.METRIC_COUNT, System.COTTON_COUNT, System.METRIC_TICKET)]
    [33.33, 19.68, 100.0]
    """
    TEX.check(tex, "thread size", "the shop's limits for sewing thread")
    return system.constant / tex if system.indirect else system.constant * tex

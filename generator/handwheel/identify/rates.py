"""How often parts change hands and looks go wrong: every number that the engine assumes.

All of them are estimates from common practice, none is published. `calibration` shows what
happens when they are wrong by a factor of three.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from handwheel.identify.evidence import Care
from handwheel.machines.questions import Swapped

CLASSES: tuple[Swapped, ...] = ("never", "seldom", "often")


@dataclass(frozen=True)
class History:
    """One way in which a machine may have been treated, or in which the library may lack its variant."""

    weight: float
    factor: float = 1.0
    """Multiplies the swap and loss rates: an untouched machine, an ordinary one, one made up of several."""
    unlike: float = 0.0
    """Chance of each part to be another than that of the variant, also where parts are never swapped. Above
    zero: the history belongs to 'fits none', a variant that the library lacks, near to one that it has."""


@dataclass(frozen=True)
class Rates:
    """Assumptions of the part-wise model."""

    swapped: dict[Swapped, float] = field(default_factory=lambda: {"never": 0.0, "seldom": 0.05, "often": 0.25})
    lost: dict[Swapped, float] = field(default_factory=lambda: {"never": 0.01, "seldom": 0.02, "often": 0.05})
    """Chance that a part is missing, where it can be."""
    donor: float = 0.7
    """Of the parts not original: share from other variants of the family."""
    outsider: float = 0.2
    """... share that is one of the declared parts from outside."""
    stranger: float = 0.1
    """... share from outside that nobody declared; its forms are anybody's guess."""
    wrong: dict[Care, float] = field(default_factory=lambda: {"doubtful": 0.15, "sure": 0.03, "checked": 0.003})
    """Chance that a look names a form that is not there."""
    wrong_character: float = 0.04
    """Chance that a character of the serial is read as another one."""
    no_block: float = 0.05
    """Chance that a serial lies in no recorded block, or was stamped again."""
    like_blocks: float = 0.7
    """Chance that the serial of a variant that the library lacks lies among the recorded blocks of the others."""
    wild_measure: float = 0.1
    """Chance that a measurement has nothing to do with the variant: weighed with the motor or the base on it."""
    none: float = 0.15
    """Chance, before any look, that the library lacks the variant."""
    known: tuple[History, ...] = (History(0.25, 1 / 3), History(0.5, 1.0), History(0.25, 3.0))
    unknown: tuple[History, ...] = (History(0.4, 1.0, 0.1), History(0.4, 1.0, 0.3), History(0.2, 1.0, 0.6))
    unlike_donor: float = 0.5
    """Of the parts in which an unknown variant differs from a known one: share that another variant has."""
    unlike_kin: float = 0.6
    """Of the castings in which an unknown variant differs: share that are a known one's, changed here and there."""
    changed_here: float = 0.4
    """Chance of each feature of such a casting to be another."""
    twin: float = 0.125
    """Where castings contradict a variant twice, or once and no other look there agrees with it: odds that a pattern
    not written down, its like but for these, is behind it and not a wrong look. No such variant can then be said to
    nine tenths: 1 / 1.125 is less."""
    most: float = 0.8
    """No history makes a part not original more often than this."""


ALL_SURE = Rates(
    swapped={"never": 0.0, "seldom": 0.0, "often": 0.0},
    lost={"never": 0.0, "seldom": 0.0, "often": 0.0},
    wrong={"doubtful": 0.0, "sure": 0.0, "checked": 0.0},
    wrong_character=0.0,
    no_block=0.0,
    wild_measure=0.0,
    none=0.0,
    known=(History(1.0),),
    unknown=(),
)
"""Nothing is ever swapped, lost or misread: the model of a printed key."""

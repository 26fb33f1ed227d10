"""What sources give for a value besides the one that the shop follows, and what clamps a joint."""

from __future__ import annotations

from handwheel.records import values as v
from handwheel.records.kinds import Nested, key, record
from handwheel.records.shapes import Cite, Many, Part, Prose, Quantity, When, Words


@record()
class AlsoTold(Nested):
    """What another source gives for one of the values of a record."""

    of: str = key(Words(), "The key of the value.", "tighten", required=True)
    value: str = key(Words(), "What this source gives, with its unit.", "0.9 N m", required=True)
    source: v.Citation = key(Cite(), "The source.", "{source: dealer-sheet, at: front}", required=True)
    when: v.When | None = key(When(), "Machines that it speaks of.", "{casting: iron}")
    set_aside: v.Text | None = key(
        Prose(), "Why the shop follows its own value, where the two disagree.", "It is for new castings."
    )


ALSO_TOLD = Many(Part(AlsoTold))
ALSO_DOC = "What other sources give for its values; where one disagrees, say why it is set aside."
ALSO_EXAMPLE = "[{of: tighten, value: 0.9 N m, source: dealer-sheet, set_aside: It is for new castings.}]"


@record()
class Clamp(Nested):
    """The clamp force that a joint needs, and what that rests on."""

    force: v.Amount = key(Quantity("force"), "The least force that holds.", "300 N", required=True)
    source: v.Citation | None = key(Cite(), "What it rests on.", "shop-bench-2")

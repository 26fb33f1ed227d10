"""Records that come from the bench: notes that wait for their writer, and what was measured."""

from __future__ import annotations

from handwheel.records import values as v
from handwheel.records.kinds import Record, key, record
from handwheel.records.shapes import Day, Decimal, Many, OneWordOf, Ref, StepRef, Words

NOTE_KINDS = ("note", "otherwise")


@record("drafts", "draft", label="says")
class Draft(Record):
    """A note from the bench beside its step: shown in the preview, never on the published site."""

    step: str = key(StepRef(), "The step that it belongs to.", "strip-winder/frame-off", required=True)
    says: str = key(Words(), "The note as it was written.", "The left screw was seized.", required=True)
    kind: str = key(OneWordOf(NOTE_KINDS), "A note, or how the work went otherwise.", "otherwise", default="note")
    date: str = key(Day(), "When it was written.", "2026-03-11", required=True)
    machine: str = key(Words(), "The machine on the bench: a variant, or what was seen of it.", "dipper-12", default="")
    digest: str = key(Words(), "Digest of the step's words when it was written.", "0f3c9a7be211", default="")


@record("measurements", "measurement", label="reading")
class Measurement(Record):
    """What was measured at a step on one machine on one day."""

    reading: str = key(Ref(("readings",)), "What was measured.", "pull", required=True)
    step: str = key(StepRef(), "The step at which it was measured.", "set-tension/pull-read", default="")
    values: tuple[v.Number, ...] = key(
        Many(Decimal()), "The values in the order taken, in the reading's unit.", "[0.82, 0.85]", required=True
    )
    date: str = key(Day(), "When.", "2026-03-11", required=True)
    machine: str = key(Words(), "The machine: a variant, or what was seen of it.", "dipper-12", default="")
    notes: tuple[str, ...] = key(Many(Words()), "The notes that they were taken from.", "[n-0f3c9a7be211]", default=())

    @property
    def count(self) -> int:
        """How often it was measured."""
        return len(self.values)

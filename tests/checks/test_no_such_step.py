"""A step that is not there, named by each kind of record that can name one."""

from __future__ import annotations

from handwheel.checks.registry import rules_by_id
from handwheel.checks.runner import run
from handwheel.records.bench_records import Draft, Measurement
from handwheel.records.library import Library
from handwheel.records.step_records import Step
from handwheel.records.values import Number
from handwheel.records.work_records import Passage, Procedure, Recording
from shopkit import text


def naming(step: str) -> Library:
    passage = Passage(start="00:10", end="00:20", shows=(step,))
    return Library(
        {
            "procedures": {
                "look": Procedure(id="look", title="Look", steps=(Step(id="seen", do=text("Look at it.")),))
            },
            "recordings": {"class-1": Recording(id="class-1", title="First", date="2026-01-07", passages=(passage,))},
            "drafts": {"n-1": Draft(id="n-1", step=step, says="Stiff.", date="2026-01-08")},
            "measurements": {
                "m-1": Measurement(id="m-1", reading="pull", step=step, values=(Number("1", 1.0),), date="2026-01-08"),
                "m-2": Measurement(id="m-2", reading="pull", values=(Number("1", 1.0),), date="2026-01-08"),
            },
        }
    )


def test_passages_notes_and_measurements_are_told_with_the_step_that_is_meant() -> None:
    rule = [rules_by_id()["no-such-step"]]
    found = run(naming("look/sen"), rule).findings
    assert {each.subject for each in found} == {"recordings/class-1", "drafts/n-1", "measurements/m-1"}
    assert {each.right for each in found} == {"did you mean 'look/seen'?"}
    assert run(naming("look/seen"), rule).findings == ()

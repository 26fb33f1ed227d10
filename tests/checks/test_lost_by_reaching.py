"""What reaching a part loses is found if nothing sets it again, and the finding says which procedure can."""

from __future__ import annotations

from handwheel.checks.finding import Finding
from handwheel.checks.registry import rules_by_id
from handwheel.checks.runner import run
from handwheel.records.library import Library
from handwheel.records.step_records import Node
from shopkit import fastener, job, part, procedure, reach, setting, shop, step, use, variant


def bush_shop(*after: Node) -> Library:
    """A bush behind a plate whose screw holds the throw."""
    return shop(
        variant("first"),
        part("head", root=True),
        part("plate"),
        part("bush", behind="plate"),
        fastener("plate-screw", "plate"),
        setting("throw", ["plate-screw"]),
        procedure("strip", step("Lift the plate off.", id="plate-off", removes="plate"), area="strip"),
        procedure("set-throw", step("Set the throw.", id="throw-set", sets="throw")),
        procedure("work", reach("bush", step("Press a new one in.", id="in", renews="bush")), *after),
        job("repair", "work", start="in-order"),
    )


def found(library: Library) -> list[Finding]:
    return list(run(library, [rules_by_id()["not-set-again"]]).findings)


def test_a_setting_lost_by_reaching_is_found_with_the_procedure_that_sets_it() -> None:
    (finding,) = found(bush_shop())
    assert (finding.what, finding.jobs) == ("'throw' is lost and not set again", ("repair",))
    assert finding.right == "a step with sets: after the last that loses it, as in 'set-throw'"


def test_one_that_is_set_after_the_refit_is_in_order() -> None:
    assert found(bush_shop(use("set-throw", id="again"))) == []

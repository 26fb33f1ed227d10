"""What a source carries, what a shop rests on, and what its own limit may do to the equation's."""

from __future__ import annotations

import dataclasses

from handwheel.engineering.ranges import Span
from handwheel.evidence.lifting import allowed, judged_loads
from handwheel.evidence.standing import Standing, lacking, of_citations, standing_of
from handwheel.evidence.tally import by_outcome, by_standing, cited
from handwheel.records.kinds import Record
from handwheel.records.library import Library
from handwheel.records.places import Place
from handwheel.records.values import Citation, Number

HERE = Place("x.yaml", 1, 1)


def test_only_some_standings_permit() -> None:
    weak = {each for each in Standing if not each.may_permit}
    assert weak == {
        Standing.NOT_SEEN,
        Standing.PRACTICE,
        Standing.MEMORY,
        Standing.INVENTED,
        Standing.TOLD,
        Standing.NONE,
    }


def test_each_kind_of_source(demo: Library) -> None:
    expected = {
        "design-handbook": Standing.SEEN,
        "jis-b-0205": Standing.SECOND_HAND,
        "iso-261": Standing.NOT_SEEN,
        "torque-notes": Standing.MEASURED,
        "common-practice": Standing.PRACTICE,
        "from-memory": Standing.MEMORY,
        "works-ledger": Standing.INVENTED,
    }
    assert {each: standing_of(demo.sources[each]) for each in expected} == expected


def test_best_of_several_and_memory_by_locator(demo: Library) -> None:
    seen, memory = Citation("design-handbook", "table 8-2", HERE), Citation("from-memory", "", HERE)
    assert of_citations(demo, (memory, seen)) is Standing.SEEN
    assert of_citations(demo, (Citation("design-handbook", "from memory", HERE),)) is Standing.MEMORY
    assert of_citations(demo, (None,)) is Standing.NONE


def test_a_measurement_tells_of_itself(demo: Library) -> None:
    notes = demo.sources["torque-notes"]
    assert lacking(notes) == ()
    assert lacking(dataclasses.replace(notes, instrument="", count=None)) == ("instrument", "count")


def test_tally_counts_each_citation_once(demo: Library) -> None:
    uses = cited(demo)
    assert set(uses) == set(demo.sources)
    assert ("fasteners", "pillar-screw") in uses["torque-notes"]
    for source, records in uses.items():
        assert len(set(records)) == len(records), source
    assert sum(by_standing(demo).values()) > 300
    assert by_standing(demo)[Standing.MEASURED] > 0


def test_tally_of_outcomes_changes_with_a_slip(demo: Library) -> None:
    before = by_outcome(demo)["threads"]
    thread = demo.threads["m4"]
    wrong = dataclasses.replace(thread, diameter=dataclasses.replace(thread.diameter, value=0.0042))
    kinds: dict[str, dict[str, Record]] = {k: dict(v) for k, v in demo.kinds.items()}
    kinds["threads"]["m4"] = wrong
    after = by_outcome(dataclasses.replace(demo, kinds=kinds))["threads"]
    assert sum(after.values()) == sum(before.values())
    assert [after[each] - before[each] for each in after] == [-1, 1, 0]


def with_limit(demo: Library, value: float) -> Library:
    kinds: dict[str, dict[str, Record]] = {k: dict(v) for k, v in demo.kinds.items()}
    limit = demo.of("limits")["lone-lift"]
    kinds["limits"]["lone-lift"] = dataclasses.replace(limit, value=Number(str(value), value))
    return dataclasses.replace(demo, kinds=kinds)


def test_common_practice_lowers_the_limit_and_never_raises_it(demo: Library) -> None:
    """NIOSH 94-110, p. 7: 23 x 25/40 x (1 - 0.003 x 5) at the destination, travel and hold 1: 14.16 kg."""
    assert round(allowed(with_limit(demo, 40.0))[0], 2) == 14.16
    assert allowed(with_limit(demo, 12.0))[0] == 12.0
    assert "does not raise" in allowed(with_limit(demo, 40.0))[1][1]


def test_people_needed(demo: Library) -> None:
    loads = {"light": Span(11, 12), "heavy": Span(12.5, 13), "huge": Span(25, 25)}
    found = judged_loads(with_limit(demo, 12.0), loads)
    assert [each.people for each in found] == [1, 2, 3]
    assert "injury" not in found[0].words
    assert "injury" in found[1].words
    assert not any("safe" in each.words for each in found)

"""What can be left out or split off, and how many machines there are."""

from __future__ import annotations

import networkx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.machines.conditions import All, Is
from handwheel.machines.coupling import areas, closure, count_machines, joined
from handwheel.machines.errors import TooMany
from handwheel.machines.family import FamilyIndex
from handwheel.machines.questions import Family, Feature, Variant
from handwheel.machines.space import Space
from machines.enumeration import every_machine
from machines.making import families, law


@law
@given(families())
def test_counting_by_components_is_counting(family: Family) -> None:
    assert len(every_machine(family)) == count_machines(family)


@law
@given(families(), st.data())
def test_areas_share_neither_question_nor_carrier(family: Family, data: st.DataObject) -> None:
    names = [*(feature.id for feature in family.features), "wick", "pull"]
    groups = data.draw(st.lists(st.sets(st.sampled_from(names), max_size=3), max_size=5))
    found = areas(family, groups)
    assert list(range(len(groups))) == sorted(member for area in found for member in area.members)
    index = FamilyIndex(family)
    seen: set[str] = set()
    for area in found:
        features = [q for q in area.questions if q in index.features]
        own = {f"carrier {index.carrier_of[f]}" for q in features for f in index.base(q)}
        own |= area.questions - set(features)
        assert seen.isdisjoint(own)
        seen |= own
        assert Space(family, features).size == area.cells
        assert set().union(*(groups[member] for member in area.members)) == area.questions


@law
@given(st.lists(st.sets(st.integers(0, 8), max_size=3), max_size=8))
def test_joined_sets_are_the_connected_components(sets: list[set[int]]) -> None:
    """Against networkx, `connected_components`."""
    graph = networkx.Graph()
    graph.add_nodes_from(range(len(sets)))
    graph.add_edges_from((i, j) for i, one in enumerate(sets) for j, other in enumerate(sets[:i]) if one & other)
    assert sorted(map(tuple, map(sorted, networkx.connected_components(graph)))) == joined(sets)


def wide(count: int) -> Family:
    features = tuple(Feature(f"f{i}", ("a", "b", "c"), swapped="often") for i in range(count))
    made = {f"f{i}": ("a",) for i in range(count)}
    return Family("wide", (Variant("one", made), Variant("two", dict.fromkeys(made, ("b", "c")))), features)


def test_a_count_far_beyond_what_can_be_held() -> None:
    assert count_machines(wide(40)) == 2 * 3**40
    with pytest.raises(TooMany, match="split into areas"):
        Space(wide(40))
    apart = areas(wide(40), [[f"f{i}"] for i in range(40)])
    assert [area.cells for area in apart] == [6] * 40


def test_a_clause_that_cannot_stand_couples_what_it_reads() -> None:
    clash = All((Is("f0", frozenset("b")), Is("f1", frozenset("b"))))
    family = Family("f", wide(3).variants, wide(3).features, cannot_stand=(clash,))
    assert closure(FamilyIndex(family), ["f0"]) == {"f0", "f1"}
    assert closure(FamilyIndex(family), ["f2"]) == {"f2"}
    assert count_machines(family) == 2 * (9 - 1) * 3


def test_a_variant_ruled_out_by_what_was_left_out_is_gone() -> None:
    """The finish tells the variant; a clause about the finish alone leaves one variant."""
    lamp, finish = Feature("lamp", ("a", "b"), swapped="often"), Feature("finish", ("clear", "enamel"))
    variants = (Variant("one", {"finish": ("clear",)}), Variant("two", {"finish": ("enamel",)}))
    family = Family("f", variants, (lamp, finish), cannot_stand=(Is("finish", frozenset({"enamel"})),))
    space = Space(family, ["lamp"])
    assert space.questions == ("lamp",)
    assert space.states("variant") == ("one",)


def test_what_the_variant_settles_need_not_join_areas() -> None:
    lamp, winder = (Feature(name, ("a", "b"), swapped="often") for name in ("lamp", "winder"))
    finish = Feature("finish", ("clear", "enamel"))
    variants = (Variant("one", {"finish": ("clear",)}), Variant("two", {"finish": ("enamel",)}))
    family = Family("f", variants, (lamp, winder, finish))
    groups = [["lamp", "finish"], ["winder", "finish"]]
    assert [area.members for area in areas(family, groups)] == [(0, 1)]
    assert [area.cells for area in areas(family, groups)] == [8]
    assert [area.members for area in areas(family, groups, through_patterns=False)] == [(0,), (1,)]
    assert [area.cells for area in areas(family, groups, through_patterns=False)] == [4, 4]

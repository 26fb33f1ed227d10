"""Reaching and covering held against libraries that know nothing of sewing machines.

Order and closure: networkx (ancestors, shortest paths) and graphlib of the standard library (topological order).
Coverage of alternatives: a SAT solver, over the same machines as clauses.
"""

from __future__ import annotations

from graphlib import TopologicalSorter
from itertools import pairwise

import networkx as nx  # type: ignore[import-untyped]
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from handwheel.checks.runner import run
from handwheel.machines.conditions import Condition, Not
from handwheel.machines.space import Space
from handwheel.procedures.reach import Plan, reach
from handwheel.procedures.simulate.run import run_procedure
from handwheel.records.families import family_as_built, family_of
from handwheel.records.library import Library
from machines.making import conditions
from machines.satisfying import Clauses
from shopkit import FAMILY, fastener, feature, one_of, part, procedure, shop, step, under, variant

law = settings(deadline=None, max_examples=40, suppress_health_check=list(HealthCheck))
Carriers = dict[str, str]
Fronts = dict[str, tuple[str, ...]]


@st.composite
def machines(draw: st.DrawFn, carried: bool, most: int = 9) -> tuple[Carriers, Fronts, tuple[str, ...]]:
    """Parts that stand in front of each other without a circle: what carries each, what is in front of it."""
    names = draw(st.permutations([f"p{n}" for n in range(draw(st.integers(2, most)))]))
    carriers, fronts = {}, {}
    for number, name in enumerate(names):
        before = names[:number]
        carriers[name] = draw(st.sampled_from(["", *before])) if carried and before else ""
        fronts[name] = tuple(draw(st.sets(st.sampled_from(before), max_size=3))) if before else ()
    return carriers, fronts, tuple(draw(st.permutations(names)))


def library_of(carriers: Carriers, fronts: Fronts, written: tuple[str, ...]) -> Library:
    """Each part by a screw of its own, and a step that takes it off; steps in no useful order."""
    parts = [part(name, inside=carriers[name] or "head", behind=fronts[name]) for name in written]
    steps = [step("Take it off.", id=f"{name}-off", removes=[name]) for name in written]
    return shop(
        variants=[variant("first")],
        parts=[part("head", root=True), *parts],
        fasteners=[fastener(f"{name}-screw", [name]) for name in written],
        procedures=[procedure("strip", *steps)],
    )


def planned(library: Library, wanted: str) -> Plan:
    return reach(library, Space(family_as_built(library, FAMILY)), 0, wanted)


def graph_of(fronts: Fronts) -> nx.DiGraph:
    """An edge from each part to what it stands in front of."""
    graph = nx.DiGraph()
    graph.add_nodes_from(fronts)
    graph.add_edges_from((front, name) for name, others in fronts.items() for front in others)
    return graph


@law
@given(machines(carried=False))
def test_what_comes_off_is_what_stands_before_it_and_no_more(
    drawn: tuple[Carriers, Fronts, tuple[str, ...]],
) -> None:
    carriers, fronts, written = drawn
    library, graph = library_of(carriers, fronts, written), graph_of(fronts)
    for wanted in written:
        assert set(planned(library, wanted).parts_off) == nx.ancestors(graph, wanted) | {wanted}


@law
@given(machines(carried=False))
def test_the_order_is_possible_by_the_sorter_of_the_standard_library(
    drawn: tuple[Carriers, Fronts, tuple[str, ...]],
) -> None:
    carriers, fronts, written = drawn
    library, graph = library_of(carriers, fronts, written), graph_of(fronts)
    for wanted in written:
        plan = planned(library, wanted)
        needed = nx.ancestors(graph, wanted) | {wanted}
        sorter = TopologicalSorter({name: set(fronts[name]) & needed for name in needed})
        sorter.prepare()
        ready = set(sorter.get_ready())
        for name in plan.parts_off:
            assert name in ready
            sorter.done(name)
            ready |= set(sorter.get_ready())
        assert not sorter.is_active()
        assert [act.step.fits for act in plan.back] == [act.step.removes for act in reversed(plan.off)]
        assert plan.violations == ()


def blocked(name: str, off: frozenset[str], carriers: Carriers, fronts: Fronts) -> bool:
    """Something in front of it hangs together with it, by their ways up to what carries both."""
    return any(front not in off and _together(name, front, off, carriers) for front in fronts[name])


def _together(name: str, other: str, off: frozenset[str], carriers: Carriers) -> bool:
    ups = [_up(each, carriers) for each in (name, other)]
    shared = next((each for each in ups[0] if each in ups[1]), "")
    ways = [each for up in ups for each in (up[: up.index(shared)] if shared else up)]
    return not any(each in off for each in ways if each != name)


def _up(name: str, carriers: Carriers) -> list[str]:
    found = [name]
    while name := carriers[name]:
        found.append(name)
    return found


def states_of(carriers: Carriers, fronts: Fronts) -> nx.DiGraph:
    """Every way in which parts can be off, and what each removal leads to."""
    graph, waiting = nx.DiGraph(), [frozenset[str]()]
    graph.add_node(waiting[0])
    while waiting:
        off = waiting.pop()
        for name in fronts:
            if name not in off and not blocked(name, off, carriers, fronts):
                new = off | {name}
                if new not in graph:
                    waiting.append(new)
                graph.add_edge(off, new)
    return graph


@law
@given(machines(carried=True, most=6))
def test_a_plan_on_assemblies_is_a_way_through_all_that_can_be_and_as_short_as_the_shortest(
    drawn: tuple[Carriers, Fronts, tuple[str, ...]],
) -> None:
    carriers, fronts, written = drawn
    library, graph = library_of(carriers, fronts, written), states_of(carriers, fronts)
    lengths = nx.single_source_shortest_path_length(graph, frozenset())
    for wanted in written:
        plan = planned(library, wanted)
        order = plan.parts_off
        states = [frozenset(order[:count]) for count in range(len(order) + 1)]
        assert all(graph.has_edge(one, other) for one, other in pairwise(states)), order
        assert order[-1] == wanted
        assert len(order) == min(length for state, length in lengths.items() if wanted in state)
        assert plan.violations == ()


FORMS = {"f1": ("a", "b"), "f2": ("a", "b", "c"), "f3": ("x", "y")}


@st.composite
def forks(draw: st.DrawFn) -> tuple[Library, list[Condition]]:
    """A procedure with three alternatives under free conditions, on machines some of which cannot stand."""
    swapped = st.sampled_from(["often", "never"])
    given_ = {name: st.lists(st.sampled_from(forms), min_size=1, unique=True) for name, forms in FORMS.items()}
    variants = [variant(name, **draw(st.fixed_dictionaries(given_))) for name in ("v0", "v1")]
    arms = [draw(conditions(FORMS, ("v0", "v1"), 2)) for _ in range(draw(st.integers(1, 2)))]
    arms.append(Not(arms[0]) if draw(st.booleans()) else draw(conditions(FORMS, ("v0", "v1"), 2)))
    barred = draw(st.lists(conditions(FORMS, (), 1), max_size=1))
    steps = [under(arm, step("Do it.", id=f"s{number}")) for number, arm in enumerate(arms)]
    library = shop(
        features=[feature(name, *forms, swapped=draw(swapped)) for name, forms in FORMS.items()],
        variants=variants,
        parts=[part("head", root=True)],
        procedures=[procedure("work", one_of(*steps))],
        cannot_stand=barred,
    )
    return library, arms


@settings(law, max_examples=80)
@given(forks())
def test_alternatives_are_none_or_several_where_a_sat_solver_finds_such_a_machine(
    drawn: tuple[Library, list[Condition]],
) -> None:
    library, arms = drawn
    clauses = Clauses(family_of(library, FAMILY))
    if not clauses.possible():
        return
    none = clauses.possible(*(Not(arm) for arm in arms))
    pairs = [(one, other) for number, one in enumerate(arms) for other in arms[:number]]
    several = any(clauses.possible(one, other) for one, other in pairs)
    codes = {each.code for each in run_procedure(library, FAMILY, "work").trace.violations}
    assert ("no-alternative" in codes, "several-alternatives" in codes) == (none, several)
    assert ("alternatives-not-one" in run(library).by_rule) is (none or several)

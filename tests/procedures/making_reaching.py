"""Random small shops in which parts are reached: many things in front of each other, and steps that take them off."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st
from making_shops import (
    FASTENERS,
    PARTS,
    SETTINGS,
    Counter,
    feature_conditions,
    few,
    machines,
    maybe,
    rest,
    some,
    steps,
)

from handwheel.records.library import Library
from handwheel.records.step_records import Node
from handwheel.records.values import Minutes
from shopkit import by, fastener, job, oiling_point, part, procedure, reach, setting, shop, step, under


@st.composite
def crowded(draw: st.DrawFn) -> list[Any]:
    """Parts that mostly stand behind others, some in assemblies; screws with things in front; settings."""
    stack = draw(st.lists(st.sampled_from(PARTS[2:]), max_size=3, unique=True)) if draw(few) < 5 else []
    found: list[Any] = [part("head", root=True)]
    for place, name in enumerate(PARTS):
        given: dict[str, Any] = {
            "behind": maybe(draw, 8, st.lists(st.sampled_from(fronts(draw, place)), max_size=2, unique=True), ()),
            "when": maybe(draw, 1, feature_conditions()),
            "electrical": draw(few) < 1,
        }
        if place and name not in stack:
            given["inside"] = maybe(draw, 4, st.sampled_from(PARTS[:place]), "")
        if name == "p2" and stack:
            given["stack"] = [(each, None) for each in stack]
        found.append(part(name, **given))
    for name in FASTENERS:
        held = draw(st.lists(st.sampled_from(PARTS), min_size=1, max_size=2, unique=True))
        front = maybe(draw, 4, st.lists(st.sampled_from(PARTS), max_size=1), ())
        release = draw(st.sampled_from(("out", "loosened")))
        found.append(fastener(name, held, behind=front, release=release, when=maybe(draw, 2, feature_conditions())))
    for name in SETTINGS:
        holders = draw(st.lists(st.sampled_from((*FASTENERS, *PARTS)), min_size=1, max_size=2, unique=True))
        found.append(setting(name, holders, mark_first=draw(st.booleans()), reading="pull" if name == "s2" else ""))
    return [*found, oiling_point("o1", ("p1",)), oiling_point("o2", ("p4",), behind=("p2",))]


def fronts(draw: st.DrawFn, place: int) -> tuple[str, ...]:
    """Mostly parts that come later, so that few stand in front of each other in a circle."""
    return (PARTS[place + 1 :] or PARTS) if draw(few) else PARTS


@st.composite
def removing(draw: st.DrawFn, count: Counter) -> list[Node]:
    """Steps that take parts off, with some that undo and mark before them."""
    found: list[Node] = []
    single = [[name] for name in draw(st.permutations(PARTS))[: draw(st.integers(2, 5))]]
    for parts in (*single, *draw(st.lists(some(PARTS, 2), max_size=2))):
        kind = draw(few)
        minutes = draw(st.sampled_from((None, Minutes(1, 2, 3), Minutes(4, 5, 6))))
        off = step("Take it off.", id=count.next(), removes=parts, minutes=minutes)
        if kind == 0:
            found.append(step("Undo it.", id=count.next(), undoes=draw(some(FASTENERS, 1))))
        if kind == 1:
            found.append(step("Mark it.", id=count.next(), marks=draw(some(SETTINGS, 1))))
        if kind in (2, 3):
            found.append(under(draw(feature_conditions(questions=kind == 2)), off))
        elif kind == 4:
            found.append(by("a", x=[off], y=[]))
        else:
            found.append(off)
    return found


@st.composite
def reaching(draw: st.DrawFn, count: Counter) -> Node:
    """A part to be reached, and what is done then."""
    inner = draw(
        st.lists(st.one_of(steps(count), st.builds(renewed, st.sampled_from(PARTS), st.just(count))), max_size=2)
    )
    return reach(draw(some(PARTS, 2)), *(inner or [renewed("p1", count)]))


def renewed(name: str, count: Counter) -> Node:
    return step("Renew it.", id=count.next(), renews=[name])


@st.composite
def reaching_shops(draw: st.DrawFn) -> Library:
    """One job in which some steps come first and parts are then reached, from however the machine stands by then."""
    count = Counter()
    before = [draw(steps(count)) for _ in range(draw(st.integers(0, 3)))]
    nodes = [draw(reaching(count)) for _ in range(draw(st.integers(1, 2)))]
    guarded = [under(draw(feature_conditions(questions=True)), *nodes)] if draw(few) < 2 else nodes
    strip = procedure("strip", *draw(removing(count)), area="strip", when=maybe(draw, 1, feature_conditions()))
    other = procedure("other", *draw(removing(count))) if draw(few) < 4 else None
    work = procedure("work", *before, *guarded, *([draw(steps(count))] if draw(st.booleans()) else []))
    own = [strip, work, *([other] if other else [])]
    return shop(*draw(machines()), *draw(crowded()), *draw(rest()), *own, job("job", "work", start="in-order"))

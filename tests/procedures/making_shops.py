"""Random small shops for Hypothesis: parts, screws, settings, questions, and procedures that are mostly wrong."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from handwheel.records import values as v
from handwheel.records.library import Library
from handwheel.records.library_records import Finish, Material
from handwheel.records.machine_records import Outsider
from handwheel.records.part_records import Item, Open, Position, Prohibition, Proof
from handwheel.records.step_records import Node, Wait
from handwheel.records.work_records import Aim, Outcome
from shopkit import (
    HERE,
    agent,
    by,
    choice,
    ensure,
    fastener,
    feature,
    finding,
    job,
    made,
    mirror,
    oiling_point,
    one_of,
    part,
    procedure,
    reach,
    reading,
    repeat,
    setting,
    shop,
    step,
    under,
    use,
    variant,
    when,
)

PARTS = ("p1", "p2", "p3", "p4", "p5")
FASTENERS = ("f1", "f2", "f3")
SETTINGS = ("s1", "s2", "s3")
POINTS = ("o1", "o2")
FEATURES = {"a": ("x", "y"), "b": ("x", "y", "z"), "bulb": ("old", "new"), "d": ("s", "t")}
QUESTIONS = {"wick": ("soft", "hard"), "works": ("free", "stiff"), "pull": ("slack", "right", "tight"),
             "led": ("accepted", "declined")}  # fmt: skip
GOOD = {"wick": "soft", "works": "free", "pull": "right"}

few = st.integers(0, 9)


def mass(grams: int) -> v.Amount:
    return v.Amount(f"{grams} g", grams / 1000, "mass", HERE)


@st.composite
def feature_conditions(draw: st.DrawFn, questions: bool = False) -> Any:
    pool = FEATURES | (QUESTIONS if questions else {})
    kind = draw(few)
    if kind == 0:
        return {"variant": draw(st.sampled_from(("v1", "v2")))}
    if kind == 1 and questions:
        one, other = draw(st.lists(st.sampled_from(sorted(pool)), min_size=2, max_size=2, unique=True))
        pair = {q: draw(st.sampled_from(pool[q])) for q in (one, other)}
        return pair if draw(st.booleans()) else [{q: state} for q, state in pair.items()]
    question = draw(st.sampled_from(sorted(pool)))
    states = draw(st.lists(st.sampled_from(pool[question]), min_size=1, max_size=2, unique=True))
    if kind == 2:
        return {"not": {question: states}}
    return {question: states}


def maybe(draw: st.DrawFn, chance: int, strategy: st.SearchStrategy[Any], default: Any = None) -> Any:
    """The strategy in `chance` of ten cases."""
    return draw(strategy) if draw(few) < chance else default


@st.composite
def machines(draw: st.DrawFn) -> list[Any]:
    """Features, variants, outsiders."""
    seldom = draw(st.sampled_from(("often", "never")))
    return [
        feature("a", "x", "y"),
        feature("b", "x", "y", "z", swapped=seldom, carried_by="p2", missing=draw(st.booleans())),
        feature("bulb", "old", "new", swapped="often", carried_by="p3", changes_by_work=True),
        feature("d", derived=[("s", draw(feature_conditions_plain())), ("t", None)]),
        variant("v1", a=draw(st.sampled_from(("x", ("x", "y")))), b="x", bulb="old"),
        variant("v2", a="y", b=("y", "z")),
        *([made(Outsider, id="o", name="o", part="p2", forms={"b": ("z",)})] if draw(st.booleans()) else []),
    ]


def feature_conditions_plain() -> st.SearchStrategy[Any]:
    return st.sampled_from(({"a": "x"}, {"bulb": "new"}, {"b": ["x", "missing"]}, {"variant": "v2"}))


@st.composite
def things(draw: st.DrawFn) -> list[Any]:
    """Parts, fasteners, settings, oiling points."""
    found: list[Any] = [
        part("head", root=True, finish=maybe(draw, 5, st.sampled_from(("shellac", "enamel"))), mass=mass(9000))
    ]
    stack = draw(st.lists(st.sampled_from(PARTS[2:]), max_size=2, unique=True)) if draw(few) < 4 else []
    for place, name in enumerate(PARTS):
        given: dict[str, Any] = {
            "when": maybe(draw, 3, feature_conditions()),
            "behind": maybe(draw, 3, st.lists(st.sampled_from(PARTS), max_size=1), ()),
            "electrical": draw(few) < 2,
            "powers": draw(few) < 1,
            "turns": ("works",) if draw(few) < 1 else (),
            "sews": draw(few) < 7,
            "material": maybe(draw, 5, st.sampled_from(("steel", "rubber"))),
            "finish": maybe(draw, 2, st.sampled_from(("shellac", "enamel"))),
            "mass": maybe(draw, 4, st.sampled_from((mass(500), mass(4000)))),
            "take_at": {"needle": (draw(st.sampled_from(("top", "bottom"))),)} if draw(few) < 2 else {},
        }
        if place and name not in stack:
            given["inside"] = maybe(draw, 3, st.sampled_from(PARTS[:place]), "")
        if name == "p2" and stack:
            given["stack"] = [(each, condition(draw)) for each in stack]
        found.append(part(name, **given))
    for name in FASTENERS:
        found.append(
            fastener(
                name,
                draw(st.lists(st.sampled_from(PARTS), min_size=1, max_size=2, unique=True)),
                when=maybe(draw, 2, feature_conditions()),
                behind=maybe(draw, 2, st.lists(st.sampled_from(PARTS), max_size=1), ()),
                release=draw(st.sampled_from(("out", "out", "loosened"))),
                seat=maybe(draw, 2, st.sampled_from(("flat", "any"))),
            )
        )
    for place, name in enumerate(SETTINGS):
        found.append(
            setting(
                name,
                draw(st.lists(st.sampled_from((*FASTENERS, *PARTS)), min_size=1, max_size=2, unique=True)),
                when=maybe(draw, 2, feature_conditions()),
                after=maybe(draw, 4, st.lists(st.sampled_from(SETTINGS[:place] or ("s1",)), max_size=1), ())
                if place
                else (),
                set_when=draw(openings()) if draw(few) < 3 else None,
                mark_first=draw(few) < 2,
                arrangement=draw(few) < 2,
                reading="pull" if name == "s2" else "",
            )
        )
    for name in POINTS:
        found.append(
            oiling_point(
                name,
                draw(st.lists(st.sampled_from(PARTS), min_size=1, max_size=2, unique=True)),
                when=maybe(draw, 2, feature_conditions()),
                behind=maybe(draw, 3, st.lists(st.sampled_from(PARTS), max_size=1), ()),
            )
        )
    return found


def condition(draw: st.DrawFn) -> Any:
    written = maybe(draw, 4, feature_conditions())
    return when(written) if written is not None else None


@st.composite
def openings(draw: st.DrawFn) -> Any:
    return made(
        Open,
        open=maybe(draw, 5, st.lists(st.sampled_from(PARTS), max_size=1), ()),
        fitted=maybe(draw, 5, st.lists(st.sampled_from(PARTS), max_size=1), ()),
        positions={"needle": (draw(st.sampled_from(("top", "bottom"))),)} if draw(few) < 3 else {},
    )


FORBIDDEN = (("heats", "p1"), ("removes", "p3"), ("cleans", "p4"), ("undoes", "f1"), ("turns", "p1"))


@st.composite
def rest(draw: st.DrawFn) -> list[Any]:
    """Questions, agents, proofs, prohibitions, items."""
    forbidden = draw(
        st.sampled_from((("heats", "p1"), ("removes", "p3"), ("cleans", "p4"), ("undoes", "f1"), ("turns", "p1")))
    )
    return [
        finding("wick", "soft", "hard", good="soft", of="p4", when=maybe(draw, 2, feature_conditions())),
        finding("works", "free", "stiff", good="free"),
        reading("pull", "slack", "right", "tight", cuts=("1", "2"), good="right"),
        choice("led", means={"bulb": "new"}, when=maybe(draw, 2, feature_conditions())),
        agent(
            "spirit",
            use=("bath", "wipe"),
            strips_oil=True,
            flammable=True,
            harms={"rubber": "never", "enamel": "test first"},
        ),
        agent("alcohol", use=("wipe",), harms={"shellac": "never", "steel": "test first"}),
        made(Material, id="steel", name="steel"),
        made(Material, id="rubber", name="rubber"),
        made(Finish, id="shellac", name="shellac", layers=("shellac", "enamel") if draw(st.booleans()) else ()),
        made(Finish, id="enamel", name="enamel"),
        made(Proof, id="electrical", name="e", stale_by="electrical", when=maybe(draw, 3, feature_conditions())),
        made(Proof, id="sewing", name="s", stale_by="sewing", live=draw(few) < 2),
        made(
            Prohibition,
            id="no",
            effect=forbidden[0],
            part=forbidden[1],
            why="No.",
            when=maybe(draw, 5, feature_conditions()),
        ),
        made(Item, id="key", name="key", when=maybe(draw, 4, feature_conditions())),
        made(
            Position, id="needle", name="needle", states={"top": "t", "bottom": "b"}, start="anywhere", moved_by="works"
        ),
        made(Position, id="foot", name="foot", states={"up": "u", "down": "d"}, start="up", moved_by="lever"),
    ]


def some(names: tuple[str, ...], most: int = 2) -> st.SearchStrategy[list[str]]:
    return st.lists(st.sampled_from(names), min_size=1, max_size=most, unique=True)


EFFECTS: dict[str, st.SearchStrategy[Any]] = {
    "removes": some(PARTS, 3),
    "fits": some(PARTS, 3),
    "undoes": some(FASTENERS, 1),
    "loosens": some(FASTENERS, 1),
    "tightens": some(FASTENERS),
    "sets": some(SETTINGS),
    "marks": some(SETTINGS),
    "disturbs": some(SETTINGS, 1),
    "renews": st.one_of(some(PARTS, 1), st.just({"p3": "new"})),
    "cleans": st.dictionaries(st.sampled_from(PARTS), st.sampled_from(("spirit", "alcohol")), min_size=1, max_size=2),
    "tests_on": st.dictionaries(st.sampled_from(("head", *PARTS)), st.sampled_from(("spirit", "alcohol")), min_size=1),
    "heats": some(PARTS, 1),
    "lubricates": some(POINTS),
    "lifts": st.sampled_from((["head"], ["p1"])),
    "turns": st.just(["works"]),
    "puts": st.sampled_from(({"needle": "top"}, {"foot": "down"})),
    "runs": st.just(["motor"]),
    "isolates": st.just(["mains"]),
    "restores": st.just(["mains"]),
    "proves": some(("electrical", "sewing")),
    "finds": some(("wick", "works"), 1),
    "measures": st.just(["pull"]),
    "asks": st.just(["led"]),
    "becomes": st.sampled_from(({"works": "free"}, {"wick": "hard"})),
    "takes_in": st.just(["key"]),
    "gives_back": st.just(["key"]),
    "hands_over": st.just(True),
    "stops": st.sampled_from(("display", "display", "nowhere")),
}

USUAL = ("removes", "removes", "fits", "fits", "sets", "renews", "finds", "measures", "cleans", "lubricates", "proves")


class Counter:
    def __init__(self) -> None:
        self.value = 0

    def next(self) -> str:
        self.value += 1
        return f"n{self.value}"


@st.composite
def steps(draw: st.DrawFn, count: Counter) -> Any:
    names = draw(st.lists(st.sampled_from((*USUAL, *EFFECTS)), min_size=0, max_size=2, unique=True))
    given: dict[str, Any] = {name: draw(EFFECTS[name]) for name in names}
    if "cleans" in given:
        given["how"] = draw(st.sampled_from(("", "bath", "wipe", "drip")))
        given["shields"] = draw(st.sampled_from(((), (), ("head",))))
    if "fits" in given:
        given["leaves"] = draw(st.sampled_from(("", "", "loose")))
    given["when"] = maybe(draw, 1, feature_conditions(questions=True))
    if draw(few) == 0:
        given["wait"] = Wait(of=("p1",), duration=v.Amount("1 h", 3600.0, "time", HERE))
    return step("Do it.", id=count.next(), people=draw(st.sampled_from((1, 1, 2))), **given)


@st.composite
def nodes(draw: st.DrawFn, count: Counter, depth: int = 2) -> list[Node]:
    found: list[Node] = []
    for _ in range(draw(st.integers(1, 4 if depth == 2 else 2))):
        found += draw(one_node(count, depth))
    return found


@st.composite
def one_node(draw: st.DrawFn, count: Counter, depth: int) -> list[Node]:
    kind = draw(st.integers(0, 13)) if depth else 0
    if kind <= 6:
        return [draw(steps(count))]
    if kind == 7:
        return [under(draw(feature_conditions(questions=True)), *draw(nodes(count, depth - 1)))]
    if kind in (8, 9):
        return draw(forks(count, depth))
    if kind == 10:
        arms = [
            under(draw(feature_conditions(questions=draw(st.booleans()))), *draw(nodes(count, depth - 1)))
            for _ in range(2)
        ]
        return [one_of(*arms)]
    if kind == 11:
        return [draw(repeats(count, depth))]
    if kind == 12:
        return [reach(draw(some(PARTS, 1)), *draw(nodes(count, depth - 1)))]
    return [draw(st.sampled_from((ensure("run"), use("run", id=count.next()), mirror("run"))))]


ASKED_BY = {"wick": "finds", "works": "finds", "pull": "measures", "led": "asks"}


@st.composite
def forks(draw: st.DrawFn, count: Counter, depth: int) -> list[Node]:
    """Alternatives, mostly asked for first and with all states named."""
    question = draw(st.sampled_from(("wick", "pull", "led", "a", "bulb", "works")))
    states = (QUESTIONS | FEATURES)[question]
    named = states if draw(few) < 8 else states[:-1]
    branches = {state: draw(nodes(count, depth - 1)) if draw(few) < 7 else [] for state in named}
    asked = question in ASKED_BY and draw(few) < 7
    look = [step("Look.", id=count.next(), **{ASKED_BY[question]: question})] if asked else []
    return [*look, by(question, **branches)]


@st.composite
def repeats(draw: st.DrawFn, count: Counter, depth: int) -> Node:
    question = draw(st.sampled_from(("pull", "pull", "wick", "works")))
    body: list[Node] = [step("Look.", id=count.next(), **{ASKED_BY[question]: question})] if draw(few) < 8 else []
    body += draw(nodes(count, depth - 1))
    otherwise = draw(nodes(count, 0)) if draw(few) < 7 else []
    return repeat({question: GOOD[question]}, *body, otherwise=otherwise)


@st.composite
def aims(draw: st.DrawFn) -> Any:
    given: dict[str, Any] = {
        "apart": some(PARTS, 1), "fitted": some(PARTS, 1), "clean": some(PARTS, 1), "stripped": st.just(["p2"]),
        "set": some(SETTINGS, 1), "oiled": some(POINTS, 1), "proven": st.just(["sewing"]),
    }  # fmt: skip
    names = draw(some(tuple(given), 2))
    return made(Aim, **{name: draw(given[name]) for name in names})


@st.composite
def shops(draw: st.DrawFn) -> Library:
    """A shop with one job of two or three procedures; what can go wrong in it mostly does."""
    count = Counter()
    own = [
        procedure(name, *draw(nodes(count)), aim=maybe(draw, 4, aims()), when=maybe(draw, 2, feature_conditions()))
        for name in ("one", "two", "three")[: draw(st.integers(1, 3))]
    ]
    run = procedure("run", *draw(nodes(count, 1)), when=maybe(draw, 2, feature_conditions()))
    order = [each.id for each in own]
    may_be = draw(
        st.lists(st.sampled_from(("apart", "loose", "unset", "dry", "untested", "faulty", "all")), max_size=3)
    )
    done = job(
        "job",
        *order,
        start=draw(st.sampled_from(("in-order", "neglected"))),
        outcomes={"display": made(Outcome, may_be=tuple(may_be))},
        when=maybe(draw, 2, feature_conditions()),
    )
    barred = maybe(draw, 4, feature_conditions(), ())
    return shop(
        *draw(machines()), *draw(things()), *draw(rest()), *own, run, done, cannot_stand=[barred] if barred else ()
    )

"""Steps and the constructs that hold steps."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from handwheel.records import values as v
from handwheel.records.kinds import Nested, key, record
from handwheel.records.places import Place
from handwheel.records.shapes import (
    Cite,
    Clock,
    Many,
    Map,
    Nodes,
    OneWordOf,
    Part,
    Prose,
    Quantity,
    Ref,
    States,
    StepRef,
    ThreePoint,
    Varying,
    When,
    Whole,
    Words,
    YesNo,
)

PARTS = Ref(("parts",))
FASTENERS = Ref(("fasteners",))
FASTENERS_OR_PARTS = Ref(("fasteners", "parts"))


@record()
class Shown(Nested):
    """A stretch of a recording that shows a step."""

    recording: str = key(Ref(("recordings",)), "The recording.", "evening-class-4", required=True)
    start: str = key(Clock(), "From.", '"12:10"', yaml="from", default="")
    end: str = key(Clock(), "To.", '"13:05"', yaml="to", default="")


@record()
class Wait(Nested):
    """A wait on one thing only; other work goes on."""

    of: tuple[str, ...] = key(Many(PARTS), "What waits.", "[base]", default=())
    duration: v.Amount = key(Quantity("time"), "How long.", "24 h", yaml="for", required=True)
    why: v.Text | None = key(Prose(), "What it waits for.", "The glue must set.")


@record()
class Step(Nested):
    """One action, one tick. With `do` alone it is complete; effects say what it does to the machine."""

    id: str = key(
        Words(), "Its id within the procedure; derived from its effect where left out.", "frame-off", default=""
    )
    do: v.Varies[v.Text] = key(
        Varying(Prose()),
        "What to do: at most 20 words a sentence.",
        "Undo <fasteners winder-frame> and lift it off.",
        required=True,
    )
    when: v.When | None = key(When(), "Machines that it holds for.", "{lamp: bracket}")
    why: v.Varies[v.Text] | None = key(Varying(Prose()), "Why, so that it can be judged at the bench.", "It flies.")
    ok: v.Varies[v.Text] | None = key(
        Varying(Prose()), "What right looks like afterwards.", "The threads lock inside the cloth."
    )
    trap: v.Varies[v.Text] | None = key(
        Varying(Prose()), "What goes wrong easily.", "The spring hangs on its long leg."
    )
    otherwise: v.Varies[v.Text] | None = key(
        Varying(Prose()), "What to do when it goes wrong.", "Warm it and try again.", yaml="if_not"
    )
    back: v.Varies[v.Text] | None = key(
        Varying(Prose()), "Its words when it is mirrored.", "Hook the short leg in first."
    )
    minutes: v.Minutes | None = key(ThreePoint(), "Minutes: likely, or [least, likely, most].", "[1, 2, 6]")
    tools: tuple[str, ...] = key(
        Many(Ref(("tools",))), "Tools, besides the blades that follow from its screws.", "[padded-pliers]", default=()
    )
    supplies: tuple[str, ...] = key(Many(Ref(("supplies",))), "Supplies used up.", "[rag]", default=())
    figures: tuple[str, ...] = key(Many(Ref(("figures",))), "Figures to show.", "[winder-latch]", default=())
    cautions: tuple[str, ...] = key(
        Many(Ref(("cautions",))), "Cautions besides those that follow from its facts.", "[dust]", default=()
    )
    shown: tuple[Shown, ...] = key(Many(Part(Shown)), "Recordings that show it.", "[{recording: class-4}]", default=())
    sources: tuple[v.Citation, ...] = key(Many(Cite()), "What it rests on.", "[trade]", default=())

    isolates: tuple[str, ...] = key(Many(OneWordOf(("mains",))), "Cuts the supply.", "[mains]", default=())
    restores: tuple[str, ...] = key(Many(OneWordOf(("mains",))), "Puts the supply back.", "[mains]", default=())
    takes_in: tuple[str, ...] = key(Many(Ref(("items",))), "Items taken in.", "[case-key]", default=())
    gives_back: tuple[str, ...] = key(Many(Ref(("items",))), "Items handed back.", "[case-key]", default=())
    marks: tuple[str, ...] = key(Many(Ref(("settings",))), "Settings and arrangements marked.", "[throw]", default=())
    loosens: tuple[str, ...] = key(Many(FASTENERS), "Fasteners made loose.", "[set-screw]", default=())
    undoes: tuple[str, ...] = key(Many(FASTENERS), "Fasteners taken out.", "[bracket-screw]", default=())
    removes: tuple[str, ...] = key(
        Many(PARTS), "Parts taken off; what holds them is undone with them.", "[lamp]", default=()
    )
    cleans: Mapping[str, str] = key(Map(Ref(("agents",)), PARTS), "Part -> agent.", "{hook: white-spirit}", default={})
    how: str = key(OneWordOf(("bath", "wipe", "drip")), "How it is cleaned.", "bath", default="")
    shields: tuple[str, ...] = key(Many(PARTS), "Parts kept from the agent.", "[head]", default=())
    tests_on: Mapping[str, str] = key(
        Map(Ref(("agents",)), PARTS), "Part -> agent tried on a hidden spot.", "{head: white-spirit}", default={}
    )
    heats: tuple[str, ...] = key(Many(PARTS), "Parts warmed.", "[pulley]", default=())
    renews: Mapping[str, str] = key(
        Map(Words(), PARTS),
        "Parts renewed, by the same kind or by another form: [spring] or {bulb: led}.",
        "[spring]",
        default={},
    )
    lubricates: tuple[str, ...] = key(
        Many(Ref(("oiling_points",))), "Points oiled or greased.", "[wick-point]", default=()
    )
    fits: tuple[str, ...] = key(Many(PARTS), "Parts put on; what holds them is tightened.", "[lamp]", default=())
    leaves: str = key(OneWordOf(("loose",)), "Leaves what holds the fitted parts loose.", "loose", default="")
    leaves_back: str = key(OneWordOf(("loose",)), "The same, in its mirror.", "loose", default="")
    sets: tuple[str, ...] = key(Many(Ref(("settings",))), "Settings set.", "[throw]", default=())
    tightens: tuple[str, ...] = key(Many(FASTENERS), "Fasteners tightened.", "[stalk-screw]", default=())
    disturbs: tuple[str, ...] = key(
        Many(Ref(("settings",))), "Settings moved without a fastener or part.", "[belt]", default=()
    )
    lifts: tuple[str, ...] = key(Many(PARTS), "What is lifted by people.", "[head]", default=())
    people: int = key(Whole(1, 4), "How many lift.", "2", default=1)
    turns: tuple[str, ...] = key(Many(OneWordOf(("works",))), "Turns the works by hand.", "[works]", default=())
    puts: Mapping[str, tuple[str, ...]] = key(
        States("positions"), "Positions it brings the works to.", "{needle: top}", default={}
    )
    runs: tuple[str, ...] = key(
        Many(OneWordOf(("motor",))), "Runs the machine under power, on purpose.", "[motor]", default=()
    )
    proves: tuple[str, ...] = key(Many(Ref(("proofs",))), "Tests passed.", "[electrical]", default=())
    becomes: Mapping[str, tuple[str, ...]] = key(
        States("findings"), "Findings cured by other means than a new part.", "{works: free}", default={}
    )
    finds: tuple[str, ...] = key(Many(Ref(("findings",))), "Findings answered.", "[wick]", default=())
    measures: tuple[str, ...] = key(Many(Ref(("readings",))), "Readings taken.", "[pull]", default=())
    asks: tuple[str, ...] = key(Many(Ref(("choices",))), "Choices put to the owner.", "[led-lamp]", default=())
    wait: Wait | None = key(Part(Wait), "A wait on one thing.", "{of: [base], for: 24 h}")
    stops: str = key(Words(), "Ends the job in this outcome.", "display-only", default="")
    hands_over: bool = key(YesNo(), "Hands the machine over.", "true", default=False)


EFFECTS: tuple[str, ...] = (
    "isolates",
    "restores",
    "takes_in",
    "marks",
    "loosens",
    "undoes",
    "removes",
    "cleans",
    "tests_on",
    "heats",
    "renews",
    "lubricates",
    "fits",
    "sets",
    "tightens",
    "disturbs",
    "lifts",
    "turns",
    "puts",
    "runs",
    "proves",
    "becomes",
    "finds",
    "measures",
    "asks",
    "gives_back",
    "wait",
    "stops",
    "hands_over",
)
"""Effect keys of a step, in the fixed order in which they happen whatever the order written."""


@record()
class Under(Nested):
    """Steps that hold only under a condition."""

    when: v.When = key(When(), "The condition.", "{supply: mains}", required=True)
    steps: tuple[Node, ...] = key(Nodes(), "The steps.", "[{do: Lift the winder off.}]", required=True)


@dataclass(frozen=True)
class Branch:
    """One alternative of `by`: its states and its steps; no steps where the author wrote `nothing`."""

    states: tuple[str, ...]
    steps: tuple[Node, ...]
    place: Place


@dataclass(frozen=True)
class By:
    """Alternatives that hang on one question, every state named."""

    question: str
    branches: tuple[Branch, ...]
    place: Place


@dataclass(frozen=True)
class OneOf:
    """Alternatives with conditions of their own, of which exactly one holds."""

    alternatives: tuple[Under, ...]
    place: Place


@record()
class Use(Nested):
    """A shared run of steps, with its words filled in."""

    use: str = key(Ref(("procedures",)), "The shared procedure.", "wash", required=True)
    words: Mapping[str, tuple[str, ...]] = key(
        States("words"), "Its words.", "{parts: [nut], agent: white-spirit}", yaml="with", default={}
    )
    when: v.When | None = key(When(), "Machines that it holds for.", "{lamp: bracket}")
    id: str = key(Words(), "Prefix of its steps' ids, needed where it is used twice.", "second-wash", default="")


@record()
class Ensure(Nested):
    """A shared run; a step whose parts are all apart already is left out. Not mirrored."""

    ensure: str = key(Ref(("procedures",)), "The procedure.", "face-plate-off", required=True)


@record()
class Mirror(Nested):
    """A procedure backwards: steps reversed, removes as fits, undoes as tightens; other effects are dropped."""

    mirror: str = key(Ref(("procedures",)), "The procedure.", "tension-off", required=True)
    without: tuple[str, ...] = key(Many(StepRef()), "Steps left out.", "[face-off]", default=())
    only: tuple[str, ...] = key(Many(StepRef()), "The only steps taken.", "[face-off]", default=())
    after: Mapping[str, tuple[Node, ...]] = key(
        Map(Nodes()), "Steps put in after a mirrored step.", "{unit-off: [{do: Oil the stud.}]}", default={}
    )


@record()
class Repeat(Nested):
    """Steps done at least once and again until a state is reached; after the last try, `otherwise`."""

    until: Mapping[str, tuple[str, ...]] = key(
        States("questions"), "The state that ends it.", "{pull: right}", required=True
    )
    at_most: int = key(Whole(1, 50), "How many tries.", "6", required=True)
    steps: tuple[Node, ...] = key(Nodes(), "The steps of one try.", "[{do: Lift the winder off.}]", required=True)
    otherwise: tuple[Node, ...] = key(
        Nodes(), "What to do when the tries are used up.", "[{do: Lift the winder off.}]", default=()
    )


@record()
class Reach(Nested):
    """Steps on a part with the least that must come off before, and its refit after, on this machine."""

    reach: tuple[str, ...] = key(Many(PARTS), "The part to reach.", "spring", required=True)
    steps: tuple[Node, ...] = key(
        Nodes(), "The steps once it is reached.", "[{do: Lift the winder off.}]", required=True
    )


Node = Step | Under | By | OneOf | Use | Ensure | Mirror | Repeat | Reach

"""Records of the work: procedures, jobs, recordings."""

from __future__ import annotations

from collections.abc import Mapping

from handwheel.records import values as v
from handwheel.records.kinds import Nested, Record, key, record
from handwheel.records.shapes import (
    Cite,
    Clock,
    Day,
    Decimal,
    Many,
    Map,
    Nodes,
    OneWordOf,
    Part,
    Prose,
    Quantity,
    Ref,
    StepRef,
    When,
    Words,
    YesNo,
)
from handwheel.records.step_records import Node

AREAS = ("take in", "inspect", "strip", "clean", "replace", "lubricate", "refit", "set", "test", "hand over", "repair")


@record()
class Aim(Nested):
    """What must hold after a procedure on every machine that has it."""

    apart: tuple[str, ...] = key(Many(Ref(("parts",))), "Parts that are off.", "[hook]", default=())
    stripped: tuple[str, ...] = key(Many(Ref(("parts",))), "Assemblies taken to pieces.", "[tension-unit]", default=())
    left: tuple[str, ...] = key(Many(Ref(("parts",))), "Parts that stay in them.", "[stud]", default=())
    fitted: tuple[str, ...] = key(Many(Ref(("parts",))), "Parts that are on.", "[lamp]", default=())
    clean: tuple[str, ...] = key(Many(Ref(("parts",))), "Parts that are clean.", "[hook]", default=())
    set: tuple[str, ...] = key(Many(Ref(("settings",))), "Settings that are in order.", "[throw]", default=())
    oiled: tuple[str, ...] = key(Many(Ref(("oiling_points",))), "Points that are oiled.", "[wick-point]", default=())
    proven: tuple[str, ...] = key(Many(Ref(("proofs",))), "Tests that hold.", "[electrical]", default=())


@record("procedures", "procedure", label="title")
class Procedure(Record):
    """One named piece of work, or, where shared, a run of steps that procedures use."""

    title: str = key(Words(), "Its title, as an action.", "Take the winder off", default="")
    area: str = key(OneWordOf(AREAS), "Where in the job it belongs.", "strip", default="strip")
    about: v.Text | None = key(Prose(), "What it is for, and when it is not needed.", "Only when the tyre slips.")
    shared: bool = key(YesNo(), "Whether it is a run for other procedures only.", "true", default=False)
    takes: tuple[str, ...] = key(Many(Words()), "Words that a shared run is given.", "[parts, agent]", default=())
    when: v.When | None = key(When(), "Machines that have it.", "{family: dipper}")
    aim: Aim | None = key(Part(Aim), "What must hold afterwards.", "{apart: [lamp]}")
    tools: tuple[str, ...] = key(
        Many(Ref(("tools",))), "Tools to lay out, besides those of its steps.", "[torch]", default=()
    )
    steps: tuple[Node, ...] = key(Nodes(), "Its steps.", "[{do: Lift the winder off.}]", required=True)
    sources: tuple[v.Citation, ...] = key(Many(Cite()), "What it rests on.", "[trade]", default=())


@record()
class Outcome(Nested):
    """How a job may end, and what may then be left."""

    name: str = key(Words(), "The outcome in words.", "kept for display, plug cut off", default="")
    may_be: tuple[str, ...] = key(
        Many(OneWordOf(("apart", "loose", "unset", "dry", "untested", "faulty", "all"))),
        "What may be left; `all` is all of these. Nothing may be left plugged in.",
        "[untested, faulty]",
        default=(),
    )


@record("jobs", "job", label="title")
class Job(Record):
    """An ordered list of procedures with a start and an end."""

    title: str = key(Words(), "Its title.", "Overhaul the tension unit", required=True)
    form: str = key(OneWordOf(("restoration", "service", "repair")), "What sort of job.", "repair", default="repair")
    about: v.Text | None = key(Prose(), "What the owner gets.", "Even tension, tested.")
    start: str = key(OneWordOf(("in-order", "neglected")), "How machines come in.", "in-order", required=True)
    end: str = key(OneWordOf(("in-service",)), "How they go out.", "in-service", default="in-service")
    when: v.When | None = key(When(), "Machines that can have it.", "{family: dipper}")
    outcomes: Mapping[str, Outcome] = key(
        Map(Part(Outcome)), "Other ways that it may end.", "{display-only: {may_be: [untested]}}", default={}
    )
    procedures: tuple[str, ...] = key(
        Many(Ref(("procedures",))), "Procedures in order.", "[take-in, lamp-off]", required=True
    )


@record()
class Passage(Nested):
    """A stretch of a recording, with what it shows and for which machines."""

    start: str = key(Clock(), "From.", '"12:10"', required=True, yaml="from")
    end: str = key(Clock(), "To.", '"13:05"', required=True, yaml="to")
    says: v.Text | None = key(Prose(), "What it shows, in a sentence.", "The latch spring comes off.")
    shows: tuple[str, ...] = key(Many(StepRef()), "Steps that it shows.", "[strip-winder/latch-spring-off]", default=())
    when: v.When | None = key(When(), "Machines that it holds for.", "{winder: latch}")


@record("recordings", "recording", label="title")
class Recording(Record):
    """A recording of the work, with its passages."""

    title: str = key(Words(), "Its title.", "Evening class 4", required=True)
    date: str = key(Day(), "When it was made.", "2026-03-11", default="")
    length: str = key(Clock(), "How long it is.", '"58:20"', default="")
    address: str = key(
        Words(), "Where it is kept; nothing is loaded from it until asked.", "recordings/class-4.webm", default=""
    )
    about: v.Text | None = key(Prose(), "What was on the bench.", "Two machines, patterns mixed.")
    script: str = key(
        Words(),
        "What is said in it: timed text (WebVTT or SRT) in the shop's folder.",
        "recordings/class-4.vtt",
        default="",
    )
    passages: tuple[Passage, ...] = key(
        Many(Part(Passage)), "Its passages.", '[{from: "12:10", to: "13:05"}]', default=()
    )


@record()
class Standing(Nested):
    """One entry of a claim's history."""

    date: str = key(Day(), "When.", "2026-03-11", required=True)
    standing: str = key(
        OneWordOf(("open", "likely", "settled", "withdrawn")), "Its standing from then on.", "likely", required=True
    )
    by: str = key(Words(), "Who.", "E. T.", default="")
    why: v.Text | None = key(Prose(), "Why.", "A second ledger page turned up.")


@record("claims", "claim", label="says")
class Claim(Record):
    """Something that the shop holds true, with its standing and what it rests on."""

    says: v.Text = key(Prose(), "The claim.", "The stalk lamp came with the enamel.", required=True)
    standing: str = key(
        OneWordOf(("open", "likely", "settled", "withdrawn")), "Its standing now.", "likely", required=True
    )
    about: v.When | None = key(When(), "Machines that it is about.", "{family: dipper}")
    rests_on: tuple[v.Citation, ...] = key(Many(Cite()), "What it rests on.", "[works-ledger]", default=())
    history: tuple[Standing, ...] = key(
        Many(Part(Standing)), "How its standing changed.", "[{date: 2026-03-11, standing: likely}]", default=()
    )
    replaced_by: str = key(Ref(("claims",)), "The claim that replaced it.", "stalk-later", default="")


@record("accepted", "accepted finding", label="why")
class Accepted(Record):
    """A finding of a rule that the shop accepts, with its reason. Safety rules cannot be accepted."""

    rule: str = key(Words(), "The rule.", "long-sentence", required=True)
    of: str = key(Words(), "What it is found in: a record, or procedure/step.", "strip-winder/frame-off", required=True)
    why: v.Text = key(Prose(), "Why it is accepted.", "The order is fixed by the jig.", required=True)
    by: str = key(Words(), "Who accepted it.", "E. T.", default="")
    date: str = key(Day(), "When.", "2026-03-11", default="")


@record("shops", "shop")
class Shop(Record):
    """The shop itself: its name, its rate, its words and how strict its rules are."""

    name: str = key(Words(), "Name of the shop.", "Bench End", required=True)
    about: v.Text | None = key(Prose(), "A sentence on the home page.", "We bring household machines back to work.")
    invented: bool = key(YesNo(), "Whether all of it is invented, as a demo is.", "true", default=False)
    currency: str = key(Words(), "Its currency.", "crowns", default="")
    rate: v.Number | None = key(Decimal(), "Price of an hour.", "32")
    bench_temperature: v.Number | None = key(Decimal(), "Bench temperature in degrees Celsius.", "18")
    mains: v.Amount | None = key(Quantity("voltage"), "Voltage of the mains at the bench.", "230 V")
    levels: Mapping[str, str] = key(
        Map(OneWordOf(("error", "warning", "note", "off"))), "Level of each rule.", "{long-sentence: note}", default={}
    )
    seconds: Mapping[str, v.Number] = key(
        Map(Decimal()), "Seconds that a look costs.", "{glance: 5, tool: 90}", default={}
    )
    lacks: v.Number | None = key(
        Decimal(), "Of a hundred machines that come in: how many are of a pattern that is not written down here.", "15"
    )

"""Records of which machine it is: families, variants, features, questions, markings."""

from __future__ import annotations

from collections.abc import Mapping

from handwheel.records import values as v
from handwheel.records.kinds import Nested, Record, key, record
from handwheel.records.shapes import (
    Cite,
    Decimal,
    Many,
    Map,
    OneWordOf,
    Part,
    Prose,
    Quantity,
    Ref,
    States,
    Varying,
    When,
    Whole,
    Words,
    YesNo,
)
from handwheel.records.told_records import ALSO_DOC, ALSO_EXAMPLE, ALSO_TOLD, AlsoTold

QUESTIONS = ("features", "findings", "choices", "readings")


@record()
class Years(Nested):
    """Years in which a variant was made; an end may be unknown."""

    first: int | None = key(Whole(1700, 2200), "First year.", "1934", yaml="from")
    last: int | None = key(Whole(1700, 2200), "Last year.", "1939", yaml="to")
    note: v.Text | None = key(Prose(), "How sure the years are.", "Allotted, not sold.")


@record()
class Barred(Nested):
    """A combination that no machine shows."""

    when: v.When = key(When(), "The combination.", "{lamp: bracket, finish: enamel}", required=True)
    why: v.Text = key(Prose(), "Why no machine shows it.", "The enamelled heads have no end cover.", required=True)


@record("families", "family")
class Family(Record):
    """Machines built on one design."""

    name: str = key(Words(), "Name of the family.", "Dipper", required=True)
    maker: str = key(Words(), "Who built it.", "Corvane Works", default="")
    about: v.Text | None = key(Prose(), "What the machines of the family share.", "A full-size lockstitch head.")
    serial_look: str = key(Words(), "Where the serial number stands.", "Bed, right of the pillar.", default="")
    cannot_stand: tuple[Barred, ...] = key(
        Many(Part(Barred)),
        "Combinations that no machine shows.",
        "[{when: {lamp: none, bulb: led}, why: There is no lamp.}]",
        default=(),
    )
    sources: tuple[v.Citation, ...] = key(Many(Cite()), "What this rests on.", "[shop-bench-2]", default=())


@record()
class Block(Nested):
    """A block of serial numbers that were allotted to a variant."""

    prefix: str = key(Words(), "Letters before the number.", "CB", default="")
    first: int = key(Whole(), "First number.", "120001", required=True, yaml="from")
    last: int = key(Whole(), "Last number.", "135000", required=True, yaml="to")
    years: Years | None = key(Part(Years), "Years in which the block was allotted.", "{from: 1934, to: 1935}")
    note: v.Text | None = key(Prose(), "Used twice, in part unbuilt, and the like.", "Used again in the war years.")
    source: v.Citation | None = key(Cite(), "What the block rests on.", "works-ledger")


@record("variants", "variant")
class Variant(Record):
    """One pattern of a family as it left the works. Variants stand in the order in which they were made."""

    name: str = key(Words(), "Name of the variant.", "Dipper, second pattern", required=True)
    short: str = key(Words(), "Shorter name for narrow places.", "Second", default="")
    family: str = key(Ref(("families",)), "Its family.", "dipper", required=True)
    made: Years | None = key(Part(Years), "Years made.", "{from: 1934, to: 1939}")
    serials: tuple[Block, ...] = key(Many(Part(Block)), "Blocks of serial numbers.", "[{from: 1, to: 900}]", default=())
    features: Mapping[str, tuple[str, ...]] = key(
        States("features"),
        "Original forms; a feature left out is unknown.",
        "{lamp: bracket, winder: [latch, plain]}",
        default={},
    )
    about: v.Text | None = key(Prose(), "What it is, in a sentence or two.", "The first with a lamp of its own.")
    tell: tuple[v.Text, ...] = key(Many(Prose()), "How to tell it, surest first.", "[Look for the boss.]", default=())
    right: tuple[v.Text, ...] = key(Many(Prose()), "What right looks like on it.", "[The latch lets go.]", default=())
    never: tuple[v.Text, ...] = key(Many(Prose()), "What it never had.", "[It never had a lamp.]", default=())
    mass: v.Amount | None = key(Quantity("mass"), "Mass of the head as built, bare.", "12.5 kg")
    markings: tuple[str, ...] = key(Many(Ref(("markings",))), "What is written on it.", "[arm-name]", default=())
    figure: str = key(Ref(("figures",)), "A line figure of the whole machine.", "second-front", default="")
    sources: tuple[v.Citation, ...] = key(Many(Cite()), "What this rests on.", "[shop-bench-2]", default=())
    also_told: tuple[AlsoTold, ...] = key(ALSO_TOLD, ALSO_DOC, ALSO_EXAMPLE, default=())


@record("groups", "group")
class Group(Record):
    """An ordered span of variants that share a name."""

    name: str = key(Words(), "Name of the group.", "early", required=True)
    first: str = key(Ref(("variants",)), "First variant.", "dipper-first", required=True, yaml="from")
    last: str = key(Ref(("variants",)), "Last variant.", "dipper-second", required=True, yaml="to")
    about: v.Text | None = key(Prose(), "What they share.", "All have the square bed edge.")


@record()
class Form(Nested):
    """One of the forms that a feature takes."""

    name: str = key(Words(), "The form in words, as it looks.", "a latch springs it away", required=True)
    short: str = key(Words(), "One or two words for tables.", "latch", default="")
    tell: v.Text | None = key(Prose(), "How to be sure of it.", "A flat spring stands behind the wheel.")
    right: v.Text | None = key(Prose(), "What right looks like with it.", "It lets go at four fifths full.")
    never: v.Text | None = key(Prose(), "What a machine with it never had.", "It never let go by itself.")
    figure: str = key(Ref(("figures",)), "A line figure of it.", "winder-latch", default="")


@record()
class Derivation(Nested):
    """One line of a derived feature: the form, and when it holds."""

    form: str = key(Words(), "The form.", "mains", required=True)
    when: v.When | None = key(When(), "When it holds; the last line may have none.", "{lamp: [bracket, stalk]}")


@record("features", "feature", label="ask")
class Feature(Record):
    """Something to look at or measure on the machine, with the forms that it takes."""

    name: str = key(Words(), "The feature in a word or two.", "bobbin winder", default="")
    ask: str = key(Words(), "The question that a look answers.", "How does the winder leave the wheel?", default="")
    look: str = key(Words(), "Where to look.", "Right end of the arm.", default="")
    how: v.Text | None = key(Prose(), "How to look, if it takes more than a glance.", "Tilt the head first.")
    effort: str = key(OneWordOf(("glance", "tool", "strip")), "What a look costs.", "glance", default="glance")
    swapped: str = key(
        OneWordOf(("often", "seldom", "never")), "How often what carries it changes hands.", "often", default="never"
    )
    carried_by: str = key(Ref(("parts",)), "Part that carries it; swapped with it.", "winder", default="")
    missing: bool = key(YesNo(), "Whether that part turns up missing.", "true", default=False)
    changes_by_work: bool = key(YesNo(), "Whether a step may change it.", "true", default=False)
    forms: Mapping[str, Form] = key(Map(Part(Form)), "Its forms.", "{latch: a latch springs it away}", default={})
    derived: tuple[Derivation, ...] = key(
        Many(Part(Derivation)),
        "For a feature that follows from others: the first line that holds.",
        "[{form: mains}]",
        default=(),
    )
    sources: tuple[v.Citation, ...] = key(Many(Cite()), "What this rests on.", "[trade]", default=())


@record("markings", "marking")
class Marking(Record):
    """What is written on a machine, with what it tells and what it does not."""

    name: str = key(Words(), "What it is.", "name on the arm", required=True)
    form: str = key(
        OneWordOf(("name", "number", "letter", "plate", "transfer")), "Which sort of marking.", "name", default="name"
    )
    reads: str = key(Words(), "What it says.", "Dipper", default="")
    look: str = key(Words(), "Where it stands.", "Front of the arm.", default="")
    means: v.When | None = key(When(), "What holds for a machine that bears it.", "{variant: [dipper-first]}")
    tells: v.Text | None = key(Prose(), "What it tells.", "It was sold by the works.")
    not_told: v.Text | None = key(Prose(), "What it does not tell.", "The year.")
    figure: str = key(Ref(("figures",)), "A line figure of it.", "arm-name", default="")
    sources: tuple[v.Citation, ...] = key(Many(Cite()), "What this rests on.", "[works-ledger]", default=())


@record("outsiders", "outsider")
class Outsider(Record):
    """A part from outside the family that is known to be fitted, with the forms that it brings."""

    name: str = key(Words(), "What it is.", "clamp-on lamp", required=True)
    part: str = key(Ref(("parts",)), "The part in whose place it stands.", "lamp", required=True)
    families: tuple[str, ...] = key(Many(Ref(("families",))), "Families it turns up on.", "[dipper]", default=())
    forms: Mapping[str, tuple[str, ...]] = key(States("features"), "Forms that it brings.", "{lamp: stalk}", default={})
    about: v.Text | None = key(Prose(), "How to know it.", "A band goes round the arm.")


@record("findings", "finding", label="ask")
class Finding(Record):
    """A question answered by looking at a step. A state that is not good is cured, or the job ends in an outcome."""

    ask: str = key(Words(), "The question.", "Is the wick soft?", required=True)
    look: str = key(Words(), "Where to look.", "Behind the face plate.", default="")
    of: str = key(Ref(("parts",)), "The part it is about; renewing it cures it.", "wick", default="")
    states: Mapping[str, str] = key(Map(Words()), "Its states in words.", "{soft: soft, hard: glazed}", required=True)
    good: tuple[str, ...] = key(Many(Words()), "States that need nothing done.", "[soft]", required=True)
    when: v.When | None = key(When(), "Machines on which it can be asked.", "{lamp: bracket}")
    sources: tuple[v.Citation, ...] = key(Many(Cite()), "What this rests on.", "[trade]", default=())


@record("choices", "choice", label="offer")
class Choice(Record):
    """A question put to the owner: accepted or declined. The job must work either way."""

    offer: str = key(Words(), "What is offered.", "Fit an LED lamp", required=True)
    when: v.When | None = key(When(), "Machines on which it is offered.", "{lamp: [bracket, stalk]}")
    means: Mapping[str, tuple[str, ...]] = key(
        States("features"), "What must hold at the end if accepted.", "{bulb: led}", default={}
    )
    price: v.Number | None = key(Decimal(), "Price in the shop's currency.", "18.50")
    about: v.Text | None = key(Prose(), "What to tell the owner.", "It stays cool.")


@record("readings", "reading", label="ask")
class Reading(Record):
    """A question answered by an instrument: n cuts make n + 1 states, a value on a cut belongs to the upper one."""

    ask: str = key(Words(), "What is measured.", "Pull of the needle thread", required=True)
    unit: str = key(Words(), "Unit of the reading.", "N", required=True)
    instrument: str = key(Ref(("tools",)), "What it is read with.", "spring-scale", default="")
    cuts: v.Varies[tuple[v.Number, ...]] = key(
        Varying(Many(Decimal())), "Values that part the states, rising.", "[0.60, 1.10]", required=True
    )
    states: tuple[str, ...] = key(
        Many(Words()), "One more state than cuts, from low to high.", "[slack, right, tight]", required=True
    )
    good: tuple[str, ...] = key(Many(Words()), "States that need nothing done.", "[right]", required=True)
    when: v.When | None = key(When(), "Machines on which it can be read.", "{supply: mains}")
    how: v.Text | None = key(Prose(), "How to take it.", "Draw slowly and level.")
    source: v.Citation | None = key(Cite(), "What the cuts rest on.", "shop-bench-7")

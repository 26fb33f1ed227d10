"""Records of what a machine is made of, held by, set by and oiled at."""

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
from handwheel.records.told_records import ALSO_DOC, ALSO_EXAMPLE, ALSO_TOLD, AlsoTold, Clamp


@record()
class Layer(Nested):
    """One entry of a stack: the part, and when it is there."""

    part: str = key(Ref(("parts",)), "The part.", "spring", required=True)
    when: v.When | None = key(When(), "When it is in the stack.", "{tension: dial}")


@record("parts", "part")
class PartRecord(Record):
    """A part or an assembly. It is an assembly when other parts are `in` it or it has a stack."""

    name: str = key(Words(), "The part in words.", "tension unit", default="")
    plural: str = key(Words(), "Its plural, where an s is not enough.", "brushes", default="")
    count: int = key(Whole(1, 99), "How many there are; they come off together.", "2", default=1)
    root: bool = key(YesNo(), "The one part that all others hang on.", "true", default=False)
    inside: str = key(Ref(("parts",)), "Part that it comes along with.", "lamp", yaml="in", default="")
    when: v.When | None = key(When(), "Machines that have it.", "{lamp: bracket}")
    behind: tuple[str, ...] = key(Many(Ref(("parts",))), "Parts in front of it.", "[face-plate]", default=())
    stack: tuple[Layer, ...] = key(
        Many(Part(Layer)),
        "Parts in it from outside in: each behind all before it, held by the first.",
        "[nut, spring]",
        default=(),
    )
    rests: bool = key(YesNo(), "Needs no fastener.", "true", default=False)
    material: v.Varies[str] | None = key(Varying(Ref(("materials",))), "What it is made of.", "steel")
    finish: v.Varies[str] | None = key(
        Varying(Ref(("finishes",))), "What lies on it; layers are in the finish.", "enamel"
    )
    electrical: bool = key(YesNo(), "Carries mains when plugged in.", "true", default=False)
    watts: v.Varies[v.Amount] | None = key(
        Varying(Quantity("power")), "What it takes from the mains, as marked on it.", "70 W"
    )
    amps: v.Varies[v.Amount] | None = key(
        Varying(Quantity("current")), "Current that it takes, as marked on it.", "0.4 A"
    )
    volts: v.Varies[tuple[v.Amount, ...]] | None = key(
        Varying(Many(Quantity("voltage"))), "Voltage marked on it, or both ends of it.", "[220 V, 240 V]"
    )
    cap: v.Varies[str] | None = key(Varying(Words()), "Cap of a lamp, or that a lamp holder takes.", "bayonet 15 mm")
    lamp_up_to: v.Varies[v.Amount] | None = key(
        Varying(Quantity("power", ("unmarked",))), "Greatest lamp that a lamp holder is marked for.", "15 W"
    )
    carries: v.Varies[v.Amount] | None = key(
        Varying(Quantity("current", ("unmarked",))), "Current that it is marked to carry to other parts.", "0.6 A"
    )
    feeds: v.Varies[tuple[str, ...]] | None = key(
        Varying(Many(Ref(("parts",)))), "Parts whose current it carries; without it, all.", "[motor, lamp]"
    )
    powers: bool = key(YesNo(), "Moves the works when live.", "true", default=False)
    turns: tuple[str, ...] = key(
        Many(OneWordOf(("works",))), "What is turned by it: with it off, nothing turns that.", "[works]", default=()
    )
    hazards: tuple[str, ...] = key(Many(Ref(("cautions",))), "Cautions met when it is handled.", "[spring]", default=())
    sews: bool = key(YesNo(), "Whether sewing needs it.", "false", default=True)
    fragile: bool = key(YesNo(), "Packed apart from what is heavy.", "true", default=False)
    mass: v.Varies[v.Amount] | None = key(Varying(Quantity("mass")), "Its mass, without what is in it.", "1.4 kg")
    take_at: Mapping[str, tuple[str, ...]] = key(
        States("positions"), "Positions of the works at which it comes off.", "{needle: top}", default={}
    )
    stays: v.Text | None = key(Prose(), "Why it is normally not taken off.", "Its pin is peened over.")
    spare: str = key(Ref(("spares",)), "The spare that replaces it.", "tyre-winder", default="")
    figure: str = key(Ref(("figures",)), "A line figure of it.", "tension-unit", default="")
    note: v.Text | None = key(Prose(), "What else to know.", "The lug is brittle.")
    sources: tuple[v.Citation, ...] = key(Many(Cite()), "What this rests on.", "[shop-bench-2]", default=())
    also_told: tuple[AlsoTold, ...] = key(ALSO_TOLD, ALSO_DOC, ALSO_EXAMPLE, default=())


@record("fasteners", "fastener")
class Fastener(Record):
    """What holds parts: stated once, there when all that it holds is there."""

    name: str = key(Words(), "The fastener in words.", "bracket screw", default="")
    plural: str = key(Words(), "Its plural, where an s is not enough.", "bushes", default="")
    kind: str = key(
        OneWordOf(
            (
                "screw",
                "set screw",
                "cone screw",
                "nut",
                "own thread",
                "plug",
                "terminal",
                "bayonet",
                "slip fit",
                "taper pin",
                "spring clip",
                "glue",
                "hinge pin",
                "knot",
            )
        ),
        "What sort of fastener.",
        "screw",
        default="screw",
    )
    count: int = key(Whole(1, 99), "How many there are.", "2", default=1)
    holds: tuple[str, ...] = key(Many(Ref(("parts",))), "Parts that it holds.", "[lamp, end-cover]", required=True)
    sits: str = key(
        Words(), "Where it sits, so that it is found at first sight.", "under the lid, at its left", default=""
    )
    when: v.When | None = key(When(), "When it is there, if not with all its parts.", "{lamp: bracket}")
    behind: tuple[str, ...] = key(Many(Ref(("parts",))), "Parts in front of it.", "[face-plate]", default=())
    release: str = key(OneWordOf(("out", "loosened")), "How far it is undone.", "loosened", default="out")
    why: v.Text | None = key(Prose(), "Why it is only loosened, and the like.", "Its nut falls into the bed.")
    seat: v.Varies[str] | None = key(
        Varying(OneWordOf(("any", "flat", "taper"))), "A seat that finds its place again loses no setting.", "flat"
    )
    hand: str = key(OneWordOf(("right", "left")), "Hand of its thread.", "left", default="right")
    single_use: bool = key(YesNo(), "A new one each time it is out.", "true", default=False)
    spare: str = key(Ref(("spares",)), "The spare that replaces it.", "taper-pin-2", default="")
    thread: v.Varies[str] | None = key(Varying(Ref(("threads",))), "Its thread.", "sm-9-64-40")
    length: v.Varies[v.Amount] | None = key(Varying(Quantity("length")), "Length under the head.", "6.0 mm")
    hole_depth: v.Amount | None = key(Quantity("length"), "Depth of thread in its hole.", "8 mm")
    grip: v.Amount | None = key(Quantity("length"), "Thickness of what lies under its head.", "2 mm")
    into: str = key(Ref(("materials",)), "Material of its hole; by default that of the root.", "grey-iron", default="")
    slot_width: v.Amount | None = key(
        Quantity("length"), "Width of the slot across the screw (blade thickness).", "0.8 mm"
    )
    slot_length: v.Amount | None = key(Quantity("length"), "Length of the slot (blade width).", "5 mm")
    slot_depth: v.Amount | None = key(Quantity("length"), "Depth of the slot, for what it bears.", "1.1 mm")
    blade: str = key(Ref(("blades",)), "The blade that fits.", "blade-5", default="")
    tighten: v.Varies[v.Amount] | None = key(
        Varying(Quantity("torque", ("by hand", "finger tight", "just nipped", "no shake"))), "How tight.", "0.7 N m"
    )
    needs_clamp: Clamp | None = key(
        Part(Clamp), "Clamp force that the joint needs, for the least that it is tightened.", "{force: 300 N}"
    )
    source: v.Citation | None = key(Cite(), "What its values rest on.", "shop-bench-2")
    also_told: tuple[AlsoTold, ...] = key(ALSO_TOLD, ALSO_DOC, ALSO_EXAMPLE, default=())
    note: v.Text | None = key(Prose(), "What else to know.", "Start both before you tighten either.")


@record()
class Open(Nested):
    """What must be so when a setting is set."""

    open: tuple[str, ...] = key(Many(Ref(("parts",))), "Parts that must be off.", "[needle-plate]", default=())
    fitted: tuple[str, ...] = key(Many(Ref(("parts",))), "Parts that must be on.", "[needle]", default=())
    positions: Mapping[str, tuple[str, ...]] = key(
        States("positions"), "Positions of the works.", "{needle: bottom}", yaml="at", default={}
    )


@record("settings", "setting")
class Setting(Record):
    """Something set by hand and held by fasteners or parts: in order, or lost."""

    name: str = key(Words(), "The setting in words.", "throw of the check spring", required=True)
    held_by: tuple[str, ...] = key(
        Many(Ref(("fasteners", "parts"))), "What holds it; undoing that loses it.", "[set-screw]", default=()
    )
    when: v.When | None = key(When(), "When it exists, if not with what holds it.", "{regulator: reverse}")
    after: tuple[str, ...] = key(Many(Ref(("settings",))), "Settings that it rests on.", "[bar-height]", default=())
    set_when: Open | None = key(Part(Open), "What must be so when it is set.", "{open: [plate], fitted: [needle]}")
    mark_first: bool = key(YesNo(), "Must be marked before it is lost.", "true", default=False)
    arrangement: bool = key(YesNo(), "An order of things, in order at every start.", "true", default=False)
    reading: str = key(Ref(("readings",)), "The reading that tells it is right.", "pull", default="")
    target: v.Varies[str] | None = key(Varying(Words()), "What right is, as a value with its unit.", "2.4 mm")
    right: v.Text | None = key(Prose(), "What right looks like.", "The spring rests on its stop.")
    source: v.Citation | None = key(Cite(), "What the target rests on.", "shop-bench-7")
    also_told: tuple[AlsoTold, ...] = key(ALSO_TOLD, ALSO_DOC, ALSO_EXAMPLE, default=())
    note: v.Text | None = key(Prose(), "What else to know.", "Half a turn is a lot.")


@record("oiling_points", "oiling point")
class OilingPoint(Record):
    """A place that is oiled or greased."""

    name: str = key(Words(), "The point in words.", "needle bar, upper bush", default="")
    between: tuple[str, ...] = key(
        Many(Ref(("parts",))), "Parts that run on each other there.", "[wick]", required=True
    )
    when: v.When | None = key(When(), "When it is there, if not with its parts.", "{hook: rotary}")
    behind: tuple[str, ...] = key(Many(Ref(("parts",))), "Parts in front of it.", "[face-plate]", default=())
    lubricant: str = key(Ref(("lubricants",)), "Class of lubricant.", "light-oil", required=True)
    dose: str = key(Words(), "How much.", "8 drops", default="")
    every: str = key(Words(), "How often in use.", "each day of sewing", default="")
    how: v.Text | None = key(Prose(), "How to get it there.", "Turn the wheel while you do.")
    source: v.Citation | None = key(Cite(), "What this rests on.", "trade")


@record("positions", "position")
class Position(Record):
    """Where the works stand: never a step, printed as 'See that ...' before a step that needs it."""

    name: str = key(Words(), "What stands somewhere.", "the needle", required=True)
    states: Mapping[str, str] = key(Map(Words()), "Where it can stand.", "{top: at its top}", required=True)
    start: str = key(Words(), "Where it stands at the start.", "anywhere", required=True)
    moved_by: str = key(Words(), "What moves it; `works` is the machine turned by hand.", "works", default="works")


@record("proofs", "proof")
class Proof(Record):
    """A test that must hold at hand-over."""

    name: str = key(Words(), "The test.", "electrical test", required=True)
    stale_by: str = key(
        OneWordOf(("electrical", "sewing")),
        "What wears it out: electrical work, or any setting, refit or loss.",
        "sewing",
        required=True,
    )
    when: v.When | None = key(When(), "Machines that need it.", "{supply: mains}")
    live: bool = key(YesNo(), "Done under power on purpose.", "true", default=False)


@record("prohibitions", "prohibition")
class Prohibition(Record):
    """An effect that a part must never meet."""

    effect: str = key(
        OneWordOf(("removes", "undoes", "loosens", "cleans", "heats", "lubricates", "turns", "lifts", "renews")),
        "The effect.",
        "heats",
        required=True,
    )
    part: str = key(Ref(("parts", "fasteners", "oiling_points")), "What must not meet it.", "head", required=True)
    when: v.When | None = key(When(), "Machines it holds for.", "{casting: aluminium}")
    why: v.Text = key(Prose(), "Why.", "Aluminium softens and the pins walk.", required=True)
    sources: tuple[v.Citation, ...] = key(Many(Cite()), "What this rests on.", "[trade]", default=())


@record("items", "item")
class Item(Record):
    """Something that comes in with a machine and goes back with it."""

    name: str = key(Words(), "What it is.", "key of the case", required=True)
    when: v.When | None = key(When(), "Machines that come with it.", "{control: pedal}")
    fragile: bool = key(YesNo(), "Packed apart from what is heavy.", "true", default=False)
    heavy: bool = key(YesNo(), "Packed apart from what is fragile.", "true", default=False)


@record("spares", "spare")
class Spare(Record):
    """A part that can be bought or made."""

    name: str = key(Words(), "What it is.", "winder tyre", required=True)
    parts: tuple[str, ...] = key(Many(Ref(("parts",))), "Parts that it replaces.", "[tyre]", yaml="for", default=())
    price: v.Number | None = key(Decimal(), "Price in the shop's currency.", "2.40")
    at_most: v.Number | None = key(Decimal(), "Highest price seen.", "4.00")
    note: v.Text | None = key(Prose(), "What to mind.", "Measure the groove first.")

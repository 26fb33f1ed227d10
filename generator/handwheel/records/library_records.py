"""Records of what shops share: agents, materials, cautions, tools, tables, sources, words."""

from __future__ import annotations

from collections.abc import Mapping

from handwheel.records import values as v
from handwheel.records.kinds import Record, key, record
from handwheel.records.shapes import (
    Cite,
    Day,
    Decimal,
    Many,
    Map,
    OneWordOf,
    Prose,
    Quantity,
    Ref,
    Whole,
    Words,
    YesNo,
)
from handwheel.records.told_records import ALSO_DOC, ALSO_EXAMPLE, ALSO_TOLD, AlsoTold

SOURCE_KINDS = (
    "standard",
    "handbook",
    "government publication",
    "leaflet",
    "paper",
    "told by another restorer",
    "shop measurement",
    "common practice",
    "from memory",
    "invented",
)


@record("agents", "agent")
class Agent(Record):
    """Something that cleans, and what it harms."""

    name: str = key(Words(), "What it is, not a brand.", "white spirit", required=True)
    use: tuple[str, ...] = key(
        Many(OneWordOf(("bath", "wipe", "drip"))), "How it is used, usual way first.", "[bath, wipe]", default=("wipe",)
    )
    strips_oil: bool = key(YesNo(), "Whether it takes the oil with it.", "true", default=False)
    flammable: bool = key(
        YesNo(), "Whether its vapour catches fire: no heat before it has dried off.", "true", default=False
    )
    hazards: tuple[str, ...] = key(Many(Ref(("cautions",))), "Cautions met when it is used.", "[flammable]", default=())
    harms: Mapping[str, str] = key(
        Map(OneWordOf(("never", "test first", "fine")), Ref(("materials", "finishes"))),
        "Material or finish -> `never`, `test first` or `fine`.",
        "{rubber: never, felt: test first}",
        default={},
    )
    note: v.Text | None = key(Prose(), "What to mind.", "Dry off before oiling.")
    sources: tuple[v.Citation, ...] = key(Many(Cite()), "What this rests on.", "[trade]", default=())


@record("materials", "material")
class Material(Record):
    """What parts are made of."""

    name: str = key(Words(), "The material.", "grey iron", required=True)
    strength: str = key(Words(), "Its class on the engineering floor, for tightening.", "grey iron", default="")
    heat_limit: v.Amount | None = key(Quantity("temperature"), "Warmest it may get.", "60 degC")
    hazards: tuple[str, ...] = key(
        Many(Ref(("cautions",))), "Cautions met when it is handled.", "[old-insulation]", default=()
    )
    note: v.Text | None = key(Prose(), "What to mind.", "It cracks, it does not bend.")
    sources: tuple[v.Citation, ...] = key(Many(Cite()), "What this rests on.", "[trade]", default=())
    also_told: tuple[AlsoTold, ...] = key(ALSO_TOLD, ALSO_DOC, ALSO_EXAMPLE, default=())


@record("finishes", "finish")
class Finish(Record):
    """What lies on a part, outermost layer first; the worst layer governs what may touch it."""

    name: str = key(Words(), "The finish.", "shellac over transfers on japan", required=True)
    layers: tuple[str, ...] = key(
        Many(Ref(("finishes",))), "Its layers, where it has several.", "[shellac, transfers, japan]", default=()
    )
    note: v.Text | None = key(Prose(), "What to mind.", "Alcohol takes it off at once.")
    sources: tuple[v.Citation, ...] = key(Many(Cite()), "What this rests on.", "[trade]", default=())


@record("cautions", "caution", label="hazard")
class Caution(Record):
    """A safety message: signal word, hazard, consequence, how to avoid it."""

    word: str = key(
        OneWordOf(("danger", "warning", "caution", "notice")), "Signal word as in ANSI Z535.", "danger", required=True
    )
    hazard: str = key(Words(), "The hazard.", "Mains voltage", required=True)
    consequence: str = key(Words(), "What it does.", "It kills.", required=True)
    avoid: v.Text = key(Prose(), "How to avoid it.", "Pull the plug out and keep it in sight.", required=True)
    symbol: str = key(
        OneWordOf(
            ("electricity", "lifting", "fire", "fumes", "sharp", "spring", "hot", "dust", "crush", "poison", "general")
        ),
        "Which drawing stands beside it.",
        "electricity",
        default="general",
    )
    met_by: tuple[str, ...] = key(
        Many(OneWordOf(("electrical work", "live work", "lifting", "heavy lifting", "sewing", "heating"))),
        "Work that meets it by its nature.",
        "[electrical work]",
        default=(),
    )
    safety: bool = key(YesNo(), "Whether a person can be hurt (else it is about the machine).", "true", default=True)
    sources: tuple[v.Citation, ...] = key(Many(Cite()), "What this rests on.", "[iec-60335-1]", default=())


@record("tools", "tool")
class Tool(Record):
    """A tool or instrument."""

    name: str = key(Words(), "The tool.", "spring scale, 0 to 2 N", required=True)
    form: str = key(
        OneWordOf(("hand tool", "driver", "instrument", "jig", "protection", "cleaning", "vessel")),
        "Which sort.",
        "instrument",
        default="hand tool",
    )
    hazards: tuple[str, ...] = key(Many(Ref(("cautions",))), "Cautions met when it is used.", "[sharp]", default=())
    note: v.Text | None = key(Prose(), "What to mind.", "Zero it in the position of use.")


@record("blades", "blade")
class Blade(Record):
    """A screwdriver blade."""

    name: str = key(Words(), "The blade.", "blade 0.8 x 5", required=True)
    thickness: v.Amount = key(Quantity("length"), "Thickness of the tip.", "0.8 mm", required=True)
    width: v.Amount = key(Quantity("length"), "Width of the tip.", "5 mm", required=True)
    sources: tuple[v.Citation, ...] = key(Many(Cite()), "What this rests on.", "[iso-2380-1]", default=())
    also_told: tuple[AlsoTold, ...] = key(ALSO_TOLD, ALSO_DOC, ALSO_EXAMPLE, default=())


@record("supplies", "supply")
class Supply(Record):
    """Something that is used up."""

    name: str = key(Words(), "What it is.", "lint-free rag", required=True)
    agent: str = key(Ref(("agents",)), "The agent that it is, if it is one.", "white-spirit", default="")
    price: v.Number | None = key(Decimal(), "Price in the shop's currency.", "0.20")
    unit: str = key(Words(), "Unit that it is bought in.", "piece", default="")
    note: v.Text | None = key(Prose(), "What to mind.", "Oily rags go into the closed bin.")


@record("lubricants", "lubricant")
class Lubricant(Record):
    """A class of lubricant."""

    name: str = key(Words(), "The class.", "light mineral machine oil", required=True)
    form: str = key(OneWordOf(("oil", "grease")), "Oil or grease.", "oil", required=True)
    vg: tuple[str, ...] = key(Many(Words()), "ISO viscosity grades that serve.", "[VG 10, VG 15]", default=())
    nlgi: tuple[str, ...] = key(Many(Words()), "Consistency numbers that serve.", "[NLGI 2]", default=())
    hazards: tuple[str, ...] = key(Many(Ref(("cautions",))), "Cautions met when it is used.", "[oily-rags]", default=())
    supply: str = key(Ref(("supplies",)), "The supply that is of this class.", "machine-oil", default="")
    note: v.Text | None = key(Prose(), "What to mind.", "Cooking oil gums.")
    sources: tuple[v.Citation, ...] = key(Many(Cite()), "What this rests on.", "[iso-3448]", default=())


@record("threads", "thread")
class Thread(Record):
    """A screw thread."""

    name: str = key(Words(), "Its designation.", "9/64-40 special", required=True)
    form: str = key(
        OneWordOf(("60 degree", "55 degree", "47.5 degree", "special")), "Its form.", "60 degree", required=True
    )
    series: str = key(Words(), "The series that it belongs to.", "ISO coarse", default="")
    diameter: v.Amount = key(Quantity("length"), "Major diameter.", "9/64 in", required=True)
    pitch: v.Amount | None = key(Quantity("length"), "Pitch.", "0.5 mm")
    tpi: int | None = key(Whole(1, 200), "Threads an inch, instead of the pitch.", "40")
    alike: tuple[str, ...] = key(
        Many(Ref(("threads",))), "Threads that look alike and must not be mixed.", "[unf-6]", default=()
    )
    verified: bool = key(YesNo(), "Whether its source was seen; else it shows as unverified.", "true", default=False)
    source: v.Citation | None = key(Cite(), "What this rests on.", "iso-724")
    also_told: tuple[AlsoTold, ...] = key(ALSO_TOLD, ALSO_DOC, ALSO_EXAMPLE, default=())


@record("needles", "needle")
class Needle(Record):
    """A size of needle."""

    name: str = key(Words(), "Metric and trade number.", "80/12", required=True)
    metric: int = key(Whole(1, 400), "Metric number: hundredths of a millimetre of blade.", "80", required=True)
    number: int = key(Whole(1, 40), "Trade number.", "12", required=True)
    blade: v.Amount | None = key(Quantity("length"), "Diameter of its blade, measured above the scarf.", "0.82 mm")
    shank: v.Amount | None = key(Quantity("length"), "Diameter of its shank.", "2.02 mm")
    use: v.Text | None = key(Prose(), "What it is for.", "Plain cotton in two plies.")
    sources: tuple[v.Citation, ...] = key(Many(Cite()), "What this rests on.", "[jis-b-9012]", default=())
    also_told: tuple[AlsoTold, ...] = key(ALSO_TOLD, ALSO_DOC, ALSO_EXAMPLE, default=())


@record("limits", "limit")
class Limit(Record):
    """A named limit that readings and lifts are judged against."""

    name: str = key(Words(), "What it limits.", "Insulation resistance, class I", required=True)
    value: v.Number = key(Decimal(), "The limit.", "1", required=True)
    unit: str = key(Words(), "Its unit.", "MΩ", required=True)
    sense: str = key(OneWordOf(("at least", "at most")), "Which side is within it.", "at least", required=True)
    source: v.Citation = key(Cite(), "What it rests on.", "in-service-tests", required=True)
    note: v.Text | None = key(Prose(), "What it means, and what it does not.", "A reading, not a verdict.")
    also_told: tuple[AlsoTold, ...] = key(ALSO_TOLD, ALSO_DOC, ALSO_EXAMPLE, default=())


@record("figures", "figure", label="caption")
class Figure(Record):
    """A line figure of the shop's own, or a picture."""

    file: str = key(Words(), "File in the shop's folder.", "figures/winder-latch.svg", required=True)
    alt: str = key(
        Words(), "What it shows, for those who do not see it.", "A bent spring behind a wheel.", required=True
    )
    caption: str = key(Words(), "A line under it.", "Latch winder, seen from the front", default="")
    by: str = key(Words(), "Who made it.", "E. T.", default="")


@record("sources", "source", label="title")
class Source(Record):
    """Where a value or claim comes from."""

    title: str = key(Words(), "Its title.", "ISO 2380-1 Assembly tools for screws", required=True)
    kind: str = key(OneWordOf(SOURCE_KINDS), "Which sort of source.", "standard", required=True)
    by: str = key(Words(), "Who issued, told or measured it.", "ISO", default="")
    edition: str = key(Words(), "Edition or year.", "2004", default="")
    date: str = key(Day(), "When it was measured or told.", "2026-02-03", default="")
    read: str = key(
        OneWordOf(("seen", "second-hand", "not seen")), "How it was read.", "second-hand", default="not seen"
    )
    instrument: str = key(Words(), "Instrument of a measurement.", "calliper, 0.02 mm", default="")
    count: int | None = key(Whole(1), "Number of measurements.", "12")
    spread: str = key(Words(), "Spread of a measurement.", "0.04 mm", default="")
    address: str = key(Words(), "Where it can be read.", "shelf 2, red binder", default="")
    note: v.Text | None = key(Prose(), "What to mind.", "Read in a handbook's copy.")


@record("terms", "term")
class Term(Record):
    """A word of the trade."""

    name: str = key(Words(), "The word.", "hand wheel", required=True)
    means: v.Text = key(Prose(), "What it means.", "The wheel at the right end of the arm.", required=True)
    also: tuple[str, ...] = key(Many(Words()), "Other words for it.", "[balance wheel]", default=())
    see: tuple[str, ...] = key(
        Many(Ref(("features", "parts", "terms", "settings"))), "Records it belongs to.", "[winder]", default=()
    )
    figure: str = key(Ref(("figures",)), "A line figure of it.", "hand-wheel", default="")


@record("verbs", "verb")
class Verb(Record):
    """A verb that an instruction may start with, and the effects that it speaks of."""

    name: str = key(Words(), "The verb as it opens a sentence.", "Undo", required=True)
    effects: tuple[str, ...] = key(
        Many(Words()), "Effects that it speaks of; none where it only tells.", "[undoes, removes]", default=()
    )

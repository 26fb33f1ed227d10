"""A small sound shop, the Dipper with its lamp and tension unit; mistakes are planted by replacing single records."""

from __future__ import annotations

from typing import Any

from handwheel.records import values as v
from handwheel.records.kinds import Record
from handwheel.records.library import Library
from handwheel.records.library_records import Finish, Material
from handwheel.records.part_records import Item, Open, Position, Prohibition, Proof
from handwheel.records.work_records import Aim, Outcome
from shopkit import (
    HERE,
    agent,
    by,
    choice,
    fastener,
    feature,
    finding,
    job,
    made,
    mirror,
    oiling_point,
    part,
    procedure,
    reading,
    repeat,
    setting,
    shop,
    step,
    under,
    use,
    variant,
    varies,
)


def kilograms(value: float) -> v.Amount:
    return v.Amount(f"{value} kg", value, "mass", HERE)


ASKED = [
    feature("lamp", "bracket", "stalk", "none", swapped="often", carried_by="lamp"),
    feature("finish", "clear-coat", "enamel", carried_by="head"),
    feature("bulb", "filament", "led", "no-bulb", swapped="often", carried_by="bulb", changes_by_work=True),
    feature("supply", derived=[("mains", {"lamp": ["bracket", "stalk"]}), ("without", None)]),
    variant("second", lamp="bracket", finish="clear-coat", bulb="filament"),
    variant("fourth", lamp=("stalk", "none"), finish="enamel", bulb=("filament", "no-bulb")),
    finding("wick", "soft", "hard", good="soft", of="wick"),
    finding("works", "free", "stiff", good="free"),
    choice("led-lamp", means={"bulb": "led"}, when={"lamp": ["bracket", "stalk"]}),
    reading("pull", "slack", "right", "tight", cuts=("0.60", "1.10"), good="right"),
    reading("insulation", "fail", "pass", cuts="2", good="pass", when={"supply": "mains"}),
]
BARRED = [
    {"lamp": "bracket", "finish": "enamel"},
    {"lamp": "none", "bulb": ["filament", "led"]},
    {"lamp": ["bracket", "stalk"], "bulb": "no-bulb"},
]

SPIRIT = {"rubber": "never", "felt": "test first", "steel": "fine"}

PARTS: list[Record] = [
    part("head", root=True, material="iron", mass=kilograms(10.0),
         finish=varies(({"finish": "clear-coat"}, "shellac"), ({"finish": "enamel"}, "enamel"), by="finish")),
    part("base", material="wood", mass=kilograms(4.0), sews=False),
    part("end-cover", when={"lamp": "bracket"}, material="steel"),
    part("lamp", when={"lamp": ["bracket", "stalk"]}, material="steel", electrical=True, sews=False),
    part("bulb", inside="lamp", when={"bulb": ["filament", "led"]}, electrical=True, rests=True, sews=False),
    part("face-plate", material="steel", take_at={"needle": ("top",)}),
    part("wick", material="felt", behind="face-plate", rests=True),
    part("tension-unit", material="steel", behind="face-plate", stack=["nut", "spring", "outer-disc"]),
    part("nut", material="steel"),
    part("spring", material="steel"),
    part("outer-disc", material="steel"),
    part("tyre", inside="tension-unit", material="rubber", rests=True),
    fastener("base-bolt", "base", count=2),
    fastener("bracket-screw", ("lamp", "end-cover"), count=2, when={"lamp": "bracket"}),
    fastener("lamp-terminal", "lamp", kind="terminal"),
    fastener("stalk-screw", "lamp", when={"lamp": "stalk"}, release="loosened"),
    fastener("face-screw", "face-plate", count=2),
    fastener("set-screw", "tension-unit", behind="face-plate", release="loosened"),
    fastener("nut-thread", "nut", kind="own thread", hand="left"),
    setting("throw", "set-screw", mark_first=True, set_when=made(Open, open=("face-plate",))),
    setting("pull", ("nut", "spring"), after="throw", reading="pull"),
    setting("wiring", "lamp-terminal", arrangement=True),
    oiling_point("wick-point", "wick", behind="face-plate"),
    oiling_point("disc-point", "outer-disc"),
    agent("white-spirit", use="bath", strips_oil=True, harms=SPIRIT),
    agent("alcohol", use="wipe", harms={"shellac": "never", "enamel": "test first", "steel": "fine", "felt": "fine"}),
    *(made(Material, id=each, name=each) for each in ("iron", "steel", "rubber", "felt", "wood")),
    *(made(Finish, id=each, name=each) for each in ("shellac", "enamel")),
    made(Position, id="needle", name="needle", states={"top": "t", "bottom": "b"}, start="anywhere"),
    made(Proof, id="electrical", name="electrical test", stale_by="electrical", when={"supply": "mains"}),
    made(Proof, id="sewing", name="sewing test", stale_by="sewing"),
    made(Item, id="key", name="key"),
    made(Prohibition, id="no-heat", effect="heats", part="head", why="It burns."),
]  # fmt: skip

PROCEDURES: dict[str, list[Any]] = {
    "take-in": [
        under({"supply": "mains"}, step("Pull the plug out.", id="unplug", isolates="mains")),
        step("List it.", id="listed", takes_in="key"),
        step("Turn the wheel.", id="rocked", turns="works", finds="works"),
        by("works", free=[], stiff=[step("Quote again.", id="stiff-quoted", stops="quote-again")]),
        step("Ask.", id="quote", asks="led-lamp"),
    ],
    "lamp-off": [
        by(
            "lamp",
            bracket=[
                step("Tag the leads.", id="tagged", marks="wiring"),
                step("Undo it.", id="bracket-off", removes=("lamp", "end-cover"), back="Start both screws."),
            ],
            stalk=[
                step("Tag the leads.", id="tagged-too", marks="wiring"),
                step("Loosen it.", id="stalk-out", removes="lamp"),
            ],
            none=[],
        )
    ],
    "tension-off": [
        step("Undo both screws.", id="face-off", removes="face-plate"),
        step("Scribe a line.", id="scribed", marks="throw"),
        step("Draw the unit out.", id="unit-off", removes="tension-unit", back="Push it home."),
        step("Roll the tyre off.", id="tyre-off", removes="tyre"),
        step("Turn the nut.", id="nut-off", removes="nut"),
        step("Take spring and disc off.", id="discs-off", removes=("spring", "outer-disc")),
    ],
    "bench": [
        use("wash", parts=("nut", "spring", "outer-disc", "tension-unit"), agent="white-spirit"),
        step("Press the wick.", id="wick-look", finds="wick"),
        by("wick", soft=[], hard=[step("Push a new one in.", id="wick-new", renews="wick")]),
        step("Feed it eight drops.", id="wick-fed", lubricates="wick-point"),
        step("Oil the disc.", id="disc-oiled", lubricates="disc-point"),
        under(
            {"lamp": ["bracket", "stalk"]},
            by("led-lamp", declined=[], accepted=[step("Turn the LED lamp in.", id="led", renews={"bulb": "led"})]),
        ),
    ],
    "refit": [
        mirror("tension-off", without=("face-off", "scribed")),
        step("Turn the unit.", id="throw-set", sets="throw"),
        mirror("tension-off", only="face-off"),
        mirror("lamp-off"),
        under({"supply": "mains"}, step("Check the leads.", id="leads-checked", sets="wiring")),
        repeat(
            {"pull": "right"},
            step("Read the scale.", id="pull-read", measures="pull"),
            by(
                "pull",
                slack_or_tight=[step("Turn the nut.", id="nut-turned")],
                right=[step("Write it down.", id="pull-kept", sets="pull")],
            ),
            otherwise=[step("Stop.", id="no-pull", stops="quote-again")],
        ),
    ],
    "test": [
        under(
            {"supply": "mains"},
            step("Test at 500 V.", id="insulation-read", measures="insulation"),
            by(
                "insulation",
                fail=[step("Cut the plug off.", id="tagged-off", stops="display-only")],
                **{"pass": [step("Write it down.", id="kept", proves="electrical")]},
            ),
        ),
        step("Sew a seam.", id="seam", proves="sewing"),
        step("Pack the key.", id="packed", gives_back="key"),
        step("Hand it over.", id="told", hands_over=True),
    ],
}
AIMS = {"lamp-off": {"apart": "lamp"}, "tension-off": {"apart": "tension-unit", "stripped": "tension-unit"}}
JOB = ("take-in", "lamp-off", "tension-off", "bench", "refit", "test")


def dipper(
    *records: Record, start: str = "in-order", order: tuple[str, ...] = JOB, without: tuple[str, ...] = (), **steps: Any
) -> Library:
    """The sound shop, with other records of the same id, other steps in procedures, or some records left out."""
    written = PROCEDURES | {name.replace("_", "-"): nodes for name, nodes in steps.items()}
    wash = procedure(
        "wash", step("Brush <parts>.", id="bath", cleans={"$parts": "$agent"}, how="bath"), shared=True,
        takes=("parts", "agent"),
    )  # fmt: skip
    replaced = {(type(each), each.id) for each in records}
    kept = [e for e in (*ASKED, *PARTS) if (type(e), e.id) not in replaced and e.id not in without]
    return shop(
        *kept,
        *records,
        wash,
        *(procedure(name, *nodes, aim=_aim(name)) for name, nodes in written.items()),
        job(
            "repair",
            *order,
            start=start,
            outcomes={
                "display-only": made(Outcome, may_be=("untested", "faulty")),
                "quote-again": made(Outcome, may_be="all"),
            },
        ),
        cannot_stand=BARRED,
    )


def _aim(name: str) -> Aim | None:
    return made(Aim, **AIMS[name]) if name in AIMS else None


def steps_of(procedure_: str, **changed: Any) -> list[Any]:
    """The steps of a procedure with some replaced by id (`None`: left out); hyphens as underscores."""
    found = []
    for node in PROCEDURES[procedure_]:
        name = getattr(node, "id", "").replace("-", "_")
        if name in changed:
            found += [changed[name]] if changed[name] is not None else []
        else:
            found.append(node)
    return found

from __future__ import annotations

import json

from handwheel.machines.machine import Known
from handwheel.procedures.resolve import AsBuilt, Resolver
from handwheel.procedures.shown import as_dict, as_lines
from shopkit import by, fastener, feature, finding, part, procedure, repeat, shop, step, variant, varies

LIBRARY = shop(
    features=[feature("lamp", "bracket", "stalk", swapped="often", ask="How is the lamp fixed?")],
    variants=[variant("second", lamp="bracket"), variant("fourth", lamp="stalk")],
    findings=[finding("wick", "soft", "hard", good="soft", of="wick")],
    parts=[part("head", root=True), part("lamp"), part("wick")],
    fasteners=[
        fastener("screw", "lamp", tighten=varies(({"lamp": "bracket"}, "0.7 N m"), ({"lamp": "stalk"}, "0.8 N m")))
    ],
    procedures=[
        procedure(
            "main",
            by(
                "lamp",
                bracket=[step("Undo <fasteners screw>.", id="undo", ok="It is *off*.", tools="driver")],
                stalk=[],
            ),
            step("Tighten to <tighten screw>.", id="tight", when={"lamp": ["bracket", "stalk"]}),
            by("wick", soft=[], hard=[step("Renew it.", id="new", why="It starves.")]),
            repeat({"wick": "soft"}, step("Press.", finds="wick"), at_most=2, otherwise=[step("Stop.", id="stop")]),
            title="Take the lamp off",
        ),
        procedure("none", step("A.", id="a"), when={"lamp": "stalk"}),
    ],
)
RESOLVER = Resolver(LIBRARY, "dipper")


def lines(known: AsBuilt | Known, procedure_: str = "main") -> list[str]:
    return list(as_lines(LIBRARY, RESOLVER.resolve(procedure_, known)))


def test_a_variant_in_the_terminal() -> None:
    assert lines(AsBuilt("second")) == [
        "Take the lamp off",
        "1. Undo the screw.",
        "   Right: It is off.",
        "2. Tighten to 0.7 N m.",
        "If the wick is soft: nothing to do.",
        "If the wick is hard:",
        "   3. Renew it.",
        "      Why: It starves.",
        "Repeat until the wick is soft, at most 2 times:",
        "   4. Press.",
        "If it is still not so:",
        "   5. Stop.",
    ]


def test_a_machine_known_in_part_in_the_terminal() -> None:
    assert lines(Known())[1:7] == [
        "Look first: How is the lamp fixed?",
        "If lamp: bracket:",
        "   1. Undo the screw.",
        "      Right: It is off.",
        "If lamp: stalk: nothing to do.",
        "2. Tighten to 0.7 N m (lamp: bracket) or 0.8 N m (lamp: stalk).",
    ]


def test_what_is_not_there_is_said() -> None:
    assert lines(AsBuilt("second"), "none") == ["None", "   This machine does not have it."]
    assert lines(Known(frozenset()), "none")[1].startswith("   No machine shows all this.")


def test_json_says_all_of_it() -> None:
    known = as_dict(LIBRARY, RESOLVER.resolve("main", Known()))
    assert json.loads(json.dumps(known)) == known
    fork, tight, asked, loop = known["items"]
    assert fork["form"] == "alternatives" and fork["kind"] == "features"
    assert fork["arms"][0]["looks"] == [{"id": "lamp", "ask": "How is the lamp fixed?"}]
    undo = fork["arms"][0]["items"][0]
    assert (undo["id"], undo["anchor"], undo["tools"]) == ("main/undo", "undo", ["driver"])
    assert undo["because"] == {"words": "lamp: bracket", "variants": {"second": "all"}}
    assert undo["ok"][0]["pieces"] == [{"text": "It is "}, {"emphasis": [{"text": "off"}]}, {"text": "."}]
    value = tight["do"][0]["pieces"][1]
    assert [each["text"] for each in value["values"]] == ["0.7 N m", "0.8 N m"]
    assert [each["holds"] for each in value["values"]] == ["depends", "depends"]
    assert asked["arms"][1]["asked"] == "the wick is hard"
    assert (loop["form"], loop["at_most"]) == ("repeat", 2)


def test_json_of_a_variant_has_nothing_open() -> None:
    text = json.dumps(as_dict(LIBRARY, RESOLVER.resolve("main", AsBuilt("second"))))
    assert "depends" not in text

from __future__ import annotations

from handwheel.machines.machine import Known
from handwheel.procedures.prose import plain_text
from handwheel.procedures.resolve import AsBuilt, Machine, Resolver
from handwheel.records.step_records import Step
from shopkit import fastener, feature, mirror, part, procedure, shop, step, variant, varies

BRACKET, NO_LAMP = {"lamp": "bracket"}, {"lamp": "none"}


def words(*strip: Step, machine: Machine | None = None) -> list[str]:
    library = shop(
        features=[feature("lamp", "bracket", "stalk", "none", swapped="often")],
        variants=[variant("second", lamp="bracket"), variant("fourth", lamp="stalk"), variant("fifth", lamp="none")],
        parts=[
            part("head", root=True),
            part("lamp", when={"lamp": ["bracket", "stalk"]}),
            part("end-cover", when=BRACKET),
            part("bulb", inside="lamp"),
            part("nut"),
            part("brush", count=2, plural="brushes"),
            part("wheel"),
        ],
        fasteners=[
            fastener("bracket-screw", ["lamp", "end-cover"], count=2, tighten="0.7 N m"),
            fastener("stalk-screw", "lamp", when={"lamp": "stalk"}, tighten="0.8 N m"),
            fastener("nut-thread", "nut", kind="own thread", tighten="by hand"),
            fastener("brush-cap", "brush", count=2),
            fastener("pin", "wheel", kind="taper pin"),
            fastener("lead", "lamp", kind="plug", when={"lamp": "stalk"}),
        ],
        procedures=[procedure("strip", *strip), procedure("main", mirror("strip"))],
    )
    resolved = Resolver(library, "dipper").resolve("main", machine or AsBuilt("second"))
    return [" | ".join(plain_text(library, option.value) for option in each.do.options) for each in resolved.steps]


def test_parts_are_fitted_and_their_screws_tightened() -> None:
    assert words(step("Off.", removes=["lamp", "end-cover"])) == [
        "Fit the end cover and the lamp; tighten 2 bracket screws to 0.7 N m."
    ]


def test_a_screw_through_two_parts_is_tightened_with_the_last_of_them() -> None:
    assert words(step("A.", id="a", removes="end-cover"), step("B.", id="b", removes="lamp")) == [
        "Fit the lamp.",
        "Fit the end cover; tighten 2 bracket screws to 0.7 N m.",
    ]


def test_only_what_this_machine_has() -> None:
    strip = step("Off.", removes=["lamp", "end-cover"])
    assert words(strip, machine=AsBuilt("fourth")) == [
        "Fit the lamp; tighten the stalk screw to 0.8 N m; push the lead in."
    ]


def test_for_a_machine_known_in_part_each_way_has_its_words() -> None:
    found = words(step("Off.", removes=["lamp", "end-cover"], when={"not": NO_LAMP}), machine=Known())
    assert found == [
        "Fit the end cover and the lamp; tighten 2 bracket screws to 0.7 N m."
        " | Fit the lamp; tighten the stalk screw to 0.8 N m; push the lead in."
    ]


def test_each_sort_of_fastener_has_its_verb() -> None:
    assert words(step("Off.", removes="nut")) == ["Fit the nut; turn it home by hand."]
    assert words(step("Off.", removes="brush")) == ["Fit 2 brushes; tighten 2 brush caps."]
    assert words(step("Off.", removes="wheel")) == ["Fit the wheel; drive the pin in."]


def test_what_was_only_loosened_is_tightened() -> None:
    assert words(step("Slack.", loosens="bracket-screw")) == ["Tighten 2 bracket screws to 0.7 N m."]


def test_screws_may_be_left_loose() -> None:
    strip = step("Off.", removes=["lamp", "end-cover"], leaves_back="loose")
    assert words(strip) == ["Fit the end cover and the lamp; leave 2 bracket screws loose."]


def test_words_of_its_own_come_first() -> None:
    back = varies((BRACKET, "Start both before you tighten."), ({"not": BRACKET}, "Push it home."))
    assert words(step("Off.", removes="lamp", back=back)) == ["Start both before you tighten."]

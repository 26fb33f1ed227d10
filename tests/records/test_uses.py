"""Who refers to whom."""

from __future__ import annotations

from handwheel.records.uses import references, users
from shopkit import by, fastener, feature, part, procedure, setting, shop, step, use, variant

LIBRARY = shop(
    features=[feature("lamp", "bracket", "stalk")],
    variants=[variant("first", lamp="bracket")],
    parts=[part("head", root=True), part("arm", when={"lamp": "bracket"})],
    fasteners=[fastener("arm-screw", ["arm"])],
    settings=[setting("reach-of-arm", held_by=["arm-screw"])],
    procedures=[
        procedure("wipe", step("Wipe the <parts head>.")),
        procedure("off", by("lamp", bracket=[step("Lift.", removes="arm")], stalk=[]), use("wipe")),
    ],
)


def test_each_way_of_naming_a_record_is_seen() -> None:
    """In a key, in a condition, in prose, in a shared run, in alternatives."""
    found = users(LIBRARY)
    assert ("fasteners", "arm-screw") in found["parts", "arm"]
    assert ("procedures", "off") in found["parts", "arm"]
    assert ("procedures", "wipe") in found["parts", "head"]
    assert found["procedures", "wipe"] == (("procedures", "off"),)
    assert {("variants", "first"), ("parts", "arm"), ("procedures", "off")} <= set(found["features", "lamp"])
    assert found["fasteners", "arm-screw"] == (("settings", "reach-of-arm"),)


def test_users_and_references_say_the_same() -> None:
    """Every user does refer, and every reference to a record that is there makes a user."""
    found = users(LIBRARY)
    said = {
        ((kind, identifier), (plural, record.id))
        for plural, record in LIBRARY
        for kinds, identifier in references(record)
        for kind in kinds
        if identifier in LIBRARY.of(kind) and (kind, identifier) != (plural, record.id)
    }
    assert said and said == {(target, user) for target, listed in found.items() for user in listed}

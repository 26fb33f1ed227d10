from __future__ import annotations

import pytest

from handwheel.procedures.prose_check import check_prose, check_text, texts_of
from handwheel.records.places import Place
from shopkit import by, fastener, mirror, part, procedure, repeat, setting, shop, step, text, under, varies

LIBRARY = shop(
    parts=[part("head", root=True), part("lamp")],
    fasteners=[fastener("bracket-screw", "lamp")],
    settings=[setting("throw")],
    procedures=[procedure("lamp-off", step("Undo it.", id="undo"))],
)


@pytest.mark.parametrize(
    ("raw", "code", "right"),
    [
        ("Undo <fastners bracket-screw>.", "unknown-mark", "did you mean '<fasteners bracket-screw>'?"),
        ("Undo <fasteners braket-screw>.", "unknown-id", "did you mean '<fasteners bracket-screw>'?"),
        ("Undo <fasteners lamp>.", "unknown-id", "the id of one of the fasteners"),
        ("Undo <fasteners>.", "mark-without-id", "as in <fasteners face-screw>"),
        ("Wash <prts>.", "unknown-mark", "did you mean '<parts>'?"),
        ("Undo <fasteners $scrws>.", "unknown-word", "did you mean '$screws'?"),
        ("See <see lamp-of>.", "unknown-id", "did you mean '<see lamp-off>'?"),
        ("Set <target throw>.", "nothing-to-quote", "tell the value in its record, or leave the mark out"),
        (
            "Tighten to <tighten bracket-screw>.",
            "nothing-to-quote",
            "tell the value in its record, or leave the mark out",
        ),
    ],
)
def test_a_wrong_mark_is_told_with_the_right_one(raw: str, code: str, right: str) -> None:
    (message,) = check_text(LIBRARY, text(raw, Place("a.yaml", 3, 10)), ("parts", "screws"))
    assert (message.code, message.right) == (code, right)
    assert message.place == Place("a.yaml", 3, 10 + raw.index("<"))


@pytest.mark.parametrize(
    "raw",
    ["Undo <fasteners bracket-screw>.", "<parts>", "<fasteners $screws>", "<see lamp-off/undo>", "a < b > c", "5 <6>"],
)
def test_right_marks_and_plain_text_are_left_alone(raw: str) -> None:
    assert list(check_text(LIBRARY, text(raw), ("parts", "screws"))) == []


def test_every_text_is_looked_at_however_deep_it_stands() -> None:
    bad = "<fasteners nothing-like-it>"
    nodes = [
        step(bad),
        step("A.", why=varies(({"lamp": "x"}, bad), ({"lamp": "y"}, "b"))),
        by("lamp", x=[step(bad)], y=[under({"hook": "z"}, step(bad))]),
        repeat({"pull": "right"}, step(bad), otherwise=[step(bad)]),
        mirror("other", after={"undo": [step(bad)]}),
    ]
    main = procedure("main", *nodes, about=bad)
    assert sum(bad == each.raw for each in texts_of(main)) == 8
    assert len(list(check_prose(shop(procedures=[main])))) == 8

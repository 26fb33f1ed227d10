from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as some

from handwheel.machines.machine import Known
from handwheel.machines.space import Space
from handwheel.procedures.judge import Ground, Judge
from handwheel.procedures.prose import Emphasis, Plain, Quoted, pieces, plain_text
from handwheel.procedures.quoted import limits_text
from handwheel.records.families import family_of
from handwheel.records.library import Library
from handwheel.records.marks import Chars, Mark, Stressed, parse
from shopkit import (
    agent,
    any_record,
    fastener,
    feature,
    number,
    oiling_point,
    part,
    procedure,
    reading,
    setting,
    shop,
    step,
    variant,
    varies,
)

LIBRARY = shop(
    any_record("lubricants", "light-oil", name="light machine oil", form="oil"),
    any_record("limits", "earth", name="Earth", value=number("0.5"), unit="Ω", sense="at most", source=None),
    features=[feature("lamp", "bracket", "stalk", swapped="often")],
    variants=[variant("second", lamp="bracket"), variant("fourth", lamp="stalk")],
    parts=[
        part("head", root=True),
        part("lamp", mass="400 g"),
        part("brush", plural="brushes", count=2),
        part("plate"),
    ],
    fasteners=[
        fastener(
            "bracket-screw",
            "lamp",
            count=2,
            tighten=varies(({"lamp": "bracket"}, "0.7 N m"), ({"lamp": "stalk"}, "by hand")),
        ),
        fastener("set-screw", "plate", tighten="no shake"),
        fastener("bare-screw", "plate"),
    ],
    settings=[setting("throw", target="6 mm"), setting("tension", reading="pull"), setting("bare")],
    readings=[
        reading("pull", "slack", "right", "tight", cuts=["0.60", "1.10"], good="right"),
        reading("insulation", "fail", "pass", cuts=["2"], good="pass", unit="MΩ"),
    ],
    oiling_points=[oiling_point("wick-point", "plate", dose="8 drops")],
    agents=[agent("white-spirit")],
    procedures=[procedure("lamp-off", step("Undo it.", id="undo"), title="Take the lamp off")],
)


def judge(known: Known | None = None, library: Library = LIBRARY) -> Judge:
    space = Space(family_of(library, "dipper"))
    return Judge(Ground(library, space), space.known(known or Known()), {})


def told(raw: str, known: Known | None = None, **words: tuple[str, ...]) -> str:
    return plain_text(LIBRARY, pieces(judge(known), raw, words))


STALK = Known(None, {"lamp": frozenset(("stalk",))})


@pytest.mark.parametrize(
    ("raw", "text"),
    [
        ("Undo <fasteners bracket-screw>.", "Undo 2 bracket screws."),
        ("Undo <fasteners set-screw>.", "Undo the set screw."),
        ("Each <fastener bracket-screw> is short.", "Each bracket screw is short."),
        ("Draw <count brush>.", "Draw 2 brushes."),
        ("Lift <count lamp>.", "Lift the lamp."),
        ("The <part brush> and the <part lamp>.", "The brushes and the lamp."),
        ("Tighten to <tighten bracket-screw>.", "Tighten to by hand."),
        ("Tighten <tightly set-screw>.", "Tighten until there is no shake."),
        ("Set <target throw>.", "Set 6 mm."),
        ("It weighs <mass lamp>.", "It weighs 400 g."),
        ("Read <limits pull>.", "Read 0.60 to 1.10 N."),
        ("Read <limits tension>.", "Read 0.60 to 1.10 N."),
        ("Read <limits insulation>.", "Read 2 MΩ or more."),
        ("Read <limits earth>.", "Read at most 0.5 Ω."),
        ("Give <dose wick-point> of <lubricant wick-point>.", "Give 8 drops of light machine oil."),
        ("As in <see lamp-off>.", "As in Take the lamp off."),
        ("As in <see lamp-off/undo>.", "As in Take the lamp off."),
        ("Tighten to <tighten bare-screw>.", "Tighten to (not known yet)."),
        ("*Never* on the <part lamp>.", "Never on the lamp."),
        ("<b>bold</b> & 3 < 4 > 2 * 2 * 2", "<b>bold</b> & 3 < 4 > 2 * 2 * 2"),
    ],
)
def test_marks_are_resolved_and_all_else_is_text(raw: str, text: str) -> None:
    assert told(raw, STALK) == text


def test_words_of_a_shared_run_are_named() -> None:
    text = told("Brush <parts> in <agent>.", None, parts=("lamp", "plate", "brush"), agent=("white-spirit",))
    assert text == "Brush lamp, plate and brushes in white spirit."
    assert told("Undo <fasteners $screws>.", None, screws=("set-screw",)) == "Undo the set screw."


def test_a_value_that_hangs_on_a_look_stands_with_it() -> None:
    assert told("To <tighten bracket-screw>.") == "To 0.7 N m (lamp: bracket) or by hand (lamp: stalk)."
    assert told("To <tighten bracket-screw>.", STALK) == "To by hand."


def test_pieces_keep_what_they_quote() -> None:
    first, quoted, last = pieces(judge(STALK), "Undo <fasteners set-screw>.")
    assert (first, last) == (Plain("Undo "), Plain("."))
    assert isinstance(quoted, Quoted)
    assert (quoted.mark, quoted.kind, quoted.id, quoted.texts.fixed) == (
        "fasteners",
        "fasteners",
        "set-screw",
        "the set screw",
    )
    (stressed,) = pieces(judge(), "*the <part lamp>*")
    assert isinstance(stressed, Emphasis)
    assert [type(each) for each in stressed.pieces] == [Plain, Quoted]


@given(some.text(alphabet="ab <>*=&\"'é/-", max_size=40))
def test_text_without_marks_is_kept_to_the_letter(raw: str) -> None:
    tokens = parse(raw)
    written = "".join(_written(token) for token in tokens)
    assert written == raw


def _written(token: Chars | Mark | Stressed) -> str:
    match token:
        case Chars(text):
            return text
        case Mark():
            return token.written
        case Stressed(held):
            return f"*{''.join(map(_written, held))}*"


@given(some.integers(1, 4), some.data())
def test_limits_are_where_the_good_states_end(cuts: int, data: some.DataObject) -> None:
    """A value is within the limits told exactly when its state is good; a cut belongs to the upper state."""
    states = tuple(f"s{i}" for i in range(cuts + 1))
    first = data.draw(some.integers(0, cuts))
    last = data.draw(some.integers(first, cuts))
    text = limits_text(states, states[first : last + 1], tuple(number(str(i + 1)) for i in range(cuts)), "N")
    if (first, last) == (0, cuts):
        assert text == ""
    elif first == 0:
        assert text == f"under {last + 1} N"
    elif last == cuts:
        assert text == f"{first} N or more"
    else:
        assert text == f"{first} to {last + 1} N"


def test_a_part_is_meant_before_a_feature_of_the_same_id() -> None:
    assert pieces(judge(), "<see lamp>")[0].kind == "parts"  # type: ignore[union-attr]

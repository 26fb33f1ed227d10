"""What a record is made of."""

from __future__ import annotations

from handwheel.records.kinds import Nested, record
from handwheel.records.places import Place
from handwheel.records.values import Text
from handwheel.records.within import held_by

HERE = Place("a.yaml", 2, 3)


@record()
class Thing(Nested):
    """One with all sorts of values."""

    name: str = "x"
    said: Text
    many: tuple[object, ...]
    told: dict[str, object]


def test_values_in_the_order_written_without_plain_ones_and_places() -> None:
    some = {"a": "b", "c": Text("b", HERE)}
    thing = Thing(
        place=HERE, at={"said": HERE}, said=Text("Undo it.", HERE), many=(1, Text("a", HERE), (), HERE), told=some
    )
    assert held_by(thing) == [thing.said, thing.many, thing.told]
    assert held_by(thing.many) == [Text("a", HERE)]
    assert held_by(thing.told) == [Text("b", HERE)]


def test_nothing_is_in_plain_values_or_places() -> None:
    for each in ("text", 1, 2.5, None, True, HERE, Text("a", HERE), ()):
        assert held_by(each) == []

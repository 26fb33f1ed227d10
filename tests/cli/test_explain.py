"""`handwheel explain`: every word that a shop can write, in each sense that it has."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from handwheel.checks.registry import all_rules
from handwheel.cli.main import main
from handwheel.desk.explaining import explain
from handwheel.desk.explaining_machines import condition_of, machines_of
from handwheel.procedures.quoted import QUOTES
from handwheel.reading.load import load
from handwheel.records.kinds import KINDS, keys_of
from handwheel.records.library import Library
from handwheel.records.step_records import EFFECTS
from handwheel.records.uses import references
from written_small import ROOT, write_shop


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_shop(tmp_path_factory.mktemp("small"))


@pytest.fixture(scope="module")
def library(small: Path) -> Library:
    return load([ROOT / "content", small])


def told(shop: Path, capsys: pytest.CaptureFixture[str], word: str) -> list[dict[str, Any]]:
    assert main(["explain", word, "--shop", str(shop), "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    assert document["word"] == word
    found: list[dict[str, Any]] = document["meanings"]
    return found


def test_an_id(small: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What it is, file and line, who uses it, for which machines it holds."""
    (found,) = told(small, capsys, "lamp-bracket")
    assert found["what"] == "part 'lamp-bracket'" and found["name"] == "folding bracket"
    assert found["place"] == "shop/shop.yaml:17:3"
    assert found["users"] == [{"kind": "procedure", "id": "lamp-off", "place": "shop/shop.yaml:25:3"}]
    assert found["machines"]["always"] == ["plover-first", "plover-third"]
    assert found["machines"]["never"] == ["plover-second"] and found["machines"]["sometimes"] == []


def test_a_form(small: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (found,) = told(small, capsys, "bracket")
    assert found["what"] == "form 'bracket' of the feature 'lamp'" and found["name"] == "on a bracket"
    assert {user["id"] for user in found["users"]} == {"plover-first", "plover-third", "lamp-bracket", "lamp-off"}
    assert found["machines"]["always"] == ["plover-first", "plover-third"]


def test_a_feature_tells_its_forms_and_who_had_them(small: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = {each["what"]: each for each in told(small, capsys, "lamp")}
    said = {each["key"]: each["text"] for each in found["feature 'lamp'"]["said"]}
    assert said["form bracket"] == "on a bracket (as built: plover-first, plover-third)"
    assert said["form stalk"] == "on a stalk (as built: plover-second)"


def test_a_step(small: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for word in ("lamp-off/cool", "cool"):
        (found,) = told(small, capsys, word)
        assert found["what"] == "step 'lamp-off/cool'" and found["place"].startswith("shop/shop.yaml:29:")
        assert found["said"] == [{"key": "do", "text": "Let the lamp cool."}]


def test_an_effect(small: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = {each["what"]: each for each in told(small, capsys, "removes")}
    effect = found["effect 'removes:' of a step"]
    assert effect["about"].startswith("Parts taken off") and effect["users"][0]["id"] == "lamp-off"
    assert "word of 'effect:' of a prohibition" in found


def test_a_rule(small: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (found,) = told(small, capsys, "count-differs")
    keys = [each["key"] for each in found["said"]]
    assert found["what"] == "rule 'count-differs'" and "how to mend it" in keys and "failing example" in keys


def test_in_text(small: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """All of it for people, on standard output."""
    assert main(["explain", "lamp-bracket", "--shop", str(small)]) == 0
    said = capsys.readouterr()
    assert said.err == "" and said.out == (
        "part 'lamp-bracket': folding bracket\n"
        "  A part or an assembly. It is an assembly when other parts are `in` it or it has a stack.\n"
        "  at shop/shop.yaml:17:3\n"
        "  holds for: lamp: on a bracket\n"
        "    always, as built: plover-first, plover-third\n"
        "    never, as built: plover-second\n"
        "  used by:\n"
        "    procedure 'lamp-off' at shop/shop.yaml:25:3\n"
    )


@pytest.mark.parametrize(
    ("word", "near"), [("lamp-braket", "lamp-bracket"), ("count-difers", "count-differs"), ("remove", "removes")]
)
def test_the_nearest_where_there_is_none(small: Path, capsys: pytest.CaptureFixture[str], word: str, near: str) -> None:
    assert main(["explain", word, "--shop", str(small)]) == 2
    assert f"nothing here is called '{word}'; did you mean '{near}'?" in capsys.readouterr().err


def test_a_shop_that_does_not_load(small: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    broken = write_shop(tmp_path, "partz: {}\n")
    assert main(["explain", "lamp", "--shop", str(broken)]) == 2
    assert "did you mean 'parts'?" in capsys.readouterr().err


def test_every_word_that_can_be_written_means_something(library: Library) -> None:
    """Ids, kinds, keys, effects, marks, constructs, words of conditions, rules."""
    words = {name for kind in KINDS.values() for name in (kind.plural, kind.singular, *library.of(kind.plural))}
    words |= {name for kind in KINDS.values() for name in keys_of(kind.cls)} | set(EFFECTS) | set(QUOTES)
    words |= {"by", "one_of", "repeat", "use", "ensure", "mirror", "reach", "until", "not", "group", "made", "serial"}
    words |= {f"<{word}>" for word in QUOTES} | {rule.id for rule in all_rules()}
    assert len(words) > 600
    assert [word for word in sorted(words) if not explain(library, word).meanings] == []


def test_users_are_those_that_refer_to_it(library: Library) -> None:
    """Against the references themselves, record by record."""
    for plural in ("parts", "features", "variants", "families", "cautions"):
        for name in library.of(plural):
            wanted = {
                (KINDS[kind].singular, record.id)
                for kind, record in library
                if (kind, record.id) != (plural, name)
                if any(plural in kinds and target == name for kinds, target in references(record))
            }
            found = next(
                each for each in explain(library, name).meanings if each.what.startswith(KINDS[plural].singular)
            )
            assert {(user.kind, user.id) for user in found.users} == wanted, name


def test_every_variant_stands_once_under_machines(library: Library) -> None:
    for plural in ("parts", "variants", "families", "procedures"):
        for name in library.of(plural):
            condition = condition_of(library, plural, name)
            assert condition is not None
            found = machines_of(library, condition)
            assert sorted((*found.always, *found.sometimes, *found.never)) == sorted(library.variants)

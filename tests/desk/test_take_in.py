"""Notes from the bench: each lands beside its step or is refused in words; nothing is half done."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.cli.main import main
from handwheel.desk.notes_file import Note, read_notes
from handwheel.procedures.noted import digest_of, steps_by_id
from handwheel.reading.load import load
from handwheel.records.errors import HandwheelError

SHOP = """\
# a comment that stays
families: {plover: {name: Plover}}
readings:
  pull: {ask: Pull, unit: N, cuts: [0.60, 1.10], states: [slack, right, tight], good: [right]}
procedures:
  thread:
    title: Thread it
    steps:
      - {id: draw, do: Draw the thread., measures: [pull]}
      - {id: look, do: Look at it.}
"""
NOTE = {"step": "thread/look", "kind": "note", "time": "2026-03-11T10:00:00.000Z", "text": "The spring: was # bent"}
OTHERWISE = NOTE | {"kind": "otherwise", "text": "It fell out\n<b>at</b> once"}
READ = {"step": "thread/draw", "kind": "reading", "time": "2026-03-11T10:01:00.000Z", "reading": "pull", "unit": "N"}
READINGS = [READ | {"value": "0.82"}, READ | {"value": "0.90", "time": "2026-03-11T10:02:00.000Z"}]


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    (tmp_path / "library").mkdir()
    folder = tmp_path / "shop"
    folder.mkdir()
    (folder / "work.yaml").write_text(SHOP, "utf-8")
    return folder


def noted(folder: Path, *notes: dict[str, Any], **other: Any) -> Path:
    path = folder / "notes.json"
    document = {"format": "handwheel-notes", "version": 1, "made": "2026-03-11", "notes": list(notes)} | other
    path.write_text(json.dumps(document), "utf-8")
    return path


def take_in(path: Path, shop: Path, *options: str) -> int:
    return main(["take-in", str(path), str(shop), "--library", str(shop.parent / "library"), *options])


def files(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_notes_become_drafts_and_readings_measurements(tmp_path: Path, shop: Path) -> None:
    path = noted(tmp_path, NOTE, OTHERWISE, *READINGS)
    assert take_in(path, shop, "--accept", "all") == 0
    library = load([shop])
    assert [(d.step, d.says, d.kind, d.date) for d in library.drafts.values()] == [
        ("thread/look", "The spring: was # bent", "note", "2026-03-11"),
        ("thread/look", "It fell out <b>at</b> once", "otherwise", "2026-03-11"),
    ]
    (measured,) = library.measurements.values()
    assert ([value.text for value in measured.values], measured.count) == (["0.82", "0.90"], 2)
    assert (measured.reading, measured.date) == ("pull", "2026-03-11")
    assert (shop / "work.yaml").read_text("utf-8") == SHOP


def test_the_same_file_twice_adds_nothing(tmp_path: Path, shop: Path) -> None:
    path = noted(tmp_path, NOTE, NOTE, *READINGS)
    take_in(path, shop, "--accept", "all")
    before = files(shop)
    assert take_in(path, shop, "--accept", "all") == 0
    assert files(shop) == before


def test_what_the_writer_put_into_the_file_stays(tmp_path: Path, shop: Path) -> None:
    take_in(noted(tmp_path, NOTE), shop, "--accept", "all")
    kept = shop / "bench-notes.yaml"
    kept.write_text("# mine\n" + kept.read_text("utf-8") + "  # after\n", "utf-8")
    before = kept.read_text("utf-8")
    take_in(noted(tmp_path, OTHERWISE, *READINGS), shop, "--accept", "all")
    after = kept.read_text("utf-8")
    assert set(before.splitlines()) <= set(after.splitlines())
    assert len(load([shop]).drafts) == 2


def test_one_is_taken_and_one_is_dropped(tmp_path: Path, shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = noted(tmp_path, NOTE, OTHERWISE)
    assert take_in(path, shop, "--json") == 0
    first, second = json.loads(capsys.readouterr().out)
    assert (first["place"], first["words"], first["state"]) == ("shop/work.yaml:10", "Look at it.", "open")
    assert take_in(path, shop, "--accept", "all", "--drop", first["id"]) == 0
    assert list(load([shop]).drafts) == [second["id"]]


def states(path: Path, shop: Path, capsys: pytest.CaptureFixture[str]) -> list[str]:
    """What is said of each note of the file."""
    capsys.readouterr()
    assert take_in(path, shop, "--json") == 0
    return [each["state"] for each in json.loads(capsys.readouterr().out)]


def test_what_was_dropped_is_not_offered_again(
    tmp_path: Path, shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Not one by one, not with `all`, not in another file; until its line is taken out, or it is named."""
    path = noted(tmp_path, NOTE, OTHERWISE, READINGS[0])
    said = iter(["d", "a", "d"])
    monkeypatch.setattr("builtins.input", lambda _: next(said))
    monkeypatch.setattr("sys.stdin.isatty", lambda: True)
    assert take_in(path, shop) == 0
    assert states(path, shop, capsys) == ["dropped", "taken", "dropped"]
    assert take_in(path, shop) == 0 and next(said, None) is None  # nobody was asked
    assert take_in(noted(tmp_path, NOTE, *READINGS), shop, "--accept", "all") == 0
    library = load([shop])
    assert [each.says for each in library.drafts.values()] == ["It fell out <b>at</b> once"]
    assert [value.text for each in library.measurements.values() for value in each.values] == ["0.90"]
    first, *_ = [line for line in (shop / "dropped-notes.txt").read_text("utf-8").splitlines() if line[:2] == "n-"]
    assert first.endswith("2026-03-11 thread/look: The spring: was # bent")
    path = noted(tmp_path, NOTE, OTHERWISE, READINGS[0])
    assert take_in(path, shop, "--accept", first.split()[0]) == 0
    assert states(path, shop, capsys) == ["taken", "taken", "dropped"]
    (shop / "dropped-notes.txt").unlink()
    assert states(path, shop, capsys) == ["taken", "taken", "open"]


def test_all_are_dropped_but_one(tmp_path: Path, shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Those that have no step here, too, so that they are told of no more."""
    gone = NOTE | {"step": "thread/gone"}
    path = noted(tmp_path, NOTE, OTHERWISE, gone)
    take_in(path, shop, "--json")
    first = json.loads(capsys.readouterr().out)[0]["id"]
    assert take_in(path, shop, "--accept", first, "--drop", "all") == 0
    assert states(path, shop, capsys) == ["taken", "dropped", "dropped"]
    assert take_in(path, shop, "--accept", "all") == 0


@pytest.mark.parametrize("answers", [["a", "d"], ["accept", "drop"], ["x", "", "a", "d"]])
def test_one_by_one(tmp_path: Path, shop: Path, monkeypatch: pytest.MonkeyPatch, answers: list[str]) -> None:
    said = iter(answers)
    monkeypatch.setattr("builtins.input", lambda _: next(said))
    monkeypatch.setattr("sys.stdin.isatty", lambda: True)
    assert take_in(noted(tmp_path, NOTE, OTHERWISE), shop) == 0
    assert [each.kind for each in load([shop]).drafts.values()] == ["note"]


def test_answers_that_end_early_change_nothing(tmp_path: Path, shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    said = iter(["a"])

    def answer(_: str) -> str:
        try:
            return next(said)
        except StopIteration:
            raise EOFError from None

    monkeypatch.setattr("builtins.input", answer)
    monkeypatch.setattr("sys.stdin.isatty", lambda: True)
    before = files(shop)
    assert take_in(noted(tmp_path, NOTE, OTHERWISE), shop) == 2
    assert files(shop) == before


def test_a_step_that_changed_since_is_told(tmp_path: Path, shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    digest = digest_of(steps_by_id(load([shop]))["thread/look"])
    path = noted(tmp_path, NOTE | {"digest": digest, "words": "Look at it."})
    take_in(path, shop, "--list")
    assert "changed since" not in capsys.readouterr().out
    (shop / "work.yaml").write_text(SHOP.replace("Look at it.", "Look at it twice."), "utf-8")
    take_in(path, shop, "--list")
    shown = capsys.readouterr().out
    assert "the step has changed since; it said: Look at it." in shown and "Look at it twice." in shown


def test_a_note_whose_step_is_gone_is_said_and_left(
    tmp_path: Path, shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = noted(tmp_path, NOTE | {"step": "thread/gone"}, READINGS[0] | {"unit": "gf"}, NOTE)
    assert take_in(path, shop, "--accept", "all") == 1
    said = capsys.readouterr()
    assert "2 could not be placed" in said.err
    assert len(load([shop]).drafts) == 1 and not load([shop]).measurements


GOOD = json.dumps({"format": "handwheel-notes", "version": 1, "notes": [NOTE]})
REFUSED = {
    "damaged": (GOOD[:-20].encode(), "damaged"),
    "empty": (b"", "damaged"),
    "foreign": (b'{"format": "recipes", "version": 1, "notes": []}', "no file of notes"),
    "a list": (b"[]", "no file of notes"),
    "newer": (GOOD.replace('"version": 1', '"version": 2').encode(), "newer"),
    "no version": (GOOD.replace('"version": 1', '"version": true').encode(), "which version"),
    "wrong encoding": (GOOD.encode("utf-16"), "UTF-8"),
    "latin": (GOOD.replace("bent", "b\u00e9nt").encode("latin-1"), "UTF-8"),
    "huge": (GOOD.encode() + b" " * 1_000_001, "bigger"),
    "deep": (b"[" * 200_000, "damaged"),
    "a key twice": (GOOD.replace('"kind": "note"', '"kind": "note", "kind": "note"').encode(), "twice"),
    "strange key": (GOOD.replace('"kind"', '"kin"').encode(), "no key"),
    "no kind": (GOOD.replace('"kind": "note", ', "").encode(), "'kind' is missing"),
    "no number": (json.dumps({**json.loads(GOOD), "notes": [READ | {"value": "NaN"}]}).encode(), "no number"),
    "NaN": (GOOD.replace('"2026-03-11T10:00:00.000Z"', "NaN").encode(), "no value"),
    "no time": (GOOD.replace("2026-03-11T10", "2026-13-11T10").encode(), "no time"),
    "path as step": (GOOD.replace("thread/look", "../../etc").encode(), "names no step"),
    "half a letter": (GOOD.replace("bent", "\\ud800").encode(), "half a letter"),
    "control": (GOOD.replace("bent", "\\u001b[2J").encode(), "control"),
    "long": (GOOD.replace("bent", "b" * 3000).encode(), "letters"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_cannot_be_used_is_refused_and_nothing_changes(
    tmp_path: Path, shop: Path, name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    data, words = REFUSED[name]
    path = tmp_path / "notes.json"
    path.write_bytes(data)
    before = files(shop)
    assert take_in(path, shop, "--accept", "all") == 2
    assert words in capsys.readouterr().err
    assert files(shop) == before


def test_a_file_that_is_not_there_and_a_folder(tmp_path: Path, shop: Path) -> None:
    assert take_in(tmp_path / "none.json", shop) == 2
    assert take_in(tmp_path, shop) == 2


def test_a_shop_that_does_not_load_is_left_alone(tmp_path: Path, shop: Path) -> None:
    (shop / "bench-notes.yaml").write_text("drafts: [", "utf-8")
    before = files(shop)
    assert take_in(noted(tmp_path, NOTE), shop, "--accept", "all") == 2
    assert files(shop) == before


@given(st.binary(max_size=200) | st.recursive(st.none() | st.text() | st.integers(), lambda inner: st.lists(inner)
       | st.dictionaries(st.sampled_from([*NOTE, "format", "notes", "version"]), inner)).map(
           lambda each: json.dumps({"format": "handwheel-notes", "version": 1, "notes": [each]}).encode()))  # fmt: skip
def test_no_file_raises_anything_but_words(tmp_path_factory: pytest.TempPathFactory, data: bytes) -> None:
    path = tmp_path_factory.getbasetemp() / "any-notes.json"
    path.write_bytes(data)
    try:
        read = read_notes(path)
    except HandwheelError as error:
        assert str(error).startswith(str(path))
    else:
        assert all(isinstance(each, Note) and each.says for each in read)

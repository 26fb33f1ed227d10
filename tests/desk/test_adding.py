"""Adding to a shop: the shop loads afterwards, or nothing is changed."""

from __future__ import annotations

import io
import sys
from pathlib import Path

import pytest

from handwheel.cli import adding as command
from handwheel.cli.main import main
from handwheel.desk import adding
from handwheel.desk.adding import kind_of, open_shop
from handwheel.desk.asking import ask_here
from handwheel.desk.new_shop import Answers, make_shop
from handwheel.reading.load import load
from handwheel.reading.shipped import folders_of
from handwheel.records.errors import HandwheelError
from handwheel.records.kinds import KINDS
from handwheel.records.library import Library
from written_small import files_in


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A new shop, with its folder as the place where commands are run."""
    make_shop(tmp_path / "s", Answers(family="Merlin"))
    monkeypatch.chdir(tmp_path / "s")
    return tmp_path / "s" / "shop"


def read(shop: Path) -> Library:
    return load(folders_of(shop))


def test_one_of_each_that_a_shop_needs(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Each told with file and line, each read again as it was given."""
    calls = [
        ["family", "--name", "Kestrel"],
        ["variant", "--name", "Merlin, second", "--family", "merlin", "--features", "{bobbin-winder: plain}"],
        ["part", "head", "--name", "head", "--root", "true", "--material", "grey-iron"],
        ["part", "cap", "--name", "cap: the small one", "--when", "{bobbin-winder: latch}"],
        ["screw", "cap-screw", "--count", "2", "--holds", "cap", "--note", "Mind the edge, it is sharp."],
        ["source", "--title", "A leaflet", "--kind", "leaflet"],
        ["procedure", "cap-off", "--title", "Take the cap off", "--steps", "[{do: Take the cap off., removes: cap}]"],
        ["step", "wipe-the-head-down", "--do", "Oil the bed, lightly.", "--why", "Bare iron rusts.", "--id", "oiled"],
        ["step", "wipe-the-head-down", "--do", "Wipe off what is too much.", "--after", "oiled"],
    ]
    for call in calls:
        assert main(["new", *call]) == 0, capsys.readouterr().err
    said = capsys.readouterr()
    assert said.out == "" and said.err.count("added ") == len(calls)
    library = read(shop)
    for line in said.err.splitlines():
        file, _, number = line.rpartition(" ")[2].partition(":")
        assert Path(file).read_text("utf-8").split("\n")[int(number) - 1].strip()
    assert [each.name for each in library.families.values()] == ["Merlin", "Kestrel"]
    assert library.variants["merlin-second"].features == {"bobbin-winder": ("plain",)}
    assert library.parts["cap"].name == "cap: the small one"
    assert library.fasteners["cap-screw"].holds == ("cap",)
    assert library.fasteners["cap-screw"].note is not None
    assert library.fasteners["cap-screw"].note.raw == "Mind the edge, it is sharp."
    assert library.sources["a-leaflet"].kind == "leaflet"
    texts = [node.do.cases[0].value.raw for node in library.procedures["wipe-the-head-down"].steps]
    assert texts[-2:] == ["Oil the bed, lightly.", "Wipe off what is too much."]


def test_all_but_the_new_lines_stays(shop: Path) -> None:
    """Comments, odd spacing and the order of lines; other files are not touched."""
    path = shop / "machines.yaml"
    odd = (
        path.read_text("utf-8")
        .replace("families:", "families:   # ours")
        .replace("\nfeatures:", "\n\n# looks\nfeatures:")
    )
    path.write_text(odd, "utf-8")
    path.chmod(0o640)
    before = files_in(shop)
    assert main(["new", "variant", "second", "--name", "Second", "--family", "merlin"]) == 0
    after = files_in(shop)
    added = b"  second:\n    name: Second\n    family: merlin\n"
    assert after.pop("machines.yaml").replace(added, b"", 1) == before.pop("machines.yaml") == odd.encode()
    assert after == before and path.stat().st_mode & 0o777 == 0o640


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (
            ["variant", "merlin-first-pattern", "--name", "x", "--family", "merlin"],
            "there already, at shop/machines.yaml:8:3",
        ),
        (["agent", "white-spirit", "--name", "x"], "or replace it with --replaces"),
        (["part", "Lamp Hood", "--name", "x"], "right: lamp-hood"),
        (["part", "--note", "x"], "no id"),
        (["part", "lamp"], "nothing is said of"),
        (["part", "lamp", "--material", "stel"], "did you mean 'steel'?"),
        (["part", "lamp", "--when", "{a"], "no value in YAML"),
        (["part", "lamp", "--when", "{bobbin-winder: lach}"], "did you mean 'latch'?"),
        (["part", "lamp", "--count", "2", "--count", "3"], "only one value"),
        (["part", "lamp", "--count", "2\n  x: 1"], "one line"),
        (["part", "lamp", "--name", "x", "--to-file", "../up.yaml"], "is no YAML file in"),
        (["part", "lamp", "--name", "x", "--to-file", "deep/er.yaml"], "does not exist"),
        (["screw", "cap-screw"], "--holds"),
        (["step", "wipe-the-hed-down", "--do", "x"], "did you mean 'wipe-the-head-down'?"),
        (["step", "wipe-the-head-down", "--do", "x", "--after", "y"], "none has an id"),
        (["step", "wipe-the-head-down", "--do", "x", "--removes", "lamp"], "no part has the id 'lamp'"),
        (["step", "wipe-the-head-down", "--why", "x"], "--do"),
    ],
)
def test_what_cannot_be_added_changes_nothing(
    shop: Path, capsys: pytest.CaptureFixture[str], call: list[str], says: str
) -> None:
    """Code 2, what would be right, and every file as it was."""
    before = files_in(shop.parent)
    assert main(["new", *call]) == 2
    said = capsys.readouterr()
    assert says in said.err and said.out == "" and "Traceback" not in said.err
    assert files_in(shop.parent) == before


def test_a_shop_that_does_not_load_is_told_first(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (shop / "work.yaml").write_text("procedurs: {}\n")
    before = files_in(shop)
    assert main(["new", "part", "lamp", "--name", "lamp"]) == 2
    assert "did you mean 'procedures'?" in capsys.readouterr().err
    assert files_in(shop) == before


def test_a_write_that_fails_leaves_the_file(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The disk is full: the old file is there, and nothing beside it."""

    def full(_: Path, __: Path) -> None:
        raise OSError(28, "No space left on device")

    before = files_in(shop)
    opened = open_shop(shop)
    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(OSError, match="No space"):
        adding.add_record(opened, KINDS["terms"], "arm-cap", {"name": "arm cap", "means": "A cap."})
    assert files_in(shop) == before


def test_an_entry_of_the_library_may_be_replaced(shop: Path) -> None:
    assert main(["new", "term", "arm", "--name", "arm", "--means", "The upper casting.", "--replaces"]) == 0
    assert read(shop).of("terms")["arm"].layer == "shop"


def test_a_file_of_its_own(shop: Path) -> None:
    """It is made, and its first line names the schema."""
    assert main(["new", "part", "lamp", "--name", "lamp", "--to-file", "lamp.yaml"]) == 0
    assert (shop / "lamp.yaml").read_text("utf-8") == (
        "# yaml-language-server: $schema=content.schema.json\nparts:\n  lamp:\n    name: lamp\n"
    )


def test_what_must_be_there_is_asked_for(
    shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """At a terminal: the name and each key that must be there, with what it is for and an example."""
    monkeypatch.setattr(command, "asker", lambda quiet: ask_here)
    monkeypatch.setattr(sys, "stdin", io.StringIO("Merlin, last\nmerlin\n"))
    assert main(["new", "variant"]) == 0
    said = capsys.readouterr().err
    assert "name: Name of the variant. (such as Dipper, second pattern)" in said and "family: Its family." in said
    assert read(shop).variants["merlin-last"].name == "Merlin, last"


@pytest.mark.parametrize("kind", list(KINDS.values()), ids=lambda kind: kind.plural)
def test_every_kind_can_be_named_and_explains_itself(kind: object, capsys: pytest.CaptureFixture[str]) -> None:
    """By its word in the singular or plural, with an option for each of its keys."""
    plural = kind.plural  # type: ignore[attr-defined]
    word = KINDS[plural].singular.replace(" ", "-")
    assert kind_of(word) is KINDS[plural] is kind_of(plural)
    if plural == "shops":  # the word makes a whole shop
        return
    with pytest.raises(SystemExit) as left:
        main(["new", word, "--help"])
    said = capsys.readouterr().out
    assert left.value.code == 0
    assert [key for key in adding.keys(KINDS[plural]) if f"--{key.replace('_', '-')} VALUE" not in said] == []


def test_other_words_for_a_kind() -> None:
    assert kind_of("screw") is KINDS["fasteners"]
    assert kind_of("bench-end") is None


def test_a_text_over_several_values_is_one(shop: Path) -> None:
    """Several texts where one stands are joined; where a list stands they are its items."""
    call = ["new", "variant", "x", "--name", "x", "--family", "merlin", "--tell", "One.", "--tell", "Two, # three."]
    assert main(call) == 0
    assert [text.raw for text in read(shop).variants["x"].tell] == ["One.", "Two, # three."]


def test_an_error_that_handwheel_raises_is_its_own(shop: Path) -> None:
    with pytest.raises(HandwheelError):
        adding.add_step(open_shop(shop), "nothing", {})

"""A new shop: loads without findings, builds, is whole or not there, and never overwrites."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from pathlib import Path

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from handwheel.checks.runner import run as judge
from handwheel.cli.main import main, parser, shop_folder
from handwheel.desk import new_shop
from handwheel.desk.asking import ask_here, take_default
from handwheel.desk.new_shop import QUESTIONS, Answers, answered, make_shop
from handwheel.desk.schema_files import stale
from handwheel.reading.load import load
from handwheel.reading.shipped import folders_of
from handwheel.records.errors import HandwheelError
from written_small import files_in

WORDS = st.text(st.characters(exclude_categories=("Cs", "Cc", "Co", "Cn", "Zl", "Zp")), min_size=1, max_size=30)


def test_it_loads_and_nothing_is_found(tmp_path: Path) -> None:
    """Not even a note; it has a family, a variant, a feature with two forms, and a procedure in words only."""
    make_shop(tmp_path / "bench-end", Answers())
    library = load(folders_of(tmp_path / "bench-end" / "shop"))
    assert judge(library).findings == ()
    own = {
        kind: [r for r in found.values() if r.place.file.startswith("shop/")] for kind, found in library.kinds.items()
    }
    counts = {kind: len(found) for kind, found in own.items() if found}
    assert counts == {"shops": 1, "families": 1, "variants": 1, "features": 1, "procedures": 1}
    assert [len(feature.forms) for feature in own["features"]] == [2]
    assert library.shop is not None and library.shop.name == "Bench end"


def test_few_files_and_all_of_them_valid(tmp_path: Path) -> None:
    files = make_shop(tmp_path / "s", Answers())
    assert files == sorted(files_in(tmp_path / "s")) and len(files) <= 8
    for path in (tmp_path / "s").rglob("*.yml"):
        assert yaml.safe_load(path.read_text("utf-8")), path
    assert list(stale([tmp_path / "s" / "shop"])) == []


def test_the_ci_file_calls_commands_that_there_are(tmp_path: Path) -> None:
    """Each with options that it knows; a reference to the host's own variable is left as the host wants it."""
    make_shop(tmp_path / "s", Answers())
    text = (tmp_path / "s/.github/workflows/site.yml").read_text("utf-8")
    steps = yaml.safe_load(text)["jobs"]["site"]["steps"]
    called = [step["run"].split() for step in steps if step.get("run", "").startswith("handwheel")]
    assert len(called) >= 2 and "${{ vars.HANDWHEEL }}" in text
    for _, *words in called:
        assert parser(words[:1]).parse_args(words).command == words[0]


@pytest.mark.parametrize("command", [["handwheel", "check"], ["handwheel", "build"], ["mkdocs", "build", "-q"]])
def test_a_new_shop_works_from_its_own_folder(tmp_path: Path, command: list[str]) -> None:
    """As a person does it: new, cd, then the command without an argument."""
    make_shop(tmp_path / "s", Answers(name='Bench: "End"'))
    program = str(Path(sys.executable).with_name(command[0]))
    env = os.environ | {"NO_MKDOCS_2_WARNING": "1"}
    result = subprocess.run(
        [program, *command[1:]], cwd=tmp_path / "s", env=env, capture_output=True, text=True, timeout=120, check=False
    )
    assert result.returncode == 0, result.stderr
    if "build" in command:
        assert (
            "Bench: &#34;End&#34;" in (page := (tmp_path / "s/site/index.html").read_text("utf-8")) or "Bench:" in page
        )


@pytest.mark.parametrize("there", ["file", "folder with something in it", "link"])
def test_what_is_there_is_never_overwritten(tmp_path: Path, there: str) -> None:
    folder = tmp_path / "s"
    if there == "file":
        folder.write_text("mine")
    elif there == "link":
        (tmp_path / "elsewhere").mkdir()
        folder.symlink_to(tmp_path / "elsewhere")
    else:
        folder.mkdir()
        (folder / "mine.txt").write_text("mine")
    before = files_in(tmp_path)
    with pytest.raises(HandwheelError, match="is there already"):
        make_shop(folder, Answers())
    assert files_in(tmp_path) == before


def test_an_empty_folder_may_be_used(tmp_path: Path) -> None:
    (tmp_path / "s").mkdir()
    make_shop(tmp_path / "s", Answers())
    assert (tmp_path / "s/mkdocs.yml").is_file()


def test_nothing_is_left_when_it_fails(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The disk fills half-way; a reader of the folder's parent finds it as it was."""

    def full(folder: Path, texts: dict[str, str]) -> None:
        folder.mkdir()
        (folder / "mkdocs.yml").write_text(texts["mkdocs.yml"])
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(new_shop, "_write", full)
    with pytest.raises(HandwheelError, match="No space left on device; nothing was written"):
        make_shop(tmp_path / "s", Answers())
    assert list(tmp_path.iterdir()) == []


@settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(name=WORDS, family=WORDS, variant=WORDS, feature=WORDS, form=WORDS, currency=WORDS)
def test_any_words_make_a_shop_or_a_clear_error(
    tmp_path_factory: pytest.TempPathFactory,
    name: str,
    family: str,
    variant: str,
    feature: str,
    form: str,
    currency: str,
) -> None:
    """What is written is read again as it was given; else nothing is there."""
    folder = tmp_path_factory.mktemp("any") / "s"
    answers = Answers(name, currency, family, variant, feature, (f"one={form}", "two=other"))
    try:
        make_shop(folder, answers)
    except HandwheelError as error:
        assert str(error) and not folder.exists()
        return
    library = load(folders_of(folder / "shop"))
    assert library.shop is not None and library.shop.name == name.strip()
    assert [each.name for each in library.families.values()] == [family.strip()]


@pytest.mark.parametrize("forms", [(), ("one=a",), ("a", "a"), ("one=a", "One=b")])
def test_a_feature_needs_two_forms(tmp_path: Path, forms: tuple[str, ...]) -> None:
    with pytest.raises(HandwheelError, match="two forms"):
        make_shop(tmp_path / "s", Answers(forms=forms))
    assert list(tmp_path.iterdir()) == []


def test_what_was_not_given_is_asked_for(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """One question each, the usual answer in brackets; an empty line takes it. Talk is on standard error."""
    lines = "francs\n\n\n\nflat=lies flat\n" + "\n" * 10
    monkeypatch.setattr(sys, "stdin", io.StringIO(lines))
    made = answered(Answers(name="Mine"), lambda key: key != "name", ask_here)
    assert made.name == "Mine" and made.forms == ("flat=lies flat", Answers().forms[1]) and made.currency == "francs"
    assert made.family == Answers().family
    said = capsys.readouterr()
    assert said.out == "" and f"[{Answers().family}]" in said.err
    assert QUESTIONS["name"][0] not in said.err
    assert answered(Answers(), lambda _: True, take_default) == Answers()


def test_work_of_one_s_own_needs_steps_of_one_s_own(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Where nobody can be asked, the usual steps are not put under another title."""
    call = ["new", str(tmp_path / "s"), "--no-questions", "--procedure", "Take the lamp off", "--area", "strip"]
    assert main(call) == 2 and "--steps" in capsys.readouterr().err
    assert main([*call, "--steps", "Let it cool.", "Lift it off: gently."]) == 0
    library = load(folders_of(tmp_path / "s/shop"))
    (made,) = library.procedures.values()
    assert [step.do.cases[0].value.raw for step in made.steps] == ["Let it cool.", "Lift it off: gently."]  # type: ignore[union-attr]
    assert made.area == "strip"


def test_the_command(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.chdir(tmp_path)
    arguments = [
        "new",
        "old-forge",
        "--family",
        "Merlin",
        "--forms",
        "hood=under a hood",
        "stalk=on a stalk",
        "--no-questions",
    ]
    assert main(arguments) == 0
    said = capsys.readouterr()
    assert said.out == "" and "made old-forge" in said.err and "handwheel check" in said.err
    assert "Merlin" in Path("old-forge/shop/machines.yaml").read_text("utf-8")
    assert "name: Old forge" in Path("old-forge/shop/shop.yaml").read_text("utf-8")
    assert main(["check", "old-forge"]) == 0
    assert main(arguments) == 2
    assert "is there already" in capsys.readouterr().err


def test_the_word_shop_may_be_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """`new shop FOLDER` is `new FOLDER`; `new shop` makes a folder of that name."""
    monkeypatch.chdir(tmp_path)
    assert main(["new", "shop", "old-forge", "--no-questions"]) == 0
    assert main(["new", "shop", "--no-questions"]) == 0
    assert sorted(path.name for path in tmp_path.iterdir()) == ["old-forge", "shop"]


def test_which_shop_is_meant(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The content's folder, the folder around it, or neither where one stands in it."""
    make_shop(tmp_path / "s", Answers())
    monkeypatch.chdir(tmp_path)
    assert shop_folder("s") == shop_folder("s/shop") == Path("s/shop")
    with pytest.raises(SystemExit) as left:
        main(["check"])
    assert left.value.code == 2 and "there is no shop here; name its folder, or make one" in capsys.readouterr().err
    monkeypatch.chdir(tmp_path / "s")
    assert shop_folder("") == Path("shop")

"""The command line as a person meets it: help, codes, data and talk, and nothing written when the content is wrong."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
import yaml

from handwheel.cli.main import COMMANDS, main
from written_small import SHOP, files_in, write_shop

PLANTED = {
    "unknown key": ("look: Behind", "loook: Behind"),
    "unknown id": ("use: wipe-down", "use: wipe-dwn"),
    "wrong type": ("minutes: [1, 2, 6]", "minutes: soon"),
    "broken YAML": ("plover: {name: Plover}", "plover: {name: Plover"),
    "tab": ("  plover: {name", "\tplover: {name"),
}
BOTH_WRONG = SHOP.replace("use: wipe-down", "use: wipe-dwn").replace("look: Behind", "loook: Behind")
NEITHER = SHOP.replace(
    "      - use: wipe-down\n",
    """\
      - one_of:
        - when: {lamp: bracket}
          steps: [{id: fold, do: Fold it.}]
      - use: wipe-down
""",
)
"""Alternatives of which none holds on a machine with a stalk."""


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A good shop, with its folder as the place where commands are run."""
    made = write_shop(tmp_path)
    monkeypatch.chdir(tmp_path)
    return made


def run(*arguments: object, cwd: Path | None = None) -> subprocess.CompletedProcess[str]:
    """Run the installed command in a process of its own."""
    command = [str(Path(sys.executable).with_name("handwheel")), *map(str, arguments)]
    env = os.environ | {"NO_MKDOCS_2_WARNING": "1"}
    return subprocess.run(command, cwd=cwd, env=env, capture_output=True, text=True, timeout=300, check=False)


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_explains_itself(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    """What it is for, how it is called, and a line for each option; on standard output, code 0."""
    with pytest.raises(SystemExit) as left:
        main([command, "--help"])
    said = capsys.readouterr()
    assert left.value.code == 0 and said.err == ""
    assert f"usage: handwheel {command}" in said.out
    assert " ".join(COMMANDS[command].split()) in " ".join(said.out.split())
    options = [line.split() for line in said.out.splitlines() if line.startswith("  -")]
    assert len(options) >= 2


def test_the_command_line_lists_its_commands_and_codes(capsys: pytest.CaptureFixture[str]) -> None:
    """Each command with what it does, and the exit codes."""
    with pytest.raises(SystemExit):
        main(["--help"])
    said = " ".join(capsys.readouterr().out.split())
    assert [name for name, about in COMMANDS.items() if name not in said or about not in said] == []
    assert "Exit codes: 0" in said


def test_a_wrong_command_line_is_code_2() -> None:
    """Usage on standard error, nothing on standard output."""
    result = run("biuld")
    assert result.returncode == 2 and result.stdout == ""
    assert "invalid choice" in result.stderr and "Traceback" not in result.stderr


def test_check_of_a_good_shop(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Code 0; counts are talk."""
    assert main(["check", str(shop)]) == 0
    said = capsys.readouterr()
    assert said.out == "" and "2 procedures" in said.err


def test_check_as_json_is_data_alone(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Standard output is one JSON document."""
    assert main(["check", str(shop), "--format", "json"]) == 0
    said = capsys.readouterr()
    assert isinstance(json.loads(said.out), dict) and "2 procedures" in said.err


@pytest.mark.parametrize("kind", PLANTED)
@pytest.mark.parametrize("command", ["check", "build", "export"])
def test_wrong_content_is_a_message_with_its_place(tmp_path: Path, command: str, kind: str) -> None:
    """Code 2; file, line and column; no traceback; the target and the shop are as they were."""
    text = SHOP.replace(*PLANTED[kind])
    assert text != SHOP
    shop, target = write_shop(tmp_path, text), tmp_path / "target"
    before = files_in(tmp_path)
    result = run(command, shop, *(["--to", target] if command != "check" else []), cwd=tmp_path)
    assert result.returncode == 2, result.stderr
    assert result.stdout == "" and "Traceback" not in result.stderr
    line = next(n for n, (a, b) in enumerate(zip(SHOP.splitlines(), text.splitlines(), strict=True), 1) if a != b)
    lines = [line] if kind != "broken YAML" else [line, line + 1]
    assert any(f"shop.yaml:{each}:" in result.stderr for each in lines), result.stderr
    assert files_in(tmp_path) == before and not target.exists()


def test_all_mistakes_are_told_in_one_run(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Each with the nearest right word."""
    assert main(["check", str(write_shop(tmp_path, BOTH_WRONG))]) == 2
    said = capsys.readouterr().err
    assert "loook" in said and "'look'" in said and "wipe-dwn" in said and "'wipe-down'" in said


def test_a_built_site_is_untouched_by_a_build_that_fails(shop: Path, tmp_path: Path) -> None:
    """The site from before is still there, file by file."""
    target = tmp_path / "target"
    assert main(["build", str(shop), "--to", str(target)]) == 0
    before = files_in(target)
    (shop / "shop.yaml").write_text(BOTH_WRONG)
    assert before and main(["build", str(shop), "--to", str(target)]) == 2
    assert files_in(target) == before


@pytest.mark.parametrize("command", ["check", "build", "export"])
def test_what_stops_publishing_is_code_1(tmp_path: Path, command: str) -> None:
    """Alternatives that are not exactly one: they are named, and nothing is written."""
    assert NEITHER != SHOP
    shop, target = write_shop(tmp_path, NEITHER), tmp_path / "target"
    result = run(command, shop, *(["--to", target] if command != "check" else []), cwd=tmp_path)
    assert result.returncode == 1, result.stderr
    assert "shop.yaml:35:" in result.stderr and "Traceback" not in result.stderr
    assert not target.exists()


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    """Code 2, and the name that was asked for."""
    result = run("check", tmp_path / "nowhere")
    assert result.returncode == 2 and "nowhere" in result.stderr and "Traceback" not in result.stderr


def test_show_in_the_terminal(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Steps of the variant with their ids; none of the sibling."""
    assert main(["show", "lamp-off", "--shop", str(shop), "--on", "plover-second"]) == 0
    said = capsys.readouterr()
    assert "Draw the threaded stalk out." in said.out and "Wipe the old oil off" in said.out
    assert "bracket" not in said.out.lower()
    assert "plover-second" in said.err


def test_show_as_json(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The same steps as data, and nothing else on either stream."""
    assert main(["show", "lamp-off", "--shop", str(shop), "--on", "plover-first", "--json"]) == 0
    said = capsys.readouterr()
    document = json.dumps(json.loads(said.out))
    assert all(each in document for each in ("cool", "bracket-off", "wipe-off", "bracket-on"))
    assert "stalk-off" not in document and said.err == ""


def test_show_for_a_machine_known_in_part(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Nothing known: both patterns, with the look that tells. A look taken: one."""
    assert main(["show", "lamp-off", "--shop", str(shop)]) == 0
    both = capsys.readouterr().out
    assert "How is the lamp held?" in both and "stalk" in both and "bracket" in both
    assert main(["show", "lamp-off", "--shop", str(shop), "--found", "lamp=bracket"]) == 0
    assert "stalk" not in capsys.readouterr().out


@pytest.mark.parametrize(
    ("arguments", "near"),
    [
        (["lamp-of", "--on", "plover-first"], "lamp-off"),
        (["lamp-off", "--on", "plover-frist"], "plover-first"),
        (["lamp-off", "--found", "lmap=stalk"], "lamp"),
        (["lamp-off", "--found", "lamp=stlak"], "stalk"),
        (["lamp-off", "--family", "plovr"], "plover"),
    ],
)
def test_an_unknown_id_gives_the_nearest(
    shop: Path, capsys: pytest.CaptureFixture[str], arguments: list[str], near: str
) -> None:
    """Code 2, one line of talk, no data."""
    assert main(["show", *arguments, "--shop", str(shop)]) == 2
    said = capsys.readouterr()
    assert said.out == "" and f"did you mean '{near}'?" in said.err


def test_reach_names_an_unknown_part(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """As `show` does."""
    assert main(["reach", "lamp-stlak", "--shop", str(shop), "--on", "plover-second"]) == 2
    assert "did you mean 'lamp-stalk'?" in capsys.readouterr().err


def test_an_export_builds_without_handwheel(shop: Path, tmp_path: Path) -> None:
    """Plain MkDocs in its own theme, strict, with the package out of reach; the steps are in the built page."""
    out = tmp_path / "out"
    assert main(["export", str(shop), "--to", str(out)]) == 0
    assert "plugins" not in yaml.safe_load((out / "mkdocs.yml").read_text("utf-8"))
    block = "import sys; sys.modules['handwheel'] = None; from mkdocs.__main__ import cli; cli(['build', '-q'])"
    subprocess.run([sys.executable, "-c", block], cwd=out, check=True, capture_output=True)
    built = (out / "site/on/plover-second/lamp-off.html").read_text("utf-8")
    assert "Draw the" in built and 'id="stalk-off"' in built


def test_an_export_overwrites_nothing(shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A folder with something in it is refused with code 2."""
    before = files_in(tmp_path)
    assert main(["export", str(shop), "--to", str(tmp_path)]) == 2
    assert "not an empty folder" in capsys.readouterr().err and files_in(tmp_path) == before


def test_mkdocs_build_is_handwheel_build(shop: Path, tmp_path: Path) -> None:
    """The same files, byte by byte, from both commands; so two builds are the same too."""
    assert run("build", shop, "--to", tmp_path / "ours", cwd=tmp_path).returncode == 0
    command = [sys.executable, "-m", "mkdocs", "build", "-q", "-d", str(tmp_path / "theirs")]
    subprocess.run(command, cwd=tmp_path, check=True, capture_output=True)
    ours, theirs = files_in(tmp_path / "ours"), files_in(tmp_path / "theirs")
    assert ours.keys() == theirs.keys() and len(ours) > 50
    assert [name for name, content in ours.items() if theirs[name] != content] == []


def test_serve_refuses_a_shop_that_the_configuration_does_not_name(
    shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """It says so and ends, instead of showing another shop."""
    other = write_shop(tmp_path / "other")
    assert main(["serve", str(other), "--config", str(tmp_path / "mkdocs.yml")]) == 2
    assert "folders:" in capsys.readouterr().err


def test_reach_on_a_machine_as_found_tells_groups_apart_by_looks(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """One look settles it; once it is taken, there is one answer and no look."""
    assert main(["reach", "lamp-stalk", "--shop", str(shop), "--family", "plover"]) == 0
    said = capsys.readouterr().out
    assert "Look first: " in said and "It is not on the machine." in said and "Draw the threaded stalk out." in said
    assert main(["reach", "lamp-stalk", "--shop", str(shop), "--found", "lamp=stalk", "--json"]) == 0
    (group,) = json.loads(capsys.readouterr().out)["groups"]
    assert (group["off"], group["looks"], group["shortest"]) == (["lamp-stalk"], [], True)
    assert main(["reach", "lamp-stalk", "--shop", str(shop), "--found", "lamp=bracket"]) == 2
    assert "has no 'lamp-stalk'" in capsys.readouterr().err


def test_reach_wants_a_machine(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Nothing is guessed."""
    assert main(["reach", "lamp-stalk", "--shop", str(shop)]) == 2
    assert "--found" in capsys.readouterr().err

"""A full disk, a closed folder, a kill: a clear line, nothing half-written, no traceback.

The disk is full for a process whose files may not grow beyond a size (setrlimit, IEEE Std 1003.1: RLIMIT_FSIZE); a
folder is closed for root, too, who may write everywhere, once the process has given that right up (prctl(2) of Linux:
PR_CAPBSET_DROP with CAP_DAC_OVERRIDE).
"""

from __future__ import annotations

import ctypes
import json
import os
import resource
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from handwheel.desk.whole_folders import written_whole
from handwheel.records.errors import HandwheelError
from written_small import files_in, write_shop

PR_CAPBSET_DROP, CAP_DAC_OVERRIDE = 24, 1
NOTE = {"step": "lamp-off/cool", "kind": "note", "time": "2026-03-11T10:00:00.000Z", "text": "It was hot. " * 100}
NOTES = json.dumps({"format": "handwheel-notes", "version": 1, "notes": [NOTE]})


@pytest.fixture
def place(tmp_path: Path) -> Iterator[Path]:
    """A small shop with a site that was built before, and notes to take in."""
    write_shop(tmp_path)
    (tmp_path / "notes.json").write_text(NOTES, "utf-8")
    for name in ("site/assets", "closed"):
        (tmp_path / name).mkdir(parents=True)
    (tmp_path / "site/assets/handwheel.css").write_text("before")
    (tmp_path / "site/index.html").write_text("before")
    yield tmp_path
    (tmp_path / "closed").chmod(0o755)


def run(place: Path, command: str, largest: int | None = None, strict: bool = False) -> tuple[int, str]:
    """Exit code and what was said."""

    def limit() -> None:
        if largest is not None:
            resource.setrlimit(resource.RLIMIT_FSIZE, (largest, largest))
        if strict:
            ctypes.CDLL(None).prctl(PR_CAPBSET_DROP, CAP_DAC_OVERRIDE, 0, 0, 0)

    line = [sys.executable, "-B", "-m", "handwheel", *command.split()]
    env = os.environ | {"PYTHONDONTWRITEBYTECODE": "1", "HOME": str(place)}
    done = subprocess.run(
        line, cwd=place, env=env, capture_output=True, text=True, timeout=300, check=False, preexec_fn=limit
    )
    return done.returncode, done.stderr


COMMANDS = {
    "build shop": "site cannot be written: file too large",
    "build shop --to fresh": "fresh cannot be written: file too large",
    "export shop --to plain": "plain cannot be written: file too large",
    "publish www shop --no-walk": "file too large",
    "new other --no-questions": "other cannot be made: File too large",
    "take-in notes.json shop --accept all": "file too large",
    "schema --write shop": "file too large",
}


SLOW = ("build shop --to", "export", "publish")


@pytest.mark.parametrize(
    "command", [pytest.param(each, marks=[pytest.mark.long] * each.startswith(SLOW)) for each in COMMANDS]
)
def test_a_full_disk(place: Path, command: str) -> None:
    """Each command that writes: code 2, a line, and every file as it was."""
    before = files_in(place)
    code, said = run(place, command, largest=1_000)
    assert (code, COMMANDS[command] in said, "Traceback" in said) == (2, True, False), said
    left = files_in(place)
    left.pop("www.releases/.lock", None)
    assert left == before


@pytest.mark.parametrize(
    "command",
    [
        pytest.param("build shop --to closed/site", marks=pytest.mark.long),
        pytest.param("publish closed/www shop --no-walk", marks=pytest.mark.long),
        "new closed/shop --no-questions",
    ],
)
def test_a_closed_folder(place: Path, command: str) -> None:
    """What may not be written is named."""
    (place / "closed").chmod(0o555)
    code, said = run(place, command, strict=True)
    assert (code, "ermission denied" in said, "Traceback" in said) == (2, True, False), said
    assert list((place / "closed").iterdir()) == []


@pytest.mark.long
@pytest.mark.parametrize("command", ["check shop", "build shop", "publish www shop --no-walk"])
def test_killed(place: Path, command: str) -> None:
    """At five moments: what was there is there, and the next run takes away what was left."""
    before = files_in(place)
    line = [sys.executable, "-B", "-m", "handwheel", *command.split()]
    for seconds in (0.3, 0.8, 1.3, 1.8, 2.4):
        with subprocess.Popen(line, cwd=place, stderr=subprocess.DEVNULL) as work:
            time.sleep(seconds)
            work.send_signal(signal.SIGKILL)
        own = {name: data for name, data in files_in(place).items() if not name.startswith((".site", "www", "site/"))}
        assert own == {name: data for name, data in before.items() if not name.startswith("site/")}
        home = (place / "site/index.html").read_text()
        assert home == "before" or home.rstrip().endswith("</html>")
    code, said = run(place, command)
    assert code == 0, said
    assert [each.name for each in place.iterdir() if each.name.startswith(".")] == []


def test_what_was_not_built_is_never_replaced(tmp_path: Path) -> None:
    """A folder of one's own, or a file."""
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine/letter.txt").write_text("mine")
    (tmp_path / "file").write_text("mine")
    for name in ("mine", "file"):
        with pytest.raises(HandwheelError), written_whole(tmp_path / name) as folder:
            (folder / "x").write_text("x")
    assert sorted(files_in(tmp_path)) == ["file", "mine/letter.txt"]


def test_hidden_files_of_a_site_stay(tmp_path: Path) -> None:
    """A repository in the folder of the site is the person's, not the site's."""
    for name in ("site/.git/config", "site/assets/handwheel.css", "site/old.html"):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text("old")
    with written_whole(tmp_path / "site") as folder:
        (folder / "new.html").write_text("new")
    assert sorted(files_in(tmp_path)) == ["site/.git/config", "site/new.html"]


def test_an_exchange_cut_short_is_put_back(tmp_path: Path) -> None:
    """Killed between the two moves: the old site comes back before the next build."""
    (tmp_path / ".site.old-999999999/assets").mkdir(parents=True)
    (tmp_path / ".site.old-999999999/assets/handwheel.css").write_text("old")
    (tmp_path / ".site.new-999999999").mkdir()
    with pytest.raises(ZeroDivisionError), written_whole(tmp_path / "site"):
        raise ZeroDivisionError
    assert sorted(files_in(tmp_path)) == ["site/assets/handwheel.css"]
    assert [each.name for each in tmp_path.iterdir()] == ["site"]

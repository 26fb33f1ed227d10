"""Releases put in place: whole, in one step, and back again; never over what something else made."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

from handwheel.desk.placing import LOCK, Place, back, clean, digest_of, prepare, put, room
from handwheel.desk.taking_turns import alone
from handwheel.records.errors import HandwheelError


@pytest.fixture
def place(tmp_path: Path) -> Place:
    """A place in a folder of its own."""
    made = Place(tmp_path / "www")
    prepare(made)
    return made


def built(place: Place, **files: str) -> Path:
    """A site of a few files; `index_html` is `index.html`."""
    folder = room(place)
    for name, text in ({"index_html": "home"} | files).items():
        (folder / name.replace("_", ".")).write_text(text)
    return folder


def test_first_next_and_back(place: Place) -> None:
    """The first use, a second release, back, and a third after that has a number of its own."""
    first = put(place, built(place, index_html="one"))
    assert (place.target / "index.html").read_text() == "one" and first.changed
    second = put(place, built(place, index_html="two"))
    assert (place.target / "index.html").read_text() == "two"
    assert back(place) == first.release and (place.target / "index.html").read_text() == "one"
    with pytest.raises(HandwheelError, match="no release before"):
        back(place)
    third = put(place, built(place, index_html="three"))
    assert [each.name[:4] for each in place.all()] == ["0001", "0002", "0003"]
    assert place.current == third.release != second.release


def test_same_files_make_no_release(place: Place) -> None:
    """Dull: nothing changed, nothing is done."""
    put(place, built(place))
    again = put(place, built(place))
    assert not again.changed and len(place.all()) == 1 and clean(place) == 0


def test_last_few_are_kept(place: Place) -> None:
    """Never more than asked for, and always the one that is served."""
    for number in range(6):
        put(place, built(place, index_html=str(number)), keep=2)
    assert [(each / "index.html").read_text() for each in place.all()] == ["4", "5"]
    assert len(list(place.releases.glob("*.carried"))) == 2


def test_assets_stay_as_long_as_their_release(place: Place) -> None:
    """A browser that was given the old page a moment ago finds its style sheet; gone once its release is."""
    put(place, built(place, a_css="old"))
    put(place, built(place, b_css="new"), keep=1)
    assert (place.target / "a.css").read_text() == "old"
    put(place, built(place, c_css="newer"), keep=1)
    assert not (place.target / "a.css").exists() and (place.target / "b.css").exists()


def test_carried_files_do_not_change_the_digest(place: Place) -> None:
    """The name of a release speaks of what was built."""
    put(place, built(place, a_css="old"))
    fresh = built(place, b_css="new")
    digest = digest_of(fresh)
    assert put(place, fresh).release.name.endswith(digest)


@pytest.mark.parametrize("what", ["folder", "file", "link", "dangling"])
def test_what_is_not_ours_stays(tmp_path: Path, what: str) -> None:
    """It is said what to do."""
    target = tmp_path / "www"
    if what == "folder":
        target.mkdir()
        (target / "mine.html").write_text("mine")
    elif what == "file":
        target.write_text("mine")
    else:
        target.symlink_to(tmp_path if what == "link" else tmp_path / "gone")
    with pytest.raises(HandwheelError, match="move it away"):
        prepare(Place(target))
    assert os.path.lexists(target) and not (tmp_path / "www.releases").exists()


def test_leftovers_are_taken_away(place: Place) -> None:
    """What a killed run left."""
    put(place, built(place))
    (place.releases / ".new-1" / "deep").mkdir(parents=True)
    (place.releases / ".link-1").symlink_to("nowhere")
    assert clean(place) == 2
    assert sorted(each.name for each in place.releases.iterdir() if each.name.startswith(".")) in ([], [LOCK])


@pytest.mark.parametrize("call", ["fsync", "link", "rename"])
def test_full_disk_leaves_what_is_served(place: Place, monkeypatch: pytest.MonkeyPatch, call: str) -> None:
    """Whichever step the disk refuses."""
    put(place, built(place, index_html="one", a_css="old"))
    fresh = built(place, index_html="two", b_css="new")

    def full(*_: object, **__: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(*((Path, "rename") if call == "rename" else (os, call)), full)
    with pytest.raises(OSError, match="No space"):
        put(place, fresh)
    monkeypatch.undo()
    assert (place.target / "index.html").read_text() == "one" and (place.target / "a.css").read_text() == "old"
    assert clean(place) == 1 and len(place.all()) == 1


def test_two_at_once(place: Place) -> None:
    """The second says so, or waits and has its turn."""
    lock = place.releases / LOCK
    holder = "import sys,time; from pathlib import Path; from handwheel.desk.taking_turns import alone\n"
    holder += "with alone(Path(sys.argv[1])): print('held', flush=True); time.sleep(60)"
    with subprocess.Popen([sys.executable, "-c", holder, str(lock)], stdout=subprocess.PIPE, text=True) as other:
        assert other.stdout and other.stdout.readline() == "held\n"
        with pytest.raises(HandwheelError, match="another publishing is under way"), alone(lock):
            pass
        threading.Timer(0.5, other.kill).start()
        start = time.monotonic()
        with alone(lock, wait=30):
            assert time.monotonic() - start >= 0.3

"""A folder written whole or not at all: made beside its place, and moved there when nothing failed.

What a run leaves that is killed has a name of its own, beside the place, and the next run takes it away.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from handwheel.records.errors import HandwheelError

_NEW, _OLD = ".new-", ".old-"
_MARK = Path("assets", "handwheel.css")
"""What a folder holds that was built before."""


@contextmanager
def written_whole(target: Path) -> Iterator[Path]:
    """A folder to write into, that takes the place of the target at the end; hidden entries of the target stay.

    A folder on which a file system is mounted cannot be moved: there the files are written in place.

    Raises:
        HandwheelError: the target holds something that was not built, or cannot be written; it is as it was.
    """
    place = target.resolve()
    _refuse_foreign(place, target)
    try:
        _take_leftovers_away(place)
        if place.is_mount():
            yield place
            return
        fresh = _beside(place, _NEW)
        fresh.mkdir(parents=True)
        try:
            yield fresh
            _exchange(fresh, place)
        finally:
            shutil.rmtree(fresh, ignore_errors=True)
    except OSError as error:
        raise HandwheelError(f"{target} cannot be written: {told(error)}; what was there is as it was") from None


def told(error: OSError) -> str:
    """What the system refused, in a few words."""
    why = error.strerror or str(error)
    return f"{why[:1].lower()}{why[1:]}" + (f" ({error.filename})" if error.filename else "")


def _refuse_foreign(place: Path, shown: Path) -> None:
    if not place.exists():
        return
    if not place.is_dir():
        raise HandwheelError(f"{shown} is a file; name a folder to write the site into")
    if not (place / _MARK).exists() and any(not each.name.startswith(".") for each in place.iterdir()):
        raise HandwheelError(
            f"{shown} holds files that were not built by this command, so it is left as it is; "
            "name a new or empty folder with --to"
        )


def _beside(place: Path, mark: str) -> Path:
    return place.with_name(f".{place.name}{mark}{os.getpid()}")


def _take_leftovers_away(place: Path) -> None:
    """What killed runs left; an old site whose exchange was cut short is put back first."""
    if not place.parent.is_dir():
        return
    for mark in (_OLD, _NEW):
        for each in place.parent.glob(f".{place.name}{mark}*"):
            if _ended(each.name.rpartition("-")[2]):
                if mark == _OLD and not place.exists():
                    each.rename(place)
                else:
                    shutil.rmtree(each)


def _ended(process: str) -> bool:
    try:
        os.kill(int(process), 0)
    except (ProcessLookupError, ValueError, OverflowError):
        return True
    except PermissionError:
        return False
    return False


def _exchange(fresh: Path, place: Path) -> None:
    old = _beside(place, _OLD)
    if place.exists():
        place.rename(old)
    try:
        fresh.rename(place)
    except OSError:
        if old.exists():
            old.rename(place)
        raise
    if old.exists():
        for each in old.iterdir():
            if each.name.startswith(".") and not (place / each.name).exists():
                each.rename(place / each.name)
        shutil.rmtree(old, ignore_errors=True)

"""Puts a finished site in place whole: a folder for each release, and a symbolic link that is exchanged in one step.

    site -> site.releases/0007-3f9c1a2b40de
    site.releases/0006-..., 0007-..., .lock

A reader finds the release before or the one after, never a part of each file. `rename` over an existing name is
atomic on POSIX file systems (IEEE Std 1003.1, rename()), and the link is made anew under another name first.
"""

from __future__ import annotations

import hashlib
import os
import re
import shutil
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from handwheel.records.errors import HandwheelError

KEEP = 3
LOCK = ".lock"
_RELEASE = re.compile(r"(\d{4,})-[0-9a-f]{12}")
_UNDER_WAY = ".new-"
_LINK = ".link-"
_CARRIED = "carried"
"""Ending of the file beside a release that names what it carries over from the one before."""


@dataclass(frozen=True)
class Place:
    """Where a site is served from."""

    target: Path
    """What the web server serves; a symbolic link."""

    @property
    def releases(self) -> Path:
        """The folder of releases, beside the target, so that all lies on one file system."""
        return self.target.with_name(f"{self.target.name}.releases")

    def all(self) -> list[Path]:
        """Whole releases, oldest first."""
        if not self.releases.is_dir():
            return []
        found = [each for each in self.releases.iterdir() if _RELEASE.fullmatch(each.name) and each.is_dir()]
        return sorted(found, key=number_of)

    @property
    def current(self) -> Path | None:
        """The release that is served; none before the first."""
        if not self.target.is_symlink():
            return None
        served = self.target.parent / self.target.readlink()
        return self.releases / served.name if served.is_dir() else None


@dataclass(frozen=True)
class Placed:
    """What was done."""

    release: Path
    changed: bool
    """False: the same files are served already."""
    dropped: tuple[Path, ...] = ()
    """Old releases that were taken away."""


def number_of(release: Path) -> int:
    """The number of a release."""
    return int(release.name.partition("-")[0])


def prepare(place: Place) -> None:
    """Make the folder of releases; refuse a target that is not ours.

    Raises:
        HandwheelError: the target is a folder, a file or a link that something else made.
    """
    target = place.target
    ours = target.is_symlink() and target.readlink().parts[:1] == (place.releases.name,)
    if os.path.lexists(target) and not ours:
        what = "a link that leads elsewhere" if target.is_symlink() else "a folder" if target.is_dir() else "a file"
        raise HandwheelError(
            f"{target} is {what} that was not published by this command, so it is left as it is; "
            f"move it away (mv {target} {target}.before) and publish again, or name another target"
        )
    place.releases.mkdir(parents=True, exist_ok=True)


def clean(place: Place) -> int:
    """Take away what a run left that was killed; return how many things. Only under the lock."""
    left = [each for each in place.releases.iterdir() if each.name.startswith((_UNDER_WAY, _LINK))]
    for each in left:
        _remove(each)
    return len(left)


def room(place: Place) -> Path:
    """A new empty folder to build into, on the file system of the releases."""
    made = place.releases / f"{_UNDER_WAY}{os.getpid()}"
    made.mkdir()
    return made


def put(place: Place, built: Path, keep: int = KEEP) -> Placed:
    """Make what was built the release that is served, and keep the last few."""
    digest = digest_of(built)
    served = place.current
    if served and served.name.endswith(digest):
        _remove(built)
        return Placed(served, changed=False)
    carried = carry_over(place.all(), built)
    release = place.releases / f"{_next(place):04d}-{digest}"
    _settle(built)
    release.with_suffix(f".{_CARRIED}").write_text("".join(f"{each}\n" for each in carried), "utf-8")
    built.rename(release)
    _sync(place.releases)
    serve(place, release)
    return Placed(release, changed=True, dropped=prune(place, keep))


def carry_over(kept: Sequence[Path], built: Path) -> tuple[str, ...]:
    """Link files into what was built that only pages served a moment ago ask for: styles, scripts, pictures.

    A page that a browser was given before the exchange names its assets; they are there after it, too, as long as the
    release that they were built for is kept.
    """
    carried = []
    for release in reversed(kept):
        for path in _own_assets(release):
            if not (built / path).exists():
                (built / path).parent.mkdir(parents=True, exist_ok=True)
                os.link(release / path, built / path)
                carried.append(path)
    return tuple(carried)


def _own_assets(release: Path) -> list[str]:
    """Files of a release that are no pages and that it was built with."""
    once = release.with_suffix(f".{_CARRIED}")
    not_own = set(once.read_text("utf-8").splitlines()) if once.exists() else set()
    return [path for path in files_of(release) if path not in not_own and not path.endswith(".html")]


def back(place: Place) -> Path:
    """Serve the release before the one that is served."""
    served = place.current
    before = [each for each in place.all() if served and number_of(each) < number_of(served)]
    if not before:
        raise HandwheelError(f"{place.target}: no release before this one is kept")
    serve(place, before[-1])
    return before[-1]


def serve(place: Place, release: Path) -> None:
    """Exchange the link in one step."""
    fresh = place.releases / f"{_LINK}{os.getpid()}"
    fresh.symlink_to(Path(place.releases.name) / release.name)
    fresh.replace(place.target)
    _sync(place.target.parent)


def prune(place: Place, keep: int) -> tuple[Path, ...]:
    """Take old releases away; never the one that is served, nor any after it."""
    served = place.current
    kept = set(place.all()[-max(keep, 1) :]) | {served}
    dropped = tuple(each for each in place.all() if each not in kept)
    for each in dropped:
        hidden = each.with_name(f"{_UNDER_WAY}{each.name}")
        each.rename(hidden)  # half a release is never seen as one, when it is killed here
        _remove(hidden)
        each.with_suffix(f".{_CARRIED}").unlink(missing_ok=True)
    return dropped


def files_of(folder: Path) -> list[str]:
    """Paths of all files under a folder, with forward slashes, in order."""
    return sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file())


def digest_of(folder: Path) -> str:
    """Twelve hexadecimal digits of the SHA-256 of names and contents."""
    digest = hashlib.sha256()
    for path in files_of(folder):
        digest.update(f"{path}\0{hashlib.sha256((folder / path).read_bytes()).hexdigest()}\n".encode())
    return digest.hexdigest()[:12]


def _next(place: Place) -> int:
    return max(map(number_of, place.all()), default=0) + 1


def _settle(folder: Path) -> None:
    """Have the disk hold every file before the name is given, and let the server's user read them."""
    for path in [folder, *folder.rglob("*")]:
        if not path.is_symlink():
            path.chmod(path.stat().st_mode | (0o555 if path.is_dir() else 0o444))
            _sync(path)


def _sync(path: Path) -> None:
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _remove(path: Path) -> None:
    if path.is_dir() and not path.is_symlink():
        shutil.rmtree(path)
    else:
        path.unlink(missing_ok=True)

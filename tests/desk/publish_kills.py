"""A publisher that puts one of two small sites in place over and over, to be killed; run as a program."""

from __future__ import annotations

import sys
from itertools import count
from pathlib import Path

from handwheel.desk.placing import LOCK, Place, clean, prepare, put, room
from handwheel.desk.taking_turns import alone

PAGES = 8


def write(folder: Path, mark: str) -> None:
    """A site whose pages all bear the mark, and name a style sheet whose name bears it."""
    for number in range(PAGES):
        body = f"{mark} " * 2000
        text = f'<!doctype html><link rel="stylesheet" href="{mark}.css"><p>{body}</p><!-- end of {mark} -->'
        (folder / f"page{number}.html").write_text(text)
    (folder / f"{mark}.css").write_text(f"/* {mark} */")


def publish(place: Place, mark: str) -> None:
    """One site in place, as the command does it."""
    prepare(place)
    with alone(place.releases / LOCK, wait=10):
        clean(place)
        built = room(place)
        write(built, mark)
        put(place, built, keep=3)


if __name__ == "__main__":
    print("begun", flush=True)
    for turn in count(int(sys.argv[2])):
        publish(Place(Path(sys.argv[1])), f"mark{turn}")

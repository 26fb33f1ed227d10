"""The publisher killed (SIGKILL) at random points while a web server serves what it puts in place to readers."""

from __future__ import annotations

import re
import subprocess
import sys
import threading
import time
import urllib.request
from collections.abc import Iterator
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from random import Random

import pytest
from publish_kills import PAGES, publish

from handwheel.desk.placing import Place

PROGRAM = Path(__file__).with_name("publish_kills.py")


class Quiet(SimpleHTTPRequestHandler):
    """Says nothing."""

    def log_message(self, *_: object) -> None:
        """Nothing."""


@pytest.fixture
def address(tmp_path: Path) -> Iterator[str]:
    """A server of the folder above the target: the site lies under `/www/`."""
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=str(tmp_path)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}/www"
    server.shutdown()
    server.server_close()


def read(address: str) -> str:
    """One answer; an error answer is an error here."""
    with urllib.request.urlopen(address, timeout=10) as answer:
        text: str = answer.read().decode()
    return text


def judged(address: str, number: int) -> str:
    """The mark of a page that came whole, of one release, and whose style sheet came, too."""
    text = read(f"{address}/page{number % PAGES}.html")
    marks = set(re.findall(r"mark\d+", text))
    assert len(marks) == 1, marks
    mark = marks.pop()
    assert text.endswith(f"<!-- end of {mark} -->") and text.count(mark) == 2002
    assert read(f"{address}/{mark}.css") == f"/* {mark} */"
    return mark


def reader(address: str, stop: threading.Event, seen: list[str], wrong: list[str]) -> None:
    """Reads on until told to stop."""
    number = 0
    while not stop.is_set():
        number += 1
        try:
            seen.append(judged(address, number))
        except Exception as error:
            wrong.append(f"{type(error).__name__}: {error}")


def killed(target: Path, address: str, times: int, seed: int) -> tuple[list[str], list[str]]:
    """Kill so many publishers, each after a time drawn from the seed, under two readers; what they saw."""
    draw, seen, wrong, stop = Random(seed), list[str](), list[str](), threading.Event()
    publish(Place(target), "mark0")
    readers = [threading.Thread(target=reader, args=(address, stop, seen, wrong)) for _ in range(2)]
    for each in readers:
        each.start()
    try:
        for turn in range(times):
            command = [sys.executable, str(PROGRAM), str(target), str(1 + 1000 * turn)]
            with subprocess.Popen(command, stdout=subprocess.PIPE) as publisher:
                assert publisher.stdout
                publisher.stdout.readline()  # however long a loaded machine takes to start it
                time.sleep(draw.uniform(0.0, 0.5))
                publisher.kill()
    finally:
        stop.set()
        for each in readers:
            each.join()
    return seen, wrong


def check(target: Path, address: str, times: int, seed: int) -> None:
    seen, wrong = killed(target, address, times, seed)
    assert wrong == []
    assert len(set(seen)) > 3 and len(seen) > times, "the readers saw too little to judge by"
    publish(Place(target), "mark999999")
    assert judged(address, 0) == "mark999999"
    left = [each.name for each in Place(target).releases.iterdir() if each.name.startswith((".new", ".link"))]
    assert left == [] and len(Place(target).all()) <= 4


def test_killed(tmp_path: Path, address: str) -> None:
    """Twenty times."""
    check(tmp_path / "www", address, 20, seed=7)


@pytest.mark.long
def test_killed_often(tmp_path: Path, address: str) -> None:
    """Four hundred times."""
    check(tmp_path / "www", address, 400, seed=11)

"""A second process changes when runs are made, and nothing that is found."""

from __future__ import annotations

import os
import sys
import threading
from collections.abc import Callable
from itertools import islice
from pathlib import Path
from typing import Any

import pytest
import yaml

from handwheel.checks import making_runs, second_process
from handwheel.checks.bench import Bench
from handwheel.checks.registry import all_rules
from handwheel.checks.report import Report
from handwheel.checks.runner import judge
from handwheel.checks.second_process import SecondProcess
from handwheel.reading.load import load

HERE = Path(__file__).parent
SHOP = HERE.parent / "mutants" / "shop" / "shop.yaml"
PLANTED: list[dict[str, Any]] = yaml.safe_load((HERE / "planted_runs.yaml").read_text("utf-8"))
FIRST = ("agent-harms", "left-off", "late-caution", "not-set-again")
"""Rules with whose mistakes it is tried each time."""

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="this system cannot copy a process")


def numbers(count: int, work: Callable[[int], Any], here: int = 0) -> tuple[list[int], dict[int, Any]]:
    """The pieces taken here, as many as said at most, and the answers of the second process."""
    second = SecondProcess(range(count), work)
    try:
        return list(islice(second.taken(), here)), dict(second.answers())
    finally:
        second.close()


def test_each_piece_is_done_once() -> None:
    taken, answers = numbers(300, lambda number: number * number, here=100)
    assert sorted((*taken, *answers)) == list(range(300))
    assert all(answers[number] == number * number for number in answers)


def test_answers_larger_than_a_pipe_arrive() -> None:
    _, answers = numbers(3, lambda number: str(number) * 1_000_000)
    assert {number: len(told) for number, told in answers.items()} == dict.fromkeys(range(3), 1_000_000)


def test_one_that_fails_has_no_answers() -> None:
    def fails(number: int) -> int:
        return 1 // (number - 2)

    assert numbers(5, fails)[1] == {}


def test_one_that_is_killed_has_no_answers() -> None:
    assert numbers(5, lambda _: os.kill(os.getpid(), 9))[1] == {}


def test_one_that_nobody_waits_for_is_ended() -> None:
    second = SecondProcess(range(2), lambda _: threading.Event().wait())
    child = second._child
    second.close()
    with pytest.raises(ProcessLookupError):
        os.kill(child, 0)


def test_there_is_none_where_the_system_refuses_it(monkeypatch: pytest.MonkeyPatch) -> None:
    def refused() -> int:
        raise BlockingIOError(11, "no more processes")

    monkeypatch.setattr(second_process, "room", lambda: True)
    monkeypatch.setattr(os, "fork", refused)
    assert second_process.second_process(range(9), str) is None


def test_there_is_none_with_one_processor_or_beside_a_thread(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setattr(threading, "active_count", lambda: 1)
    monkeypatch.setattr(os, "sched_getaffinity", lambda _: {0, 1}, raising=False)
    assert second_process.room()
    monkeypatch.setattr(os, "sched_getaffinity", lambda _: {0}, raising=False)
    assert not second_process.room()
    monkeypatch.setattr(os, "sched_getaffinity", lambda _: {0, 1}, raising=False)
    monkeypatch.setattr(threading, "active_count", lambda: 2)
    assert not second_process.room()


def planted() -> Any:
    seen: set[str] = set()
    for each in PLANTED:
        if each["rule"] in FIRST and each["rule"] not in seen:
            seen.add(each["rule"])
            yield pytest.param(each, id=each["rule"])
    yield pytest.param(PLANTED, id="all", marks=pytest.mark.long)
    yield pytest.param({"old": "", "new": ""}, id="none")


@pytest.mark.parametrize("mistakes", tuple(planted()))
def test_the_report_is_the_same(mistakes: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(second_process, "room", lambda: True)
    for mistake in mistakes if isinstance(mistakes, list) else [mistakes]:
        text = SHOP.read_text("utf-8")
        for old, new in [(mistake["old"], mistake["new"]), *mistake.get("and", [])]:
            text = text.replace(old, new, 1)
        (tmp_path / "shop.yaml").write_text(text, "utf-8")
        alone, _ = judged(tmp_path, shared=False)
        together, elsewhere = judged(tmp_path, shared=True)
        assert together == alone
        assert elsewhere or alone.findings


def judged(folder: Path, *, shared: bool) -> tuple[Report, int]:
    """The report, and how many jobs the second process made and had nothing to tell of; it makes all that it can."""
    bench = Bench(load([folder]))
    if not shared:
        return judge(bench, all_rules()), 0
    with bench.runs.shared(), pytest.MonkeyPatch.context() as patched:
        patched.setattr(SecondProcess, "taken", lambda _: iter(()))
        report = judge(bench, all_rules())
    return report, sum(bool(one.heads and not one.runs) for one in bench.runs._made)


def test_a_run_with_a_violation_is_not_clean(tmp_path: Path) -> None:
    mistake = next(each for each in PLANTED if each["rule"] == "left-off")
    (tmp_path / "shop.yaml").write_text(SHOP.read_text("utf-8").replace(mistake["old"], mistake["new"], 1), "utf-8")
    library = load([tmp_path])
    every = [making_runs.made(library, task) for task in Bench(library).runs._tasks]
    clean = [making_runs.heads_if_clean(library, one) for one in every]
    assert None in clean
    wrong = [any(run.trace.violations for run in one.runs) for one in every]
    assert all(told is None for told, bad in zip(clean, wrong, strict=True) if bad)

"""Seconds to check a shop cold: import, read, simulate, judge by every rule. Run: `python bench/checks.py`.

The made-up shop has 50 procedures of 20 steps in one job, on families of up to 25 variants, three features of which
are swapped often. Each measurement is a process of its own; all runs in one thread. Seconds are of the processor,
which is what a clock shows where nothing else runs; those of the clock stand beside them. Last, the command itself on
the demo, by the clock and from the start of Python to its end: it shares the runs with a second process where the
machine has another processor to spare.
Goals: 100 variants in under 10 s, the command on the demo in under 2 s.
"""

from __future__ import annotations

import gc
import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from handwheel.procedures.simulate.run import Run

ROOT = Path(__file__).parents[1]
AREAS, PARTS, IN_FAMILY = 25, 8, 25
FEATURES = {"lamp": "often", "winder": "often", "tension": "often", "finish": "never", "hook": "never"}
FORMS = ("plain", "round", "square")
SIZES = (10, 30, 100, 300, 1000)
GOALS = {"100": 10.0, "command": 2.0}
TIMES = 7
COLUMNS = ("variants", "machines", "findings", "import", "read", "simulate", "rules", "all", "clock")


def made_up(variants: int) -> str:
    """A sound shop as YAML: what an area strips, its refit puts back, sets and oils."""
    return "\n".join(
        ("families:", *_families(variants), "variants:", *_variants(variants), "features:", *_features(), *_areas())
    )


def _families(variants: int) -> Iterator[str]:
    for family in range(-(-variants // IN_FAMILY)):
        yield f"  f{family}: {{name: Family {family}}}"


def _variants(variants: int) -> Iterator[str]:
    for number in range(variants):
        forms = ", ".join(f"{name}: {FORMS[number // (n + 1) % 3]}" for n, name in enumerate(FEATURES))
        first = 1900 + number % 50
        yield (
            f"  v{number}: {{name: Variant {number}, family: f{number // IN_FAMILY}, "
            f"made: {{from: {first}, to: {first + 2}}}, features: {{{forms}}}}}"
        )


def _features() -> Iterator[str]:
    for name, swapped in FEATURES.items():
        forms = ", ".join(f"{form}: {form}" for form in FORMS)
        yield f"  {name}: {{name: {name}, ask: Which {name}?, swapped: {swapped}, forms: {{{forms}}}}}"


def _areas() -> Iterator[str]:
    areas = range(AREAS)
    yield from ("parts:", "  head: {name: head, root: true}")
    for area in areas:
        for n in range(PARTS):
            front = f", behind: [a{area}-p{n - 1}]" if n else ""
            yield f"  a{area}-p{n}: {{name: piece {area} {n}{_when(area, n)}{front}}}"
    yield "fasteners:"
    for area in areas:
        for n in range(PARTS):
            yield f"  a{area}-s{n}: {{name: screw {area} {n}, holds: [a{area}-p{n}]}}"
    yield "settings:"
    yield from (f"  a{area}-throw: {{name: throw {area}, held_by: [a{area}-s1]}}" for area in areas)
    yield "lubricants: {oil: {name: oil, form: oil}}"
    yield "oiling_points:"
    yield from (f"  a{area}-point: {{between: [a{area}-p0], lubricant: oil}}" for area in areas)
    yield from ("procedures:", "  take-in: {area: take in, steps: [{id: looked, do: Look at it.}]}")
    for area in areas:
        yield from _strip(area)
        yield from _refit(area)
    yield "  hand-over: {area: hand over, steps: [{id: told, do: Hand it over., hands_over: true}]}"
    order = [*(f"strip-{area}" for area in areas), *(f"refit-{area}" for area in reversed(areas))]
    yield f"jobs: {{all: {{title: All of it, start: in-order, procedures: [take-in, {', '.join(order)}, hand-over]}}}}"


def _when(area: int, n: int) -> str:
    """Two parts of each area are there on some machines only."""
    feature = tuple(FEATURES)[(area + n) % len(FEATURES)]
    return f", when: {{{feature}: {('plain', '[round, square]')[n == 5]}}}" if n in (3, 5) else ""


def _strip(area: int) -> Iterator[str]:
    yield f"  strip-{area}:"
    yield f"    aim: {{apart: [{', '.join(f'a{area}-p{n}' for n in range(PARTS))}]}}"
    yield from ("    steps:", f"      - {{id: marked, do: Mark the throw., marks: [a{area}-throw]}}")
    for n in range(PARTS):
        when = _when(area, n)
        yield f"      - {{id: undone-{n}, do: Undo the screw.{when}, undoes: [a{area}-s{n}]}}"
        yield f"      - {{id: off-{n}, do: Lift the piece off.{when}, removes: [a{area}-p{n}]}}"
    yield from (f"      - {{id: words-{n}, do: Keep the pieces in order.}}" for n in range(3))


def _refit(area: int) -> Iterator[str]:
    yield f"  refit-{area}:"
    yield f"    area: refit\n    aim: {{fitted: [a{area}-p0], set: [a{area}-throw], oiled: [a{area}-point]}}"
    yield "    steps:"
    for n in reversed(range(PARTS)):
        when = _when(area, n)
        yield f"      - {{id: on-{n}, do: Fit the piece.{when}, fits: [a{area}-p{n}], leaves: loose}}"
        yield f"      - {{id: tight-{n}, do: Tighten the screw.{when}, tightens: [a{area}-s{n}]}}"
    yield f"      - {{id: set, do: Set the throw., sets: [a{area}-throw]}}"
    yield f"      - {{id: oiled, do: Drop oil on it., lubricates: [a{area}-point]}}"
    yield "      - {id: kept, do: Write the throw down.}\n      - {id: looked, do: Look along it.}"


def measured(folders: list[Path]) -> dict[str, float]:
    """Seconds by phase in this process, which began just now."""
    gc.disable()  # as the command does
    clock, marks = time.perf_counter(), [time.process_time()]
    from handwheel.checks.bench import Bench  # noqa: PLC0415 - what importing costs is part of it
    from handwheel.checks.registry import all_rules  # noqa: PLC0415
    from handwheel.checks.runner import judge  # noqa: PLC0415
    from handwheel.reading.load import load  # noqa: PLC0415

    rules = all_rules()
    marks.append(time.process_time())
    bench = Bench(load(folders))
    marks.append(time.process_time())
    runs = bench.runs.all
    marks.append(time.process_time())
    report = judge(bench, rules)
    marks.append(time.process_time())
    spent = [after - before for before, after in pairwise(marks)]
    return {
        "variants": len(bench.library.variants),
        "machines": sum(_most_machines(runs).values()),
        "findings": len(report.findings),
        **dict(zip(("import", "read", "simulate", "rules"), spent, strict=True)),
        "all": marks[-1] - marks[0],
        "clock": time.perf_counter() - clock,
    }


def _most_machines(runs: Sequence[Run]) -> dict[str, int]:
    """Machines of each family, told apart as far as its jobs need it."""
    found: dict[str, int] = {}
    for run in runs:
        found[run.family] = max(found.get(run.family, 0), run.machines.bit_count())
    return found


def in_a_process(*folders: Path) -> dict[str, float]:
    """The same, from a start of Python."""
    command = [sys.executable, __file__, *map(str, folders)]
    found = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    figures: dict[str, float] = json.loads(found)
    return figures


def table() -> Iterator[tuple[str, dict[str, float]]]:
    """Each shop with its figures."""
    for size in SIZES:
        with tempfile.TemporaryDirectory() as folder:
            Path(folder, "shop.yaml").write_text(made_up(size), "utf-8")
            yield str(size), in_a_process(Path(folder))
    yield "demo", in_a_process(ROOT / "content", ROOT / "demo_content")


def command() -> list[float]:
    """Seconds by the clock of `handwheel check` on the demo, one process after the other; byte code is in place."""
    line = [sys.executable, "-c", "from handwheel.cli.main import main; main(['check', 'demo_content'])"]
    found = []
    for _ in range(TIMES + 1):
        clock = time.perf_counter()
        subprocess.run(line, capture_output=True, check=True, cwd=ROOT)
        found.append(time.perf_counter() - clock)
    return sorted(found[1:])


def main() -> None:
    """Print the table, and beside a goal whether it is met."""
    print("shop".ljust(6), *(name.rjust(10) for name in COLUMNS))
    for name, figures in table():
        cells = (f"{figures[each]:.2f}" if isinstance(figures[each], float) else str(figures[each]) for each in COLUMNS)
        print(name.ljust(6), *(cell.rjust(10) for cell in cells), _goal(name, figures["all"]), flush=True)
    took = command()
    processors = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count()
    print(f"handwheel check demo_content, {TIMES} times, {processors} processors: ", end="")
    print(f"least {took[0]:.2f} s, median {statistics.median(took):.2f} s", _goal("command", statistics.median(took)))


def _goal(name: str, took: float) -> str:
    if name not in GOALS:
        return ""
    return f"  goal {GOALS[name]:.0f} s: {'met' if took < GOALS[name] else 'missed'}"


if __name__ == "__main__":
    if len(sys.argv) > 1:
        print(json.dumps(measured([Path(each) for each in sys.argv[1:]])))
    else:
        main()

"""Mistakes planted by machine, by kind: caught, no difference, or survived. Run: `python bench/mutants.py`.

Every mistake that fits in the small shop of the tests is planted there, and every so many of those that fit in the
demo, where the rules and the kept answers alone judge: one job of the demo on one machine is beyond the simulator that
answers every question in every way. It fails where something that must be caught survives, and where something is found
though nothing is otherwise on any machine.

    --every N     of the small shop, one in N only; 0: none
    --demo N      of the demo, N mistakes of all kinds, drawn by a fixed lot (default 24)
    --must        of the demo, only those that must be caught
    --where TEXT  of the demo, only those whose place matches this regular expression
    --processes N how many are judged at a time (default 2)
    --told FILE   a line for each mistake as it is judged, so that a run that is stopped has told something
    --keep        write the kept answers anew, and nothing else
"""

from __future__ import annotations

import argparse
import random
import re
import shutil
import sys
import tempfile
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from multiprocessing import get_context
from pathlib import Path

ROOT = Path(__file__).parents[1]
sys.path[:0] = [str(ROOT / "tests" / folder) for folder in ("mutants", "procedures", "")]

from judging import MUST, SHOP, VERDICTS, Ground, Judged, as_text, reviewed  # noqa: E402 - lies with the tests
from planting import Mistake  # noqa: E402

_ground: list[Ground] = []


def _start(folders: list[Path], by_rules: bool) -> None:
    _ground[:] = [Ground(folders, by_rules)]


def _judge(place: int) -> Judged:
    return _ground[0].judge(*_ground[0].mistakes[place])


def judged(folders: list[Path], places: Sequence[int], by_rules: bool, options: argparse.Namespace) -> Iterator[Judged]:
    """Mistakes by their numbers."""
    with get_context("fork").Pool(options.processes, _start, (folders, by_rules)) as pool:
        for each in pool.imap(_judge, places, chunksize=1):
            if options.told:
                with Path(options.told).open("a", encoding="utf-8") as file:
                    file.write(f"{each.verdict}\t{each.mistake.kind}\t{each.mistake.where}\t{each.by}\n")
            yield each


def table(found: Sequence[Judged]) -> None:
    """A line for each kind, then those that survived with no reason in `tests/mutants/survivors.txt`."""
    kinds: dict[str, Counter[str]] = defaultdict(Counter)
    for each in found:
        kinds[each.mistake.kind][each.verdict] += 1
    print("kind".ljust(28), *(verdict.rjust(13) for verdict in VERDICTS))
    for kind, counts in sorted(kinds.items()):
        print(kind.ljust(28), *(str(counts[verdict] or "").rjust(13) for verdict in VERDICTS))
    print("all".ljust(28), *(str(sum(c[verdict] for c in kinds.values())).rjust(13) for verdict in VERDICTS))
    known = reviewed()
    for each in found:
        if each.failed or (each.verdict == "survived" and (each.mistake.kind, each.mistake.where) not in known):
            print(f"{each.verdict}: {each.mistake.kind}, {each.mistake.where}: {each.by}")


def in_order(mistakes: Sequence[tuple[str, Mistake]], must: bool = False) -> list[int]:
    """Numbers of the mistakes: those that must be caught first, each by a fixed lot, so that a part tells of all."""
    lot = random.Random(0)
    places = sorted(range(len(mistakes)), key=lambda _: lot.random())
    first = [place for place in places if MUST.match(mistakes[place][1].kind)]
    return first if must else [*first, *(place for place in places if place not in set(first))]


def small(options: argparse.Namespace) -> list[Judged]:
    """Of the small shop, each by the simulator that takes one machine at a time."""
    ground = Ground([SHOP])
    places = in_order(ground.mistakes)[:: options.every]
    found = list(judged([SHOP], places, False, options))
    print(f"small shop: {len(found)} of {len(ground.mistakes)} mistakes")
    table(found)
    return found


def demo(options: argparse.Namespace) -> list[Judged]:
    """Of the demo, as it stood when this began."""
    with tempfile.TemporaryDirectory() as room:
        folders = [Path(shutil.copytree(ROOT / name, Path(room, name))) for name in ("content", "demo_content")]
        fits = Ground(folders, by_rules=True).mistakes
        there = re.compile(options.where)
        places = [each for each in in_order(fits, options.must) if there.search(fits[each][1].where)]
        if not options.must:
            random.Random(1).shuffle(places)
        found = list(judged(folders, places[: options.demo], True, options))
    must = sum(MUST.match(each.kind) is not None for _, each in fits)
    print(f"demo: {len(found)} of {len(fits)} mistakes, {must} of which must be caught")
    table(found)
    return found


def main() -> int:
    """Print both tables."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--every", type=int, default=1)
    parser.add_argument("--demo", type=int, default=24)
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--told", default="")
    parser.add_argument("--must", action="store_true")
    parser.add_argument("--where", default="")
    parser.add_argument("--keep", action="store_true")
    options = parser.parse_args()
    if options.keep:
        Path(ROOT, "tests/mutants/kept.txt").write_text(as_text(Ground([SHOP]).kept), "utf-8")
        return 0
    found = [*(small(options) if options.every else []), *(demo(options) if options.demo else [])]
    return int(any(each.failed for each in found))


if __name__ == "__main__":
    sys.exit(main())

"""Mistakes planted by machine, by kind: caught, no difference, or survived. Run: `python bench/mutants.py`.

Every mistake that fits in the small shop of the tests is planted there, and a sample of those that must be caught in
the demo, where the rules and the kept answers alone judge: one job of the demo on one machine is beyond the simulator
that answers every question in every way. With a number, only every so many of them; with `keep`, the kept answers are
written anew. It fails where something that must be caught survives, and where something is found though nothing is
otherwise on any machine.
"""

from __future__ import annotations

import sys
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from multiprocessing import get_context
from pathlib import Path

ROOT = Path(__file__).parents[1]
sys.path[:0] = [str(ROOT / "tests" / folder) for folder in ("mutants", "procedures", "")]

from judging import MUST, SHOP, VERDICTS, Ground, Judged, as_text, reviewed  # noqa: E402 - lies with the tests

DEMO_SAMPLE = 24
_ground: list[Ground] = []


def _start(folders: list[Path], by_rules: bool) -> None:
    _ground[:] = [Ground(folders, by_rules)]


def _judge(place: int) -> Judged:
    return _ground[0].judge(*_ground[0].mistakes[place])


def judged(folders: list[Path], places: Sequence[int], by_rules: bool = False) -> Iterator[Judged]:
    """Mistakes by their numbers, two at a time."""
    with get_context("fork").Pool(2, _start, (folders, by_rules)) as pool:
        yield from pool.imap(_judge, places, chunksize=4)


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


def main() -> int:
    """Print both tables."""
    ground = Ground([SHOP])
    if sys.argv[1:] == ["keep"]:
        Path(ROOT, "tests/mutants/kept.txt").write_text(as_text(ground.kept), "utf-8")
        return 0
    every = int(sys.argv[1]) if sys.argv[1:] else 1
    small = list(judged([SHOP], range(0, len(ground.mistakes), every)))
    print(f"small shop: {len(small)} of {len(ground.mistakes)} mistakes")
    table(small)
    folders = [ROOT / "content", ROOT / "demo_content"]
    demo = Ground(folders, by_rules=True).mistakes
    must = [place for place, (_, mistake) in enumerate(demo) if MUST.match(mistake.kind)]
    sample = list(judged(folders, must[:: max(1, len(must) // DEMO_SAMPLE) * every], by_rules=True))
    print(f"demo: {len(sample)} of {len(must)} mistakes that must be caught, {len(demo)} in all")
    table(sample)
    return int(any(each.failed for each in (*small, *sample)))


if __name__ == "__main__":
    sys.exit(main())

"""The script shows of a machine as found what the resolver writes for it: to the letter, with the same looks."""

from __future__ import annotations

import random
import shutil
from functools import cache
from pathlib import Path

import pytest

from found_cases import expected, impossible, shown, some_known
from handwheel.machines.machine import Known
from handwheel.pages.found_data import FamilyData
from handwheel.pages.here import Desk
from handwheel.pages.step_html import StepWriter
from handwheel.procedures.resolve import Resolver
from handwheel.reading.load import load
from handwheel.reading.shipped import folders_of
from handwheel.records.library import Library

pytestmark = pytest.mark.skipif(shutil.which("node") is None, reason="node is not installed")


@cache
def demo_library() -> Library:
    return load(folders_of(Path(__file__).parents[2] / "demo_content"))


@cache
def data_of(family: str) -> FamilyData:
    return FamilyData(Desk(demo_library()), family)


def disagreements(data: FamilyData, known: list[Known], ask: list[list[str]], own_spaces: bool = False) -> list[object]:
    """Machines for which the script and the resolver differ; by itself the resolver picks a small space for each."""
    library = data.library
    resolver, writer = Resolver(library, data.family if own_spaces else data.space), StepWriter(library)
    found = shown(data, known, ask)
    assert len(found) == len(known)
    made = [expected(resolver, writer, data, each, asked) for each, asked in zip(known, ask, strict=True)]
    return [(each, asked) for each, asked, a, b in zip(known, ask, made, found, strict=True) if a != b]


def sample(data: FamilyData, seed: int, machines: int, each: int) -> tuple[list[Known], list[list[str]]]:
    rng = random.Random(seed)
    known = [Known(), *(some_known(rng, data.space) for _ in range(machines))]
    known += [impossible(rng, data.space) for _ in range(machines // 5)]
    procedures = list(data.procedures)
    return known, [rng.sample(procedures, min(each, len(procedures))) for _ in known]


@pytest.mark.parametrize("family", ["skerry", "holm"])
def test_a_fixed_sample_of_machines(family: str) -> None:
    """Machines known wholly, in part or not at all, some procedures each; and impossible ones."""
    data = data_of(family)
    assert disagreements(data, *sample(data, 7, 150, 4)) == []
    assert disagreements(data, *sample(data, 8, 10, 2), own_spaces=True) == []


@pytest.mark.parametrize("family", ["skerry", "holm"])
def test_every_procedure_of_a_machine_of_which_nothing_is_known(family: str) -> None:
    """Every look, every alternative and every fragment stands there."""
    data = data_of(family)
    assert disagreements(data, [Known()], [list(data.procedures)]) == []
    assert [each["html"] for each in shown(data, [Known()], [["lamp-off"]])[0] if "Look first" in each["html"]]


@pytest.mark.long
@pytest.mark.parametrize("seed", range(2))
@pytest.mark.parametrize("family", ["skerry", "holm"])
def test_all_procedures_of_three_hundred_machines(family: str, seed: int) -> None:
    data = data_of(family)
    assert disagreements(data, *sample(data, 100 + seed, 150, 1000), own_spaces=True) == []


def test_the_comparison_sees_a_planted_mistake() -> None:
    """A mask with one machine too many, in the data of the script alone."""
    data = FamilyData(Desk(demo_library()), "holm")
    known, ask = sample(data, 3, 25, 6)
    assert disagreements(data, known, ask) == []
    texts = data.compiler.texts
    data.compiler.texts = lambda: ["////" + text[4:] for text in texts()]  # type: ignore[method-assign]
    assert disagreements(data, known, ask) != []

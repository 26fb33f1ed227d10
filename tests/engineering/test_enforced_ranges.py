"""The validity range of each function of this floor is enforced, and its datasheet is whole.

Nothing is listed by hand: the worked example of a datasheet gives a sound call, and each number of that call is then
replaced by what can be none. A function that answers is one that extrapolates in silence.
"""

from __future__ import annotations

import ast
import doctest
import importlib
import inspect
import math
import pkgutil
import re
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

import pytest

import handwheel.engineering

BOOKKEEPING = {
    "perturb",
    "tables",
    "proofs",
    "thread_proofs",
    "lifting_proofs",
    "units",
    "unit_table",
    "ranges",
    "basis",
}
"""Modules that keep tables and units and work out no quantity."""
MODULES = sorted({m.name for m in pkgutil.iter_modules(handwheel.engineering.__path__)} - BOOKKEEPING)
NO_NUMBERS = (math.nan, -1e12, 1e12, math.inf)
ANY_NUMBER = {
    ("students_t", "degrees"): "endless degrees of freedom are the normal distribution (GUM, table G.2)",
    ("rectangular", "half_width"): "of any unit, so of any size; below nothing it is refused (test_uncertainty)",
    ("combine", "value"): "the value itself may be anything; its uncertainties are checked",
    ("percent", "probability"): "a probability in words; it is checked where it is made",
    ("told", "wanted"): "looked for where the sample makes a scale, and refused outside it (test_stitches)",
}
"""Numbers that may be anything, and why."""
LOOK_UPS = {"blades", "screw_metals", "hole_metals", "all_threads"}
"""Lists of what there is: no formula, no number."""


@dataclass(frozen=True)
class Sheet:
    """A public function with its docstring and the calls that its examples make of it."""

    module: str
    function: Callable[..., Any]

    @property
    def name(self) -> str:
        return self.function.__name__

    @property
    def text(self) -> str:
        return inspect.cleandoc(self.function.__doc__ or "")

    @property
    def numbers(self) -> tuple[str, ...]:
        """Parameters that are numbers."""
        told = inspect.signature(self.function).parameters.values()
        return tuple(each.name for each in told if re.match(r"float\b", str(each.annotation)))


def sheets() -> list[Sheet]:
    found = []
    for name in MODULES:
        module = importlib.import_module(f"handwheel.engineering.{name}")
        for key, function in inspect.getmembers(module, callable):
            plain = inspect.unwrap(function)
            if inspect.isfunction(plain) and plain.__module__ == module.__name__ and not key.startswith("_"):
                found.append(Sheet(name, plain))
    return found


SHEETS = sheets()
COMPUTING = [each for each in SHEETS if each.numbers]
ids = lambda each: f"{each.module}.{each.name}"  # noqa: E731 - a name for the ids of three tests


def calls(sheet: Sheet) -> Iterator[inspect.BoundArguments]:
    """Calls of the function in its own examples, with their arguments worked out."""
    module = importlib.import_module(f"handwheel.engineering.{sheet.module}")
    space = dict(vars(module))
    for example in doctest.DocTestParser().get_examples(sheet.function.__doc__ or ""):
        tree = ast.parse(example.source)
        for node in ast.walk(tree):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == sheet.name:
                with suppress(NameError):  # within a comprehension
                    yield _bound(sheet, node, space)
        if not example.exc_msg:
            exec(compile(tree, "example", "exec"), space)


def _bound(sheet: Sheet, node: ast.Call, space: dict[str, Any]) -> inspect.BoundArguments:
    def worked_out(part: ast.expr) -> Any:
        return eval(compile(ast.Expression(part), "example", "eval"), space)

    positional = [worked_out(part) for part in node.args]
    named = {part.arg: worked_out(part.value) for part in node.keywords if part.arg}
    bound = inspect.signature(sheet.function).bind(*positional, **named)
    bound.apply_defaults()
    return bound


def _answer(sheet: Sheet, call: inspect.BoundArguments) -> Any:
    told = sheet.function(*call.args, **call.kwargs)
    return list(told) if inspect.isgenerator(told) else told


def test_there_are_many() -> None:
    assert len(SHEETS) > 70
    assert len(COMPUTING) > 45
    assert set(ANY_NUMBER) <= {(each.name, number) for each in COMPUTING for number in each.numbers}


@pytest.mark.parametrize("sheet", SHEETS, ids=ids)
def test_a_datasheet_has_source_example_units_and_formula(sheet: Sheet) -> None:
    told, _, _ = sheet.text.partition(">>>")
    assert re.search(r"Sources?:", told), "it names no source"
    assert ">>>" in sheet.text, "it has no worked example"
    if sheet.name in LOOK_UPS:
        return
    if sheet.numbers:
        assert re.search(r"\[[^\]]+\]", told), "it tells no unit"
    assert re.search(r"Formula:|=", told), "it tells no formula"


@pytest.mark.parametrize("sheet", COMPUTING, ids=ids)
def test_what_can_be_none_is_refused(sheet: Sheet) -> None:
    made = next(calls(sheet), None)
    assert made is not None, "its example does not call it"
    _answer(sheet, made)
    answered = []
    for name in sheet.numbers:
        if (sheet.name, name) in ANY_NUMBER:
            continue
        for wrong in NO_NUMBERS:
            changed = inspect.BoundArguments(made.signature, made.arguments | {name: wrong})
            try:
                answered.append((name, wrong, _answer(sheet, changed)))
            except ValueError as refused:
                assert str(refused)
    assert answered == []

"""Every worked example on this floor runs, and every datasheet names what its function takes."""

from __future__ import annotations

import doctest
import importlib
import inspect
import pkgutil
import re
from collections.abc import Callable
from typing import Any

import pytest

import handwheel.engineering

MODULES = sorted(module.name for module in pkgutil.iter_modules(handwheel.engineering.__path__))
DATASHEETS = ("threads", "tightening", "stripping", "blades", "screws", "lookalikes", "window")


@pytest.mark.parametrize("name", MODULES)
def test_worked_examples_run(name: str) -> None:
    module = importlib.import_module(f"handwheel.engineering.{name}")
    assert doctest.testmod(module).failed == 0


def public_functions(name: str) -> list[Callable[..., Any]]:
    module = importlib.import_module(f"handwheel.engineering.{name}")
    members = inspect.getmembers(module, inspect.isfunction)
    return [f for key, f in members if f.__module__ == module.__name__ and not key.startswith("_")]


def functions_with_args() -> list[Callable[..., Any]]:
    found = [f for name in DATASHEETS for f in public_functions(name)]
    return [f for f in found if "Args:" in (f.__doc__ or "")]


def test_there_are_examples_and_datasheets() -> None:
    finder = doctest.DocTestFinder()
    tests = [t for name in MODULES for t in finder.find(importlib.import_module(f"handwheel.engineering.{name}"))]
    assert sum(len(t.examples) for t in tests) > 100
    assert len(functions_with_args()) >= 30


@pytest.mark.parametrize("function", functions_with_args(), ids=lambda f: f"{f.__module__}.{f.__name__}")
def test_a_datasheet_names_arguments_source_and_example(function: Callable[..., Any]) -> None:
    text = inspect.cleandoc(function.__doc__ or "")
    if function.__name__ == "check":  # refuses, and returns nothing to be sourced
        return
    block = text.partition("Args:\n")[2].partition("\n\n")[0]
    assert re.findall(r"^    (\w+):", block, re.MULTILINE) == list(inspect.signature(function).parameters)
    assert "Source:" in text
    assert ">>>" in text

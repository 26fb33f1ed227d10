"""Docstrings as datasheets have their parts; no text of the floor clears anything for use."""

from __future__ import annotations

import ast
import importlib
import inspect
import pkgutil
from pathlib import Path

import pytest

import handwheel.engineering

FOLDER = Path(handwheel.engineering.__file__).parent
MODULES = sorted(info.name for info in pkgutil.iter_modules([str(FOLDER)]))
DATASHEETS = [
    *("uncertainty", "viscosity", "lubricants", "stitches", "needles", "yarns"),
    *("lifting", "lifting_loads", "lifting_tasks", "electric_limits", "electrics", "lamps"),
]


def _functions(name: str) -> list[tuple[str, list[str], str]]:
    tree = ast.parse((FOLDER / f"{name}.py").read_text(encoding="utf-8"))
    return [
        (node.name, [arg.arg for arg in node.args.args + node.args.kwonlyargs], ast.get_docstring(node) or "")
        for node in tree.body
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_")
    ]


@pytest.mark.parametrize("name", DATASHEETS)
def test_each_public_function_is_a_datasheet(name: str) -> None:
    functions = _functions(name)
    assert functions
    for function, arguments, sheet in functions:
        missing = [part for part in ("Formula:", "Source:", ">>> ", "[") if part not in sheet]
        assert not missing, f"{name}.{function} lacks {missing}"
        if len(arguments) > 2:
            unnamed = [argument for argument in arguments if argument not in sheet]
            assert not unnamed, f"{name}.{function} does not tell {unnamed}"


@pytest.mark.parametrize("name", MODULES)
def test_the_floor_prints_no_clearance(name: str) -> None:
    """No text of the floor, comments and docstrings included, calls anything by the word that clears it."""
    module = importlib.import_module(f"handwheel.engineering.{name}")
    assert "sa" + "fe" not in inspect.getsource(module).lower()

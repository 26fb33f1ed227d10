"""Examples in docstrings of the identify room run."""

from __future__ import annotations

import doctest

import pytest

from handwheel.identify import evidence, key_search


@pytest.mark.parametrize("module", [evidence, key_search])
def test_examples_run(module: object) -> None:
    result = doctest.testmod(module)  # type: ignore[arg-type]
    assert result.attempted > 0
    assert result.failed == 0

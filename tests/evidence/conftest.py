from __future__ import annotations

from pathlib import Path

import pytest

from handwheel.reading.load import load
from handwheel.reading.shipped import folders_of
from handwheel.records.library import Library


@pytest.fixture(scope="session")
def demo() -> Library:
    """The shipped library with the demo shop over it."""
    return load(folders_of(Path(__file__).parents[2] / "demo_content"))

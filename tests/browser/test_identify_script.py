"""The identify script in a real browser, from the file system, answers as the engine does on a hundred cases."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from playwright.sync_api import Page

from identify_script_cases import SCRIPT, differences, make_cases

pytestmark = pytest.mark.browser


def test_script_agrees_in_a_browser(page: Page, tmp_path: Path) -> None:
    cases, expected = make_cases(seed=99, families=20, each=5)
    (tmp_path / "data.js").write_text(f"window.cases = {json.dumps(cases)};")
    scripts = "".join(f'<script src="{source}"></script>' for source in ("data.js", SCRIPT.as_uri()))
    start = tmp_path / "page.html"
    start.write_text(f"<!doctype html><title>cases</title>{scripts}")
    page.goto(start.as_uri())
    found = page.evaluate(
        "JSON.stringify(window.cases.map(c => c.evidence.map(e => handwheelIdentify.identify(c.family, e))))"
    )
    assert differences(expected, json.loads(found)) == []
    assert sum(map(len, expected)) == 100

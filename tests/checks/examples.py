"""Examples of rules, each read as a shop of its own over the small sound shop beside this file."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from pathlib import Path

from handwheel.checks.finding import Finding
from handwheel.checks.registry import rules_by_id
from handwheel.checks.report import Report
from handwheel.checks.rule import Rule
from handwheel.checks.runner import run
from handwheel.reading.load import load

SOUND = Path(__file__).parent / "sound.yaml"
SAID = "WEBVTT\n\n00:12:10.000 --> 00:12:14.000\nThe lamp, seen from below.\n"
DRAWING = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 4"><path d="M0 0h4"/></svg>\n'


def report_of(example: str, rules: Sequence[Rule] | None = None) -> Report:
    """What all rules say of the example; `figures/lamp.svg` and `recordings/evening-4.vtt` lie beside it."""
    with tempfile.TemporaryDirectory() as name:
        sound, shop = Path(name, "sound"), Path(name, "shop")
        for folder in (sound, shop / "figures", shop / "recordings"):
            folder.mkdir(parents=True)
        (sound / "sound.yaml").write_text(SOUND.read_text("utf-8"), "utf-8")
        (shop / "figures" / "lamp.svg").write_text(DRAWING, "utf-8")
        (shop / "recordings" / "evening-4.vtt").write_text(SAID, "utf-8")
        (shop / "shop.yaml").write_text(example, "utf-8")
        return run(load([sound, shop]), rules)


def ids_of(example: str) -> set[str]:
    """Rules that have a finding in the example."""
    return set(report_of(example).by_rule)


def findings_of(rule: str, example: str) -> tuple[Finding, ...]:
    """What one rule finds in the example."""
    return report_of(example, [rules_by_id()[rule]]).findings

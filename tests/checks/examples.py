"""Examples of rules, each read as a shop of its own over the small sound shop beside this file."""

from __future__ import annotations

import tempfile
from pathlib import Path

from handwheel.checks.report import Report
from handwheel.checks.runner import run
from handwheel.reading.load import load

SOUND = Path(__file__).parent / "sound.yaml"
DRAWING = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 4"><path d="M0 0h4"/></svg>\n'


def report_of(example: str) -> Report:
    """What all rules say of the example; a drawing `figures/lamp.svg` lies beside it."""
    with tempfile.TemporaryDirectory() as name:
        sound, shop = Path(name, "sound"), Path(name, "shop")
        for folder in (sound, shop / "figures"):
            folder.mkdir(parents=True)
        (sound / "sound.yaml").write_text(SOUND.read_text("utf-8"), "utf-8")
        (shop / "figures" / "lamp.svg").write_text(DRAWING, "utf-8")
        (shop / "shop.yaml").write_text(example, "utf-8")
        return run(load([sound, shop]))


def ids_of(example: str) -> set[str]:
    """Rules that have a finding in the example."""
    return set(report_of(example).by_rule)

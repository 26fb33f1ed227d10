"""Beside N m stands the force at the rim of a handle, under the step and in the table, for a bench without a driver."""

from __future__ import annotations

from pathlib import Path

from handwheel.pages.build import make_site
from handwheel.reading.shipped import folders_of
from written_small import SHOP, write_shop

SCREWED = SHOP.replace("lamp: bracket}, rests: true}", "lamp: bracket}}").replace(
    "procedures:\n",
    "fasteners:\n  bracket-screw: {name: bracket screw, holds: [lamp-bracket], tighten: 0.7 N m}\nprocedures:\n",
)


def test_under_the_step_and_in_the_table(tmp_path: Path) -> None:
    """By hand: 0.7 N m / 14 mm = 50 N."""
    site = make_site(folders_of(write_shop(tmp_path, SCREWED), None))
    pages = {page.path: page.html for page in site.pages}
    assert "0.7 N m (6.2 in lbf), 50 N at the rim of a 28 mm handle" in pages["fasteners.html"]
    lines = [html for path, html in pages.items() if path.startswith("on/") and "to 0.7 N m, 50 N at the rim" in html]
    assert lines

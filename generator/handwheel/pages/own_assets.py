"""The files that every site carries: style sheet, scripts, drawings and the typeface with its licence."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from handwheel.pages.site import Asset

FOLDER = Path(__file__).parent / "assets"
FOUND = "found.js"
"""Is put together with its data; see `found_pages`."""


@cache
def own_assets() -> tuple[Asset, ...]:
    """All files of `assets/`, under `assets/` in the site, in a fixed order."""
    files = sorted(path for path in FOLDER.rglob("*") if path.is_file() and path.name != FOUND)
    return tuple(Asset(f"assets/{path.relative_to(FOLDER).as_posix()}", path.read_bytes()) for path in files)

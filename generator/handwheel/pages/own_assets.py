"""The files that every site carries: style sheet, scripts, drawings and the typeface with its licence."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from handwheel.pages.site import Asset

FOLDER = Path(__file__).parent / "assets"


@cache
def own_assets() -> tuple[Asset, ...]:
    """All files of `assets/`, under `assets/` in the site, in a fixed order."""
    files = sorted(path for path in FOLDER.rglob("*") if path.is_file())
    return tuple(Asset(f"assets/{path.relative_to(FOLDER).as_posix()}", path.read_bytes()) for path in files)

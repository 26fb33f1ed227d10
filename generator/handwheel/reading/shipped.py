"""Where the library that every shop starts from lies."""

from __future__ import annotations

from pathlib import Path

import handwheel


def shipped_content() -> Path:
    """The folder of the shipped library: beside the source in a clone, inside the package when installed."""
    package = Path(handwheel.__file__).resolve().parent
    installed = package / "library"
    return installed if installed.is_dir() else package.parent.parent / "content"


def folders_of(shop: Path, library: Path | None = None) -> tuple[Path, ...]:
    """Layers of a shop: the library first, then the shop's own folder."""
    base = library if library is not None else shipped_content()
    return (base, shop) if base.resolve() != shop.resolve() else (shop,)

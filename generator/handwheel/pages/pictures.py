"""Pictures that are no line drawings: copied into the site as they are."""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.pages.figures import figure_file
from handwheel.pages.site import Asset
from handwheel.records.library import Library


def picture_assets(library: Library) -> Iterator[Asset]:
    """Every figure that is not put into its page as a drawing."""
    for record in library.of("figures").values():
        path = figure_file(library, record)
        if path is not None and path.suffix.lower() in (".png", ".jpg", ".jpeg", ".webp"):
            yield Asset(f"figures/{record.id}{path.suffix.lower()}", path.read_bytes())

"""Pictures that are no line drawings: made anew for the site, sized and with nothing in them but what is seen."""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.pages.figures import figure_file, picture_path
from handwheel.pages.site import Asset
from handwheel.reading.pictures import PictureError, is_picture, made_anew
from handwheel.records.errors import HandwheelError
from handwheel.records.library import Library


def picture_assets(library: Library) -> Iterator[Asset]:
    """Every figure that is not put into its page as a drawing."""
    for record in library.of("figures").values():
        path = figure_file(library, record)
        if path is not None and is_picture(path):
            try:
                yield Asset(picture_path(record), made_anew(path).content)
            except PictureError as error:
                raise HandwheelError(f"{record.where('file')}: '{record.file}' cannot be shown: {error}") from None

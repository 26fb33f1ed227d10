"""Figures: the shop's own line drawings, put into the page so that they take its colour and print with it."""

from __future__ import annotations

import re
from collections import Counter
from functools import lru_cache
from pathlib import Path, PurePosixPath

from markupsafe import Markup

from handwheel.pages.here import Here
from handwheel.reading.drawings import drawing_of
from handwheel.reading.folders import inside
from handwheel.reading.pictures import PictureError, is_picture, made_anew
from handwheel.records.library import Library
from handwheel.records.library_records import Figure

_DRAWINGS = re.compile(r"(?<=\">)<svg\b[^>]*>(?:(?!</svg>).)*</svg>", re.DOTALL)


def figure_html(here: Here, figure: str) -> Markup:
    """A figure with its caption; nothing where no figure is named."""
    if not figure:
        return Markup("")
    record: Figure = here.library.of("figures")[figure]
    drawing = _drawing(here.library, figure) or _picture(here, record)
    if drawing is None:
        return Markup("")
    caption = Markup("<figcaption>{}</figcaption>").format(record.caption) if record.caption else Markup("")
    if "<img" in drawing:
        return Markup('<figure class="hw-figure">{}{}</figure>').format(drawing, caption)
    return Markup('<figure class="hw-figure" role="img" aria-label="{}">{}{}</figure>').format(
        record.alt, drawing, caption
    )


def drawn_once(html: str) -> str:
    """The page with each drawing in it once; where it stands again it is taken from there, so that pages stay small."""
    repeated = [drawing for drawing, count in Counter(_DRAWINGS.findall(html)).items() if count > 1]
    for number, drawing in enumerate(repeated, 1):
        head, lines = _parted(drawing)
        first, *again = html.split(drawing)
        named = f'{head}<g id="hw-drawing-{number}">{lines}</g></svg>'
        html = first + named + f'{head}<use href="#hw-drawing-{number}"/></svg>'.join(again)
    return html


def _parted(drawing: str) -> tuple[str, str]:
    """What opens the drawing, with its title, and its lines."""
    at = drawing.find("</title>") + len("</title>") if "</title>" in drawing else drawing.index(">") + 1
    return drawing[:at], drawing[at:].removesuffix("</svg>")


def picture_path(record: Figure) -> str:
    """Where the site has a picture: named by its id, so that no name of the shop's becomes an address."""
    return f"figures/{record.id}{PurePosixPath(record.file).suffix.lower()}"


def _picture(here: Here, record: Figure) -> Markup | None:
    path = figure_file(here.library, record)
    if path is None or not is_picture(path):
        return None
    try:
        made = made_anew(path)
    except PictureError:
        return None
    return Markup('<img src="{}" alt="{}" width="{}" height="{}" loading="lazy">').format(
        here.to(picture_path(record)), record.alt, made.width, made.height
    )


def figure_file(library: Library, record: Figure) -> Path | None:
    """The file of a figure, if its name stays in its folder and leads to a file."""
    path = inside(Path(library.roots[record.layer]), record.file)
    return path if path is not None and path.is_file() else None


@lru_cache(maxsize=1024)
def _drawing(library: Library, figure: str) -> Markup | None:
    path = figure_file(library, library.of("figures")[figure])
    if path is None or path.suffix.lower() != ".svg":
        return None
    text = drawing_of(path)
    return Markup(text) if text else None

"""Figures: the shop's own line drawings, put into the page so that they take its colour and print with it."""

from __future__ import annotations

import re
from functools import lru_cache
from pathlib import Path

from markupsafe import Markup

from handwheel.pages.here import Here
from handwheel.reading.folders import inside
from handwheel.records.library import Library
from handwheel.records.library_records import Figure

_ALLOWED = frozenset(
    ("svg", "g", "path", "line", "polyline", "polygon", "circle", "ellipse", "rect", "text", "tspan", "title", "desc")
)


def figure_html(here: Here, figure: str) -> Markup:
    """A figure with its caption; nothing where no figure is named."""
    if not figure:
        return Markup("")
    record: Figure = here.library.of("figures")[figure]
    drawing = _drawing(here.library, figure)
    if drawing is None:
        return Markup("")
    caption = Markup("<figcaption>{}</figcaption>").format(record.caption) if record.caption else Markup("")
    return Markup('<figure class="hw-figure" role="img" aria-label="{}">{}{}</figure>').format(
        record.alt, drawing, caption
    )


def figure_file(library: Library, record: Figure) -> Path | None:
    """The file of a figure, if its name stays in its folder and leads to a file."""
    path = inside(Path(library.roots[record.layer]), record.file)
    return path if path is not None and path.is_file() else None


@lru_cache(maxsize=1024)
def _drawing(library: Library, figure: str) -> Markup | None:
    record: Figure = library.of("figures")[figure]
    path = figure_file(library, record)
    if path is None or path.suffix != ".svg" or path.stat().st_size > 200_000:
        return None
    text = path.read_text("utf-8", "replace")
    return Markup(text[text.index("<svg") :].strip()) if is_plain_drawing(text) else None


def is_plain_drawing(text: str) -> bool:
    """Whether a drawing holds lines and words only: no script, no style, no handler, no address."""
    names = re.findall(r"<\s*/?\s*([A-Za-z][\w:-]*)", text)
    harmful = re.search(
        r"[\s/'\"]on\w+\s*=|javascript:|href\s*=\s*['\"](?!#)|url\(|<!|&#|style\s*=", text, re.IGNORECASE
    )
    return "<svg" in text and all(name in _ALLOWED for name in names) and harmful is None

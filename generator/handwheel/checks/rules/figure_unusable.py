"""A figure whose file cannot be shown.

What it proves:
    The file of every figure is a line drawing in SVG with lines and words only, or a whole picture in PNG, JPEG or
    WebP of a size that a page can be made of.

Why it matters at the bench:
    A broken picture leaves a hole beside the step, and a drawing with a script in it would run on the bench.

Failing example:
    figures:
      lamp-front: {file: shop.yaml, alt: A lamp on a bracket beside the pillar., caption: Lamp from the front}
    procedures:
      lamp-look:
        title: Look at the lamp
        steps:
          - {do: Look at the lamp., figures: [lamp-front]}

Passing example:
    figures:
      lamp-front: {file: figures/lamp.svg, alt: A lamp on a bracket beside the pillar., caption: Lamp from the front}
    procedures:
      lamp-look:
        title: Look at the lamp
        steps:
          - {do: Look at the lamp., figures: [lamp-front]}

How to mend it:
    Save the picture again as PNG, JPEG or WebP under the right ending; draw a figure with lines and words only.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.reading.drawings import drawing_of
from handwheel.reading.folders import inside
from handwheel.reading.pictures import ENDINGS, PictureError, is_picture, made_anew
from handwheel.records.library import Library


@rule("error")
def find(library: Library) -> Iterator[Finding]:
    """Files of figures that are there."""
    for figure in library.of("figures").values():
        root = library.roots.get(figure.layer)
        path = inside(Path(root), figure.file) if root is not None else None
        if path is None or not path.is_file():
            continue
        if why := _hindrance(path):
            yield Finding(
                place=figure.where("file"),
                subject=f"figures/{figure.id}",
                what=f"'{figure.file}' cannot be shown: {why}",
                right="a drawing in SVG with lines and words only, or a whole picture in PNG, JPEG or WebP",
            )


def _hindrance(path: Path) -> str:
    if path.suffix.lower() == ".svg":
        return "" if drawing_of(path) else "it is no drawing of lines and words only"
    if not is_picture(path):
        return f"its ending is none of .svg, {', '.join(ENDINGS)}"
    try:
        made_anew(path)
    except PictureError as error:
        return str(error)
    return ""

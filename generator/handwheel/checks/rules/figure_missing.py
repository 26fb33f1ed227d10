"""A figure whose file is not there.

What it proves:
    The file of every figure lies in the folder of the layer that names it.

Why it matters at the bench:
    The step says "as drawn", and there is an empty frame.

Failing example:
    figures:
      lamp-front: {file: figures/lamp-front.svg, alt: A lamp on a bracket beside the pillar.}
    procedures:
      lamp-look:
        title: Look at the lamp
        steps:
          - {do: Look at the lamp., figures: [lamp-front]}

Passing example:
    figures:
      lamp-front: {file: figures/lamp.svg, alt: A lamp on a bracket beside the pillar.}
    procedures:
      lamp-look:
        title: Look at the lamp
        steps:
          - {do: Look at the lamp., figures: [lamp-front]}

How to mend it:
    Put the file there, or mend its name; the case of letters counts.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.reading.folders import inside
from handwheel.records.library import Library


@rule("error")
def find(library: Library) -> Iterator[Finding]:
    """Files of figures, where the folder of the layer is known."""
    for figure in library.of("figures").values():
        root = library.roots.get(figure.layer)
        if root is None:
            continue
        path = inside(Path(root), figure.file)
        if path is None or not path.is_file():
            yield Finding(
                place=figure.where("file"),
                subject=f"figures/{figure.id}",
                what=f"there is no file '{figure.file}' in the folder",
                right="a file of that name, with a path that stays in the folder",
            )

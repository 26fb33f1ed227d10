"""'What does this regulator sew?': a sewn sample worked out in the browser, over tables that need no script."""

from __future__ import annotations

import json
from collections.abc import Mapping

from markupsafe import Markup, escape

from handwheel.engineering import stitches
from handwheel.engineering.stitch_trials import READING_ERROR
from handwheel.engineering.uncertainty import COVERAGE, MOST_DEGREES, students_t
from handwheel.pages.environment import rendered
from handwheel.pages.here import Desk
from handwheel.pages.site import Asset, Page, SearchEntry

PATH, TITLE = "stitch.html", "What does this regulator sew?"
LEDE = "Sew, measure and count, and see how long the stitch is, how far off the mark, and how well you know it."
DATA = "assets/stitch-data.js"
ROWS = 6
PER_INCH = (4, 5, 6, 7, 8, 9, 10, 11, 12, 14, 16, 18, 20, 24, 30)


def stitch_data() -> Mapping[str, object]:
    """What the script needs of the engine: limits and the coverage."""
    return {
        "coverage": COVERAGE,
        "normal": students_t(COVERAGE, float("inf")),
        "most": MOST_DEGREES,
        "stitch": (stitches.STITCH.low, stitches.STITCH.high),
        "perInch": (stitches.PER_INCH.low, stitches.PER_INCH.high),
        "stretch": (stitches.STRETCH.low, stitches.STRETCH.high),
        "error": (0.0, 5e-3),
        "fewest": 5,
    }


def stitch_asset() -> Asset:
    """The limits as a script, so that they load from the file system too."""
    data = json.dumps(stitch_data(), separators=(",", ":"))
    return Asset(DATA, f"self.handwheelStitchData={data};\n".encode("ascii"))


def stitch_page(desk: Desk) -> Page:
    """The page; without a script it is how to measure, and the table."""
    here = desk.at(PATH)
    rows = [(f"{count} to the inch", [escape(f"{_length(count):.3f} mm"), escape(_tens(count))], False)
            for count in PER_INCH]  # fmt: skip
    html = rendered(
        "stitch", home=here.to(""), title=TITLE, lede=LEDE, rows=rows, places=range(1, ROWS + 1), data=here.to(DATA),
        script=here.to("assets/stitch.js"), error=Markup("{}").format(f"{READING_ERROR * 1e3:g}"),
    )  # fmt: skip
    return Page(PATH, TITLE, html, description=LEDE, search=(SearchEntry(PATH, TITLE, LEDE),))


def _length(count: int) -> float:
    return stitches.stitch_length(count) * 1e3


def _tens(count: int) -> str:
    return f"{_length(count) * 20:.1f} mm"

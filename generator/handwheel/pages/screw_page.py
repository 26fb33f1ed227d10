"""'What screw is this?': the question answered in the browser, over the table of threads that needs no script."""

from __future__ import annotations

import json
from collections.abc import Mapping

from markupsafe import Markup, escape

from handwheel.engineering.blades import SLOT_DEPTHS, SLOT_LENGTHS, SLOT_WIDTHS, Blade, blades
from handwheel.engineering.screws import (
    DIAMETER_ERRORS,
    MEMORY_TRUST,
    NONE_PRIOR,
    OPEN_FIELD,
    PITCH_ERRORS,
    SIGMAS,
    size_band,
)
from handwheel.engineering.strength import screw_metal
from handwheel.engineering.threads import DIAMETERS, PITCHES, Thread
from handwheel.engineering.units import INCH, Dimension, format_both
from handwheel.evidence import screw_drive as drive
from handwheel.evidence import screw_table as table
from handwheel.evidence.screws import HANDLE, SCREW
from handwheel.pages.environment import rendered
from handwheel.pages.here import Desk
from handwheel.pages.site import Asset, Page, SearchEntry
from handwheel.records.library import Library

PATH, TITLE = "screw.html", "What screw is this?"
LEDE = "Measure the outside diameter and the pitch, and see what the screw can be, and what it must not be mixed with."
DATA = "assets/screw-data.js"


def screw_data(library: Library) -> Mapping[str, object]:
    """All that the script needs, compiled: sizes, look-alikes, blades, where each thread gives way."""
    return {
        "none": NONE_PRIOR,
        "trust": MEMORY_TRUST,
        "field": OPEN_FIELD[0] * OPEN_FIELD[1],
        "sigmas": SIGMAS,
        "assumed": table.ASSUMED,
        "blades": [_blade(each) for each in blades()],
        "bearing": screw_metal(SCREW).yield_strength,
        "handle": {"diameter": HANDLE, "most": drive.AT_A_HANDLE},
        "words": {"rim": drive.AT_THE_RIM, "closed": drive.NO_TORQUE},
        "ranges": {
            "slotWidth": (SLOT_WIDTHS.low, SLOT_WIDTHS.high),
            "slotLength": (SLOT_LENGTHS.low, SLOT_LENGTHS.high),
            "slotDepth": (SLOT_DEPTHS.low, SLOT_DEPTHS.high),
            "diameter": (DIAMETERS.low, DIAMETERS.high),
            "pitch": (PITCHES.low, PITCHES.high),
            "diameterError": (DIAMETER_ERRORS.low, DIAMETER_ERRORS.high),
            "pitchError": (PITCH_ERRORS.low, PITCH_ERRORS.high),
        },
        "threads": [_thread(each) for each in table.threads_for(library)],
    }


def screw_asset(library: Library) -> Asset:
    """The compiled table as a script, so that it loads from the file system too."""
    data = json.dumps(screw_data(library), ensure_ascii=True, separators=(",", ":"))
    return Asset(DATA, f"self.handwheelScrewData={data};\n".encode("ascii"))


def _thread(thread: Thread) -> Mapping[str, object]:
    return {
        "name": thread.name,
        "told": str(thread),
        "diameter": thread.diameter,
        "low": size_band(thread)[0],
        "pitch": thread.pitch,
        "verified": thread.verified,
        "sizes": f"{sizes(thread)}; {table.basis_words(thread)}",
        "beware": [f"{line}." for line in table.beware_lines(thread)],
        "blade": table.usual_blade(thread),
        "clamps": drive.per_newton(thread),
        "gives": {metal: _gives(thread, metal) for metal in table.metals()},
    }


def _blade(tip: Blade) -> Mapping[str, object]:
    tested = format_both(tip.test_torque, Dimension.TORQUE)
    return {
        "name": tip.name,
        "thickness": tip.thickness,
        "thickest": tip.greatest_thickness,
        "width": tip.width,
        "tested": tip.test_torque,
        "told": f"it is tested with {tested}, {tip.basis.source}, {tip.basis.locator}",
    }


def sizes(thread: Thread) -> str:
    """Diameter and pitch in both units."""
    count = f"{INCH / thread.pitch:.4g} to the inch"
    return f"{format_both(thread.diameter, Dimension.LENGTH, 4)}, pitch {thread.pitch * 1e3:.4g} mm ({count})"


def _gives(thread: Thread, metal: str) -> tuple[float, str]:
    """The torque at which the first thing gives way, and the sentence on it."""
    limit = table.gives_way(thread, metal)
    return limit.torque, f"{limit.what} from {drive.torque_words(limit.torque)}"


def screw_page(desk: Desk) -> Page:
    """The page; without a script it is the table of threads."""
    here = desk.at(PATH)
    rows = [(each.called, [escape(cell) for cell in _cells(each)], False) for each in table.threads_for(desk.library)]
    html = rendered(
        "screw", home=here.to(""), title=TITLE, lede=LEDE, rows=rows, metals=table.metals(), data=here.to(DATA),
        script=here.to("assets/screw.js"), diameter_error=f"{table.DIAMETER_ERROR * 1e3:g}",
        pitch_error=f"{table.PITCH_ERROR * 1e3:g}", assumed=Markup("{}").format(table.ASSUMED),
    )  # fmt: skip
    return Page(PATH, TITLE, html, description=LEDE, search=(SearchEntry(PATH, TITLE, LEDE),))


def _cells(thread: Thread) -> tuple[str, ...]:
    traps = ", ".join(each.called for each in table.beware_of(thread)) or "none"
    standing = "" if thread.verified else "unverified"
    return thread.series, sizes(thread), standing, table.usual_blade(thread) or "measure the slot", traps

"""Thread records against the series that the engineering floor keeps."""

from __future__ import annotations

from functools import lru_cache

from handwheel.engineering.thread_series import NoSuchThread, all_threads, measured_thread, thread
from handwheel.engineering.threads import Form, Thread
from handwheel.engineering.units import INCH
from handwheel.evidence.standing import Standing, of_citations
from handwheel.evidence.verdict import NEAR, Outcome, Verdict, both, compared
from handwheel.records import library_records as lib
from handwheel.records.library import Library

FORMS = {
    "60 degree": (Form.ISO, Form.UNIFIED),
    "55 degree": (Form.WHITWORTH,),
    "47.5 degree": (Form.BA,),
    "special": tuple(Form),
}


def pitch_of(record: lib.Thread) -> float | None:
    """A thread's pitch [m], from the pitch or the threads an inch."""
    if record.tpi:
        return INCH / record.tpi
    return record.pitch.value if record.pitch else None


@lru_cache(maxsize=4096)
def in_series(form: str, diameter: float, pitch: float) -> Thread | None:
    """The thread of a known series that has this form and these sizes."""
    for each in all_threads():
        if each.form in FORMS[form] and _near(each.diameter, diameter) and _near(each.pitch, pitch):
            return each
    return None


def thread_of(library: Library, record: lib.Thread) -> Thread | None:
    """The thread for calculation: the shop's own where it was measured, else of its series; None where sizes lack."""
    diameter, pitch = record.diameter.value, pitch_of(record)
    if diameter is None or pitch is None:
        return None
    if of_citations(library, (record.source,)) is not Standing.MEASURED:
        return in_series(record.form, diameter, pitch)
    known = in_series(record.form, diameter, pitch)
    form = known.form if known else FORMS[record.form][0]
    title = library.sources[record.source.source].title if record.source else ""
    try:
        return measured_thread(record.name, form, diameter, pitch, title)
    except ValueError:
        return None


def thread_verdicts(library: Library, record: lib.Thread) -> tuple[Verdict, ...]:
    """Diameter, pitch and form of a thread against the thread of its name, else against any of its sizes."""
    standing = of_citations(library, (record.source,))
    diameter, pitch = record.diameter.value, pitch_of(record)
    told = f"{record.tpi} threads an inch = {pitch * 1e3:.4g} mm" if record.tpi and pitch else ""
    told = told or (both(record.pitch) if record.pitch else "")
    if diameter is None or pitch is None:
        return (Verdict("Sizes", told, Outcome.UNCHECKED, "diameter or pitch is not told", standing),)
    try:
        known = thread(record.name)
    except NoSuchThread:
        return (_by_size(record, diameter, pitch, told, standing),)
    name = f"{known} in {known.basis.source}"
    weak = "" if known.verified else "a table that is known from memory only"
    return (
        compared("Major diameter", both(record.diameter), (diameter, known.diameter), name, standing, weak),
        compared("Pitch", told, (pitch, known.pitch), name, standing, weak),
        _form(record, known, standing),
    )


def _by_size(record: lib.Thread, diameter: float, pitch: float, told: str, standing: Standing) -> Verdict:
    found = in_series(record.form, diameter, pitch)
    value = f"{both(record.diameter)}, {told}"
    if found:
        return Verdict("Sizes", value, Outcome.AGREES, f"with {found} in {found.basis.source}", standing)
    near = min(all_threads(), key=lambda t: abs(t.diameter / diameter - 1) + abs(t.pitch / pitch - 1))
    if standing is Standing.MEASURED:
        return Verdict("Sizes", value, Outcome.UNCHECKED, "no series has it; the shop measured it itself", standing)
    sums = (
        f"{near}: {near.diameter * 1e3:.4g} mm x {near.pitch * 1e3:.4g} mm",
        f"diameter off by {(diameter - near.diameter) * 1e3:+.3g} mm, pitch by {(pitch - near.pitch) * 1e3:+.3g} mm",
    )
    return Verdict("Sizes", value, Outcome.DIFFERS, f"from every series; the nearest is {near}", standing, sums)


def _form(record: lib.Thread, known: Thread, standing: Standing) -> Verdict:
    right = f"{known.form.angle:g} degrees"
    if known.form in FORMS[record.form]:
        return Verdict("Form", record.form, Outcome.AGREES, f"with {known}, {right}", standing)
    return Verdict("Form", record.form, Outcome.DIFFERS, f"from {known}, which has {right}", standing)


def _near(one: float, other: float) -> bool:
    return abs(one - other) <= NEAR * one

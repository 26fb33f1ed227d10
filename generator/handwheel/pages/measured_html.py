"""The shop's own measurements, where the value that they are of stands."""

from __future__ import annotations

from markupsafe import Markup, escape

from handwheel.evidence.measured import by_machine, measured
from handwheel.pages.here import Fact, Here

OWN = "The shop's own"


def own_readings(here: Here, reading: str) -> list[Fact]:
    """What the shop measured: machine by machine where several were on the bench, since they need not be alike."""
    if reading not in here.library.readings:
        return []
    parts = list(by_machine(here.library, reading))
    lines = [_on(here, machine) + escape(series.words) for machine, series in parts]
    if not lines:
        return []
    return [(OWN, Markup("<br>").join(lines))]


def measured_on(here: Here, variant: str) -> list[Fact]:
    """What was measured on machines of a variant, reading by reading."""
    found = ((each, measured(here.library, each, variant)) for each in here.library.readings)
    return [(here.library.readings[each].ask, _read(here, each, series.words)) for each, series in found if series]


def _on(here: Here, machine: str) -> Markup:
    if not machine:
        return Markup("")
    return (here.anchor("variants", machine) if machine in here.library.variants else escape(machine)) + Markup(": ")


def _read(here: Here, reading: str, words: str) -> Markup:
    _, href = here.link("readings", reading)
    return Markup('{} (<a href="{}">what is right</a>)').format(words, href)

"""The shop's own measurements: numbers against the guide's worked example, and where they stand on pages."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from handwheel.evidence.measured import by_machine, measured
from handwheel.pages.build import make_site
from handwheel.pages.site import Site
from handwheel.reading.load import load
from handwheel.reading.shipped import folders_of
from written_small import SHOP, write_shop

TEMPERATURES = [
    "96.90", "98.18", "98.25", "98.61", "99.03", "99.49", "99.56", "99.74", "99.89", "100.07",
    "100.33", "100.42", "100.68", "100.95", "101.11", "101.20", "101.57", "101.84", "102.36", "102.72",
]  # fmt: skip
"""JCGM 100:2008, 4.4.3, table 1: mean 100.14, standard deviation 1.489, both as printed there."""
MORE = """\
readings:
  heat: {ask: Heat of the bulb, unit: deg C, cuts: [90, 110], states: [cool, right, hot], good: [right]}
  idle: {ask: Never taken, unit: N, cuts: [1], states: [low, high], good: [low]}
settings:
  reach: {name: reach of the lamp, held_by: [lamp-bracket], reading: heat}
"""
MEASUREMENTS = """\
measurements:
  m-2: {reading: heat, values: [101.11, 100.33], date: 2026-03-14, machine: plover-second}
  m-1: {reading: heat, values: [99.5], date: 2026-03-11, machine: plover-first}
  m-3: {reading: heat, values: [97], date: 2026-04-01, machine: "a stalk, <b>no</b> plate"}
"""


def shop(folder: Path, text: str) -> Path:
    return write_shop(folder, SHOP + MORE + text)


def test_the_guides_example(tmp_path: Path) -> None:
    """Twenty readings; the guide prints the mean as 100,145 before rounding and s as 1,489."""
    text = f"measurements: {{m: {{reading: heat, values: [{', '.join(TEMPERATURES)}], date: 2026-03-11}}}}\n"
    found = measured(load(folders_of(shop(tmp_path, text), None)), "heat")
    assert found is not None
    said = "20 readings, 2026-03-11: mean 100.145 deg C, standard deviation 1.489 deg C, from 96.90 to 102.72 deg C"
    assert found.words == said


def test_machine_by_machine_in_the_order_of_the_library(tmp_path: Path) -> None:
    """Variants first, then what was seen of a machine; one reading has no mean; a reading never taken is nothing."""
    library = load(folders_of(shop(tmp_path, MEASUREMENTS), None))
    told = [(machine, series.words) for machine, series in by_machine(library, "heat")]
    assert told == [
        ("plover-first", "1 reading, 2026-03-11: 99.5 deg C"),
        (
            "plover-second",
            "2 readings, 2026-03-14: mean 100.720 deg C, standard deviation 0.552 deg C, from 100.33 to 101.11 deg C",
        ),
        ("a stalk, <b>no</b> plate", "1 reading, 2026-04-01: 97 deg C"),
    ]
    whole = measured(library, "heat")
    assert whole is not None and (len(whole.values), whole.days) == (4, "2026-03-11 to 2026-04-01")
    assert measured(library, "idle") is None and list(by_machine(library, "idle")) == []


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Site:
    return make_site(folders_of(shop(tmp_path_factory.mktemp("measured"), MEASUREMENTS), None))


def html(site: Site, path: str) -> str:
    return next(each.html for each in site.pages if each.path == path)


@pytest.mark.parametrize("path", ["findings.html", "settings.html"])
def test_they_stand_where_the_value_stands(site: Site, path: str) -> None:
    """At the reading, and at the setting that it tells of: each machine with its link, its number and its days."""
    shown = html(site, path)
    own = re.findall(
        r"<dt>The shop's own</dt>\s*<dd>(.*?)</dd>|<dt>The shop&#39;s own</dt>\s*<dd>(.*?)</dd>", shown, re.S
    )
    ((words,),) = [[one or other for one, other in own]]
    assert words.count("<br>") == 2 and 'href="variants/plover-second.html"' in words
    assert "2 readings, 2026-03-14: mean 100.720 deg C" in words
    assert "a stalk, &lt;b&gt;no&lt;/b&gt; plate: 1 reading" in words


def test_they_stand_on_the_page_of_the_variant(site: Site) -> None:
    """Its own alone, with the way to what is right; a variant that nothing was measured on has no such section."""
    first, third = html(site, "variants/plover-first.html"), html(site, "variants/plover-third.html")
    section = first.partition('<h2 id="measured">')[2].partition("<h2")[0]
    assert "Heat of the bulb" in section and "99.5 deg C" in section and "100.33" not in section
    assert re.search(r'href="\.\./findings\.html#[^"]+">what is right', section)
    assert 'id="measured"' not in third

"""Hostile text in every field that a shop can write: it stands on the page as text and never runs.

The shop is made by an operator over the record types: wherever a key takes words or prose, hostile text is put. Which
keys refuse it is tried, not listed: a key that keeps the shop from loading with it is put back as it was.
"""

from __future__ import annotations

import copy
import os
import re
from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
import yaml
from playwright.sync_api import Page

from browser.harness import build, served
from handwheel.checks.runner import run
from handwheel.pages.build import site_of
from handwheel.pages.site import Site
from handwheel.reading.load import load
from handwheel.records import shapes as s
from handwheel.records.errors import HandwheelError
from handwheel.records.kinds import KINDS, keys_of
from handwheel.records.step_records import Step
from reading.test_fuzz import SHOP

pytestmark = pytest.mark.browser
OTHERS = """\
blades:
  narrow: {name: narrow, thickness: 0.8 mm, width: 5 mm, sources: [book]}
cautions:
  shock: {word: danger, hazard: mains, consequence: kills, avoid: Pull the plug., symbol: electricity, sources: [book]}
finishes: {japan: {name: japan, note: hard, sources: [book]}}
items: {case-key: {name: key}}
limits:
  insulation:
    name: insulation
    value: 1
    unit: "M\u03a9"
    sense: at least
    source: book
    note: none
    also_told: [{of: value, value: 2, source: book, set_aside: Older.}]
lubricants: {oil: {name: oil, form: oil, vg: [VG 10], nlgi: [NLGI 2], note: none, sources: [book]}}
markings:
  arm-name: {name: name, form: name, reads: A, look: front, means: {variant: [first]}, tells: made, not_told: year}
needles: {n-80: {name: 80/12, metric: 80, number: 12, use: cotton, sources: [book]}}
oiling_points:
  wick-point: {name: wick, between: [shade], lubricant: oil, dose: 1 drop, every: each day, how: Slowly., source: book}
outsiders: {clamp-lamp: {name: clamp, part: lamp, families: [plover], forms: {lamp: stalk}, about: A band.}}
prohibitions: {no-heat: {effect: heats, part: head, why: It softens.}}
proofs: {sewing-test: {name: sewing, stale_by: sewing}}
spares: {tyre: {name: tyre, for: [shade], price: 2.40, note: none}}
supplies: {rag: {name: rag, agent: soap, price: 0.20, unit: piece, note: none}}
terms: {wheel: {name: wheel, means: A wheel., also: [round one]}}
threads: {m-4: {name: M4, form: 60 degree, series: coarse, diameter: 4 mm, pitch: 0.7 mm, source: book}}
tools: {lens: {name: lens, form: instrument, note: none}}
verbs: {undo: {name: Undo, effects: [undoes]}}
"""
"""A record of each kind that the shop of the other test has none of."""
HIT = "window.handwheelHit=1"
PIECES = [
    f"<script>{HIT}</script>",
    f"<img src=x onerror={HIT}>",
    f'"><svg/onload={HIT}>',
    f"' onmouseover='{HIT}' autofocus onfocus='{HIT}",
    f"javascript:{HIT}",
    f"</title></style></textarea></script><script>{HIT}</script>",
    "{{ 7 * 7 }}{% include 'home.html' %}{# x #}",
    "../../../../etc/passwd",
    "//evil.example/x.js",
    "https://evil.example/x.png",
    "<iframe src=//evil.example></iframe><link rel=stylesheet href=//evil.example>",
    "]]>--><!--",
    "&lt;b&gt;&#x3c;script&#x3e;",
    "[x](javascript:alert(1)) ![x](//evil.example/x.png)",
    f"${{{HIT}}}`${{{HIT}}}`",
    "\u202eright to left\u202c \u2066\u2069",
    "\u200b\u0301\u0300 \U0001f527\ufe0f \ufdfd \U000e0041",
    "%s %n {0} \\u003cscript\\u003e",
]
"""Markup, scripts, template syntax, path tricks, odd Unicode and marks that turn the direction of writing."""
EACH, BATCH = 6, 32
UNSEEN = {
    "Accepted.by",
    "Accepted.of",
    "Accepted.why",
    "Block.note",
    "Derivation.form",
    "Draft.digest",
    "Family.serial_look",  # on the Identify page, once its number is asked for
    "Figure.by",
    "Material.strength",
    "Measurement.notes",
    "PartRecord.plural",
    "Position.start",
    "Shop.currency",
    "Source.address",
    "Standing.by",
    "Step.stops",
    "Verb.effects",
    "Verb.name",
    "Wait.why",
    "Years.note",
}
"""Keys that no page of this shop shows; a key beyond these that cannot be read on some page is a mistake."""
REFUSED = {"Reading.states", "Reading.good", "Finding.good"}
NOT_WRITTEN = {"Figure.file", "Step.renews.*"}
"""The name of a file, whose tricks `tests/reading/test_folders.py` tries, and a state's id."""
KEPT = ("off", "figures/front.svg")
"""A step's id and a file's name that stay, so that what hangs on them is shown."""
Place = tuple[dict[str, Any], str, str]
"""Holder, key, and the name of the key."""
Numbered = tuple[int, Place]


def hostile(number: int) -> str:
    """A few pieces, others in each field; the mark tells the fields apart."""
    first, *rest = [PIECES[(number + step) % len(PIECES)] for step in range(EACH)]
    return " ".join([first, f"zq{number}q", *rest])


def is_text(shape: s.Shape) -> bool:
    return isinstance(shape, s.Words | s.Prose) or (isinstance(shape, s.Many | s.Varying) and is_text(shape.item))


def places(cls: type[Any], holder: dict[str, Any]) -> Iterator[Place]:
    """Holder, key, and the name of each key that takes text, in a record as written; absent ones too."""
    for written, (_, described) in keys_of(cls).items():
        if is_text(described.shape):
            if holder.get(written) not in KEPT:
                yield holder, written, f"{cls.__name__}.{written}"
        elif written in holder:
            yield from _inside(described.shape, holder, written, cls)


def _inside(shape: s.Shape, holder: dict[str, Any], key: str, cls: type[Any]) -> Iterator[Place]:
    value = holder[key]
    match shape:
        case s.Part(cls=inner) if isinstance(value, dict):
            yield from places(inner, value)
        case s.Many(item=s.Part(cls=inner)):
            for each in value if isinstance(value, list) else [value]:
                if isinstance(each, dict):
                    yield from places(inner, each)
        case s.Map(item=item) if isinstance(value, dict):
            for name in value:
                if is_text(item):
                    yield value, name, f"{cls.__name__}.{key}.*"
                elif isinstance(item, s.Part):
                    if not isinstance(value[name], dict):
                        value[name] = {next(iter(keys_of(item.cls))): value[name]}
                    yield from places(item.cls, value[name])
        case s.Nodes():
            for step in _steps(value):
                yield from places(Step, step)


def _steps(node: Any) -> Iterator[dict[str, Any]]:
    if isinstance(node, list):
        for each in node:
            yield from _steps(each)
    elif isinstance(node, dict) and "do" in node:
        yield node
    elif isinstance(node, dict):
        for each in node.values():
            yield from _steps(each)


@cache
def hostile_shop() -> tuple[str, tuple[tuple[str, int], ...], frozenset[str]]:
    """The shop as YAML, the keys with the numbers of their texts, and the keys that refuse hostile text."""
    data = yaml.load(SHOP, yaml.CBaseLoader) | yaml.load(OTHERS, yaml.CBaseLoader)
    data["parts"]["shade"]["figure"] = "front"
    data["variants"]["first"] |= {
        "serials": [{"from": "1", "to": "9", "prefix": "A", "note": "x"}],
        "markings": ["arm-name"],
    }
    data["jobs"]["all"]["outcomes"] = {"kept": {"name": "kept", "may_be": ["untested"]}}
    first = data["procedures"]["wash"]["steps"][0]
    first |= {"wait": {"for": "24 h", "why": "x"}, "tools": ["lens"], "supplies": ["rag"]}
    records = [(KINDS[plural].cls, record) for plural, section in data.items() for record in section.values()]
    found = list(enumerate(place for cls, record in records for place in places(cls, record)))
    with TemporaryDirectory() as folder:
        put = [
            place for start in range(0, len(found), BATCH) for place in _put(Path(folder), data, found[start:][:BATCH])
        ]
    names = tuple((name, number) for number, (_, _, name) in put)
    return written(data), names, frozenset(name for _, (_, _, name) in found) - {name for name, _ in names}


def _put(folder: Path, data: Any, found: list[Numbered]) -> list[Numbered]:
    """Put hostile text into all of these places that take it, half by half where one of them does not."""
    before = [copy.deepcopy(holder.get(key)) for _, (holder, key, _) in found]
    for number, (holder, key, _) in found:
        holder[key] = hostile(number)
    if loads(folder, data):
        return found
    for (_, (holder, key, _)), was in zip(found, before, strict=True):
        if was is None:
            del holder[key]
        else:
            holder[key] = was
    half = len(found) // 2
    return [*_put(folder, data, found[:half]), *_put(folder, data, found[half:])] if half else []


def all_keys() -> frozenset[str]:
    """Every key of the model that takes words or prose."""
    found, seen, waiting = set[str](), set[type[Any]](), [*(kind.cls for kind in KINDS.values()), Step]
    while waiting:
        cls = waiting.pop()
        if cls in seen:
            continue
        seen.add(cls)
        for written_as, (_, described) in keys_of(cls).items():
            shape, inner = described.shape, described.shape
            while not isinstance(inner, s.Part) and hasattr(inner, "item"):
                inner = inner.item
            if is_text(shape) or (isinstance(shape, s.Map) and is_text(shape.item)):
                found.add(f"{cls.__name__}.{written_as}" + ".*" * isinstance(shape, s.Map))
            elif isinstance(inner, s.Part):
                waiting.append(inner.cls)
    return frozenset(found)


def written(data: Any) -> str:
    return yaml.dump(data, Dumper=yaml.CSafeDumper, sort_keys=False, width=10**6)


def loads(folder: Path, data: Any) -> bool:
    (folder / "shop.yaml").write_text(written(data), "utf-8")
    try:
        load([folder])
    except HandwheelError:
        return False
    return True


def make(_: Sequence[Path]) -> Site:
    """The hostile shop's site, whatever is found in it: more than could be published."""
    library = load([Path(os.environ["HOSTILE_SHOP"])])
    return site_of(library, run(library), preview=True)


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("hostile") / "shop"
    folder.mkdir()
    (folder / "shop.yaml").write_text(hostile_shop()[0], "utf-8")
    (folder / "figures").mkdir()
    drawing = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 4"><path d="M0 0h4"/></svg>'
    (folder / "figures" / "front.svg").write_text(drawing, "utf-8")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("HOSTILE_SHOP", str(folder))
        return without_policy(build(tmp_path_factory.mktemp("site") / "work", "browser.test_hostile:make"))


def without_policy(site: Path) -> Path:
    """The site less its security policy, which would hide a text that was not escaped."""
    for path in site.rglob("*.html"):
        text, count = re.subn(r'<meta http-equiv="Content-Security-Policy"[^>]*>', "", path.read_text("utf-8"), count=1)
        assert count == 1
        path.write_text(text, "utf-8")
    return site


@pytest.fixture(scope="module")
def url(site: Path) -> Iterator[str]:
    with served(site) as root:
        yield root


LOOK = """() => ({
    hit: window.handwheelHit,
    text: document.body.textContent + ' ' + [...document.querySelectorAll('[alt],[aria-label],[title]')]
        .map(e => e.getAttribute('alt') + ' ' + e.getAttribute('aria-label') + ' ' + e.title).join(' '),
    handlers: [...document.querySelectorAll('*')].flatMap(e => [...e.attributes])
        .filter(a => /^on/i.test(a.name)).map(a => a.name + '=' + a.value),
    away: [...document.querySelectorAll('[href],[src],[srcset],[data],[action],[poster]')]
        .flatMap(e => ['href', 'src', 'srcset', 'data', 'action', 'poster'].map(n => e.getAttribute(n))).filter(a => a)
        .filter(a => { const to = new URL(a, location.href);
            return to.origin !== location.origin || /passwd|evil/.test(to.pathname); }),
    odd: [...document.querySelectorAll('iframe,object,embed,base,textarea,form[action]')]
        .filter(e => !e.closest('.hw-bench')).map(e => e.outerHTML.slice(0, 100)),
})"""


def test_hostile_text_stands_as_text_and_never_runs(page: Page, site: Path, url: str) -> None:
    """Every page, in a real browser: nothing ran, nothing leads away, and what was written can be read."""
    dialogs: list[str] = []
    page.on("dialog", lambda dialog: (dialogs.append(dialog.message), dialog.dismiss()))
    seen = ""
    names = sorted(path.relative_to(site).as_posix() for path in site.rglob("*.html"))
    assert len(names) > 40
    for name in names:
        page.goto(f"{url}/{name}")
        found = page.evaluate(LOOK)
        assert {key: found[key] or [] for key in ("hit", "handlers", "away", "odd")} == {
            "hit": [], "handlers": [], "away": [], "odd": [],
        }, name  # fmt: skip
        seen += found["text"]
    assert dialogs == []
    marked = {int(number) for number in re.findall(r"zq(\d+)q", seen)}
    shown = [name for name, number in hostile_shop()[1] if number in marked]
    hidden = {name for name, number in hostile_shop()[1]} - set(shown)
    assert len(shown) > 60 and hidden <= UNSEEN
    assert f"<script>{HIT}</script>" in seen and "{{ 7 * 7 }}" in seen and "\u202eright to left" in seen


def test_what_is_found_by_searching_never_runs(page: Page, url: str) -> None:
    page.goto(f"{url}/index.html")
    page.locator(".md-search__input").first.click()
    page.keyboard.type("script passwd evil", delay=5)
    page.locator(".md-search-result__item").first.wait_for()
    page.wait_for_timeout(500)
    assert page.locator(".md-search-result__item").count() > 0
    assert page.evaluate("window.handwheelHit") is None
    assert page.locator(".md-search-result :is(script, img, svg[onload], iframe)").count() == 0


def test_every_text_of_every_kind_is_tried() -> None:
    """Ids of states, words of a shared run, names of files refuse it; whatever else did would not be tried above."""
    text, put, refused = hostile_shop()
    assert len(put) > 150 and len(text) > 40_000
    tried = {name for name, _ in put}
    assert refused == REFUSED
    assert all_keys() - tried - refused == NOT_WRITTEN

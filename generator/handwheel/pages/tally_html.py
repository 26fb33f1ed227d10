"""How much of the shop's content rests on standards, measurements, memory; and what recomputing has shown."""

from __future__ import annotations

from collections.abc import Iterator

from markupsafe import Markup, escape

from handwheel.evidence.standing import Standing
from handwheel.evidence.tally import by_kind, by_outcome, by_standing
from handwheel.evidence.verdict import Outcome
from handwheel.pages.environment import environment
from handwheel.pages.here import Here
from handwheel.pages.sections import Section
from handwheel.records.kinds import KINDS

TALLY_LEDE = (
    "Records are counted by the best source that each names. Memory and common practice may forbid, ask for a test "
    "or lower a limit; they permit nothing."
)


def tally_sections(here: Here) -> Iterator[Section]:
    """The tables of counts."""
    yield _section("rests-on-what", "Records by what they rest on", _standings(here))
    yield _section("by-kind", "Records by the sort of source", _kinds(here))
    yield _section("recomputed", "Values recomputed, by table", _outcomes(here))


def _section(anchor: str, title: str, table: Markup) -> Section:
    return Section(anchor, title, [], [], [], table, table.striptags())


def _table(caption: str, corner: str, columns: list[str], rows: list[tuple[str, list[Markup], bool]]) -> Markup:
    return Markup(environment().get_template("macros.html").module.table(caption, corner, columns, rows))  # type: ignore[attr-defined]


def _standings(here: Here) -> Markup:
    counts = by_standing(here.library)
    total = sum(counts.values())
    rows = [
        (each.words, [escape(str(count)), escape(_share(count, total)), escape(_may(each))], False)
        for each, count in counts.items()
        if count
    ]
    rows.append(("together", [escape(str(total)), Markup(""), Markup("")], False))
    return _table("Records by what they rest on", "Rests on", ["Records", "Share", "May permit"], rows)


def _kinds(here: Here) -> Markup:
    counts = by_kind(here.library)
    total, own_total = (sum(each[n] for each in counts.values()) for n in (0, 1))
    rows = [
        (kind, [escape(str(count)), escape(_share(count, total)), escape(f"{own} ({_share(own, own_total)})")], False)
        for kind, (count, own) in counts.items()
    ]
    columns = ["Records", "Share", "Of these the shop's own"]
    return _table("Records by the sort of source", "Sort of source", columns, rows)


def _may(standing: Standing) -> str:
    return "yes" if standing.may_permit else "no"


def _share(count: int, total: int) -> str:
    return f"{100 * count / total:.0f} %" if total else ""


def _outcomes(here: Here) -> Markup:
    rows = [
        (KINDS[plural].plural.replace("_", " "), [escape(str(counts[each])) for each in Outcome], False)
        for plural, counts in by_outcome(here.library).items()
    ]
    return _table("Values recomputed", "Table", [each.value for each in Outcome], rows)

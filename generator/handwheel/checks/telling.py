"""Findings for people, for machines and for code hosts, in the same forms as the messages of the reader."""

from __future__ import annotations

import json
from collections.abc import Iterator

from handwheel.checks.finding import LEVELS, Finding, Spots
from handwheel.checks.report import Report
from handwheel.reading.messages import Message, Messages
from handwheel.reading.reporters import as_json
from handwheel.records.places import Place

MOST = 4
"""Places of a kind that a message shows."""


def as_message(finding: Finding) -> Message:
    """The finding as a message, with the chain that leads to it before the places that belong to it.

    Of many, the first few: the sentence counts the others, and the page of checks and the document list them all.
    """
    related = (*finding.chain[:MOST], *finding.related[:MOST])
    return Message(finding.rule, finding.place, finding.sentence, finding.right, finding.level, related)


def with_findings(messages: Messages, report: Report) -> Messages:
    """The messages of the reader with the findings among them, by place; lines of files are remembered."""
    for finding in report.findings:
        messages.put(as_message(finding))
    return messages


def document(messages: Messages, report: Report) -> str:
    """One JSON object: what the reader said, what the rules found, what the shop accepts, what is proven.

    Args:
        messages: Those of the reader alone.
        report: The outcome of the rules.
    """
    read = json.loads(as_json(messages))
    levels = {f"{level}s": report.counts[level] for level in LEVELS if level in report.counts}
    told = {
        "stops": len(report.stops),
        "levels": levels,
        "findings": [_record(finding) for finding in report.findings],
        "accepted": [{**_record(each.finding), "why": each.record.why.raw} for each in report.accepted],
        "proven": {name: {"steps": share.steps, "told": share.told} for name, share in report.proven.items()},
        "machines": [
            {
                "family": each.family,
                "machines": each.machines,
                "areas": each.areas,
                "whole": each.whole,
                "findings": report.standing(each.family)[0],
                "accepted": report.standing(each.family)[1],
            }
            for each in report.extents
        ],
        "rules": {"judged": report.judged, "off": report.off, "not_judged": report.unjudged},
    }
    return json.dumps({**read, **told}, indent=2, ensure_ascii=False) + "\n"


def summary(report: Report) -> str:
    """The outcome in a line or two."""
    return "\n".join(_summary(report))


def _summary(report: Report) -> Iterator[str]:
    counts = ", ".join(_counted(report.counts[level], level) for level in LEVELS if report.counts.get(level))
    accepted = f"; {len(report.accepted)} accepted" if report.accepted else ""
    off = f"; turned off: {', '.join(report.off)}" if report.off else ""
    yield f"{len(report.judged)} rules: {counts or 'no finding'}{accepted}{off}"
    whole = report.whole
    if whole.steps:
        yield f"{whole.told} of {_counted(whole.steps, 'step')} tell what they do; the others are words only"
    yield from report.proofs
    stops = len(report.stops)
    yield (
        f"{_counted(stops, 'finding')} {'stop' if stops > 1 else 'stops'} publishing"
        if stops
        else "nothing stops publishing"
    )


def _counted(count: int, word: str) -> str:
    return f"{count} {word}" if count == 1 else f"{count} {word}s"


def _record(finding: Finding) -> dict[str, object]:
    return {
        "rule": finding.rule,
        "level": finding.level,
        **_spot(finding.place),
        "subject": finding.subject,
        "what": finding.what,
        "right": finding.right,
        "machines": finding.machines,
        "jobs": finding.jobs,
        "more": finding.others,
        "chain": _spots(finding.chain),
        "related": _spots(finding.related),
    }


def _spots(spots: Spots) -> list[dict[str, object]]:
    return [{**_spot(place), "note": note} for place, note in spots]


def _spot(place: Place) -> dict[str, object]:
    return {"file": place.file, "line": place.line, "column": place.column}

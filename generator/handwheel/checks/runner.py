"""Runs every rule over a library: levels as the shop sets them, what it accepts set apart, joined by cause."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from handwheel.checks.accepting import accepts
from handwheel.checks.bench import Bench
from handwheel.checks.finding import Finding
from handwheel.checks.joining import folded, joined
from handwheel.checks.registry import all_rules
from handwheel.checks.report import Acceptance, Report
from handwheel.checks.rule import Rule
from handwheel.records.library import Library
from handwheel.records.work_records import Accepted

AFTER_RUNS = frozenset(("alternatives-not-one",))
"""Rules that tell of what was refused to the runs, too."""
LAST = "findings"
"""The fact that is known only when all other rules have been run."""


def run(library: Library, rules: Sequence[Rule] | None = None, **facts: Any) -> Report:
    """Judge a library.

    Args:
        library: What the reader handed over.
        rules: Those to run; all of them where none are given.
        facts: Facts that come from elsewhere (the outcome of simulated runs), by the name that rules ask for them.
    """
    return judge(Bench(library, facts), all_rules() if rules is None else rules)


def judge(bench: Bench, rules: Sequence[Rule]) -> Report:
    """Run rules over a bench that may have facts already."""
    levels = levels_of(bench.library)
    off = [rule for rule in rules if levels.get(rule.id) == "off" and not rule.fixed]
    on = [rule for rule in rules if rule not in off]
    first = [rule for rule in on if LAST not in rule.needs and bench.knows(rule.needs)]
    found = list(_found(bench, first, levels))
    bench.add(LAST, tuple(found))
    last = [rule for rule in on if LAST in rule.needs and bench.knows(rule.needs)]
    found += _found(bench, last, levels)
    kept, accepted = _set_apart(found, bench.library, {rule.id for rule in rules if rule.fixed})
    judged = {rule.id for rule in (*first, *last)}
    return Report(
        findings=folded(joined(kept), {rule.id for rule in rules if rule.fixed}),
        accepted=tuple(sorted(accepted, key=lambda each: each.finding.rank)),
        proven=bench.fact("proven"),
        extents=bench.runs.extents if any("runs" in rule.needs for rule in (*first, *last)) else (),
        judged=tuple(sorted(judged)),
        off=tuple(rule.id for rule in off),
        unjudged=tuple(rule.id for rule in on if rule.id not in judged),
        stopping=frozenset(rule.id for rule in rules if rule.fixed),
    )


def levels_of(library: Library) -> Mapping[str, str]:
    """Level by rule, as the shop sets it."""
    return library.shop.levels if library.shop else {}


def _found(bench: Bench, rules: Sequence[Rule], levels: Mapping[str, str]) -> Iterator[Finding]:
    """In the order of the rules; those that wait for runs look last, since a second process may still make some."""
    found: dict[str, list[Finding]] = {}
    for rule in sorted(rules, key=lambda each: "runs" in each.needs or each.id in AFTER_RUNS):
        level: Any = rule.level if rule.fixed else levels.get(rule.id, rule.level)
        facts = (bench.fact(name) for name in rule.needs)
        found[rule.id] = [replace(finding, rule=rule.id, level=level) for finding in rule(*facts)]
    for rule in rules:
        yield from found[rule.id]


def _set_apart(
    findings: Iterable[Finding], library: Library, fixed: set[str]
) -> tuple[list[Finding], list[Acceptance]]:
    records: dict[str, list[Accepted]] = {}
    for record in library.of("accepted").values():
        records.setdefault(record.rule, []).append(record)
    kept, accepted = [], []
    for finding in findings:
        record = next((each for each in records.get(finding.rule, ()) if accepts(each, finding)), None)
        if record is None or finding.rule in fixed:
            kept.append(finding)
        else:
            accepted.append(Acceptance(finding, record))
    return kept, accepted

"""What was proven for this build, what was found, what the shop accepts; and a page for each rule."""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import LEVELS, Finding
from handwheel.checks.page import RulePage
from handwheel.checks.registry import rules_by_id
from handwheel.checks.report import Report
from handwheel.checks.rule import Rule
from handwheel.pages import addresses
from handwheel.pages.environment import rendered
from handwheel.pages.here import Desk, Here
from handwheel.pages.site import Page, SearchEntry

CHECKS = "checks.html"
LEDE = "What was run for this build, what was found, and what the shop accepts with its reason."


def rule_path(identifier: str) -> str:
    """Path of a rule's page."""
    return f"rules/{identifier}.html"


def check_pages(desk: Desk, report: Report) -> Iterator[Page]:
    """The page of checks and the pages of all rules."""
    yield _checks(desk, report)
    for rule in rules_by_id().values():
        yield _rule(desk, rule, report)


def _checks(desk: Desk, report: Report) -> Page:
    here = desk.at(CHECKS)
    html = rendered(
        "checks",
        home=here.to(""),
        lede=LEDE,
        whole=report.whole,
        judged=len(report.judged),
        extents=report.proofs,
        proven=[
            (here.link("procedures", name), share, share.told == 0)
            for name, share in report.proven.items()
            if share.steps
        ],
        levels=[(level, [_found(here, each) for each in report.findings if each.level == level]) for level in LEVELS],
        accepted=[
            (_found(here, each.finding), here.prose(each.record.why), each.record.by, each.record.date)
            for each in report.accepted
        ],
        off=[_rule_link(here, each) for each in report.off],
        rules=[_rule_link(here, each) for each in rules_by_id()],
    )
    return Page(CHECKS, "Checks", html, description=LEDE, search=(SearchEntry(CHECKS, "Checks", LEDE),))


def _rule_link(here: Here, identifier: str) -> tuple[str, str]:
    return rules_by_id()[identifier].page.defect, here.to(rule_path(identifier))


def _found(here: Here, finding: Finding) -> dict[str, object]:
    return {
        "sentence": finding.sentence,
        "place": str(finding.place),
        "right": finding.right,
        "chain": [f"{note} ({place})" for place, note in finding.chain],
        "related": [f"{note} ({place})" for place, note in finding.related],
        "rule": _rule_link(here, finding.rule),
        "link": _subject_link(here, finding.subject),
    }


def _subject_link(here: Here, subject: str) -> tuple[str, str] | None:
    plural, _, identifier = subject.partition("/")
    if identifier in here.library.of(plural) and addresses.page_of(plural, identifier):
        return here.link(plural, identifier)
    procedure = here.library.procedures.get(plural)
    return here.link("procedures", plural) if procedure and not procedure.shared else None


def _rule(desk: Desk, rule: Rule, report: Report) -> Page:
    page: RulePage = rule.page
    path = rule_path(rule.id)
    here = desk.at(path)
    standing = (
        "always an error, and it stops publishing" if rule.fixed else f"{rule.level}, unless the shop says otherwise"
    )
    html = rendered(
        "rule",
        home=here.to(""),
        page=page,
        standing=standing,
        count=report.by_rule.get(rule.id, 0),
    )
    words = f"{page.proves} {page.matters}"
    return Page(path, page.defect, html, description=page.defect, search=(SearchEntry(path, page.defect, words),))

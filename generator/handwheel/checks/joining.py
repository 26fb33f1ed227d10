"""Findings told as one where they have one cause: a forgotten refit is one message, not thirty."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace

from handwheel.checks.finding import LEVELS, Finding
from handwheel.records.places import Place

LEFT = ("left-off", "not-set-again", "not-oiled", "left-loose", "fault-left")
"""Rules on what a job leaves undone: what else goes wrong through the same step is told with it. First come first."""

UNTESTED = "handed-over-untested"
"""With it, the aim to prove the test that was missed."""

NOWHERE = "unknown-outcome:"
"""How the cause begins where a job stops in an outcome that it does not have: what it may leave then nobody knows."""
MAY_BE_LEFT = (*LEFT, UNTESTED, "never-cleaned", "promise-not-kept")
"""Rules on what an outcome may allow; that the plug is out is for none to say."""


def joined(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Sorted, each once, and all of one rule and one cause told as one."""
    groups: dict[object, list[Finding]] = {}
    for finding in sorted(dict.fromkeys(findings), key=lambda each: each.rank):
        groups.setdefault((finding.rule, finding.cause) if finding.cause else finding, []).append(finding)
    return tuple(sorted((_as_one(group) for group in groups.values()), key=lambda each: each.rank))


def folded(findings: Sequence[Finding], fixed: Collection[str]) -> tuple[Finding, ...]:
    """What follows from something left undone is told with it: the step that began both is the same.

    Args:
        findings: Joined by rule and cause.
        fixed: Rules whose findings always stand by themselves.
    """
    heads = (each for each in findings if each.rule == UNTESTED or (each.rule in LEFT and _at_the_end(each)))
    left = [each for each in findings if each.cause.startswith(NOWHERE)]
    left += sorted(heads, key=lambda each: (*LEFT, UNTESTED).index(each.rule))
    told: dict[int, list[Finding]] = {}
    gone: set[int] = set()
    for head in left:
        if id(head) in gone:
            continue
        for other in findings:
            if other is not head and id(other) not in (*gone, *told) and _follows(other, head, fixed):
                told.setdefault(id(head), []).append(other)
                gone.add(id(other))
    return tuple(_with(each, told.get(id(each), ())) for each in findings if id(each) not in gone)


def _as_one(group: Sequence[Finding]) -> Finding:
    """One that holds for all machines, at the end of a job, or comes first; beside it those that say more."""
    head = min(group, key=lambda each: (bool(each.machines), not _at_the_end(each), each.rank))
    jobs = tuple(dict.fromkeys(job for each in group for job in each.jobs))
    families = tuple(dict.fromkeys(name for each in group for name in each.families))
    chain = tuple(dict.fromkeys(spot for each in (head, *group) for spot in each.chain))
    ends = [each for each in group if _is_the_same(each, head)]
    others = [each for each in group if each is not head and each not in ends]
    related = (*head.related, *dict.fromkeys((other.place, _beside(other, jobs)) for other in others))
    machines = ", and on ".join(dict.fromkeys(each.machines for each in (head, *ends))) if head.machines else ""
    head = replace(head, machines=machines, related=related)
    return replace(head, jobs=jobs, families=families, chain=chain, others=head.others + len(others))


def _beside(other: Finding, jobs: tuple[str, ...]) -> str:
    """What it says, without the jobs where they are those of the head."""
    return replace(other, jobs=()).sentence if set(other.jobs) == set(jobs) else other.sentence


def _at_the_end(finding: Finding) -> bool:
    return finding.subject.startswith("jobs/")


def _is_the_same(other: Finding, head: Finding) -> bool:
    """Whether it says the same on other machines, of the end of another job, or of an end before the end."""
    if other is head or other.what != head.what:
        return False
    if not _at_the_end(head):
        return other.subject == head.subject
    return _at_the_end(other) or other.machines in ("", head.machines)


def _follows(other: Finding, head: Finding, fixed: Collection[str]) -> bool:
    graver = LEVELS.index(other.level) < LEVELS.index(head.level)
    if head.cause.startswith(NOWHERE):
        there = _spots(other) <= _spots(head) and set(other.jobs) <= set(head.jobs)
        return there and not graver and other.rule in MAY_BE_LEFT
    if not other.families or other.rule in fixed or graver:
        return False
    if other.rule == "aim-missed" and other.thing == head.thing:
        return not set(other.jobs).isdisjoint(head.jobs)
    return head.rule != UNTESTED and not _began(other).isdisjoint(_began(head))


def _spots(finding: Finding) -> set[Place]:
    """Where it is told, and all that is told with it."""
    return {finding.place, *(place for place, _ in finding.related)}


def _began(finding: Finding) -> set[Place]:
    return {place for place, _ in finding.chain}


def _with(head: Finding, others: Sequence[Finding]) -> Finding:
    if not others:
        return head
    related = tuple((other.place, f"{_beside(other, head.jobs)} [{other.rule}]") for other in others)
    families = tuple(dict.fromkeys((*head.families, *(name for other in others for name in other.families))))
    count = head.others + sum(1 + other.others for other in others)
    return replace(head, related=(*head.related, *related), families=families, others=count)

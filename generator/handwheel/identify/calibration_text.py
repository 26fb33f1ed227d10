"""What calibration measured, as Markdown: a table for each way to be misled, and each misled answer explained."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from handwheel.identify.calibration import Score, Sheet
from handwheel.identify.trial import Outcome

COLUMNS = (
    "machines",
    "right first",
    "says 90 %",
    "right when it says so",
    "fits none first",
    "settled wrongly",
    "looks",
)
OF_LACKING = (
    "castings tell",
    "of those: fits none first",
    "castings tell, and were seen",
    "of those: fits none first",
    "of those: says 90 % of a wrong one",
)


def sheet_text(sheet: Sheet, scores: Sequence[Score]) -> str:
    """A table as Markdown, and below it the machines that were said with 0.9 to be what they are not."""
    taken_out = any(case.taken_out for case in sheet.cases)
    columns = [*COLUMNS, *(OF_LACKING if taken_out else ())]
    lines = [f"**{sheet.title}** ({scores[0].machines} machines a row)", "", f"| {' | '.join(columns)} |"]
    lines += ["|" + "---|" * len(columns), *(_line(score, taken_out) for score in scores)]
    misled = [f"- {score.name}: {_told(each)}" for score in scores for each in score.misled]
    return "\n".join([*lines, *(["", "Said with 90 %, and wrong:", "", *misled] if misled else [])])


def _line(score: Score, taken_out: bool) -> str:
    shares = [score.first, score.says, score.right_when_says, score.none_first, score.settled_wrong]
    cells = [score.name, *map(_percent, shares), f"{score.looks:.1f}"]
    lacking = [score.told, score.none_of_told, score.shown, score.none_of_shown, score.says_of_shown]
    cells += map(_percent, lacking) if taken_out else []
    return f"| {' | '.join(cells)} |"


def _percent(share: float | None) -> str:
    return "-" if share is None else f"{share:.1%}"


def _told(outcome: Outcome) -> str:
    """Why a wrong answer was believed."""
    return f"{outcome.variant} taken for {outcome.named} ({outcome.probability:.1%}): {'; '.join(_reasons(outcome))}."


def _reasons(outcome: Outcome) -> Iterator[str]:
    fixed = [each for each in outcome.differs if each.swapped == "never"]
    others = [each for each in outcome.differs if each.swapped != "never"]
    if not fixed:
        yield f"its castings are those of {outcome.named}, so it stands among the machines of {outcome.named}"
    for each in fixed:
        yield f"{each.feature} is another, {'seen' if each.seen else 'not seen, or seen wrongly'}"
    if others:
        yield "parts that change hands are not its own in " + ", ".join(each.feature for each in others)

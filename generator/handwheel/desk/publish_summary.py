"""What a run of publishing did, for people and for machines."""

from __future__ import annotations

import json
from collections.abc import Sequence

from handwheel.desk.publishing import Stage

_MOST = 30


def as_text(stages: Sequence[Stage]) -> str:
    """A line for each stage, and beneath it what it found."""
    lines = []
    for each in stages:
        lines.append(f"{each.name}: {each.outcome}{f' ({each.seconds:.1f} s)' if each.seconds else ''}")
        lines += [f"  {line}" for line in each.lines]
    return "\n".join(lines)


def as_markdown(stages: Sequence[Stage]) -> str:
    """A table of the stages and a list for each, for the summary page of a code host."""
    went = "Nothing stopped it." if not any(each.outcome == "stopped" for each in stages) else "It was stopped."
    rows = "".join(f"| {each.name} | {each.outcome} | {each.seconds:.1f} |\n" for each in stages)
    parts = [f"## The site\n\n{went}\n\n| Stage | Outcome | Seconds |\n| --- | --- | ---: |\n{rows}"]
    for each in stages:
        if each.lines:
            more = len(each.lines) - _MOST
            shown = "".join(f"    {line}\n" for line in each.lines[:_MOST])
            parts.append(f"### {each.name}\n\n{shown}" + (f"\nand {more} more\n" if more > 0 else ""))
    return "\n".join(parts) + "\n"


def as_json(stages: Sequence[Stage]) -> str:
    """One JSON object."""
    told = [
        {"name": each.name, "outcome": each.outcome, "seconds": round(each.seconds, 3), "lines": each.lines}
        for each in stages
    ]
    return json.dumps({"stages": told}, indent=2, ensure_ascii=False)

"""`handwheel reach`."""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator

from handwheel.cli.main import FINE, UNUSABLE, add_library, add_shop_option
from handwheel.cli.report import known_id, open_library, tell
from handwheel.machines.masks import lowest
from handwheel.machines.space import Space
from handwheel.procedures.prose import plain_text
from handwheel.procedures.reach import Plan, reach
from handwheel.procedures.reach_words import Chapter, chapters, minutes_of, tools_of
from handwheel.procedures.wording import joined, name_of
from handwheel.records.errors import HandwheelError
from handwheel.records.families import family_as_built
from handwheel.records.library import Library


def add_options(sub: argparse.ArgumentParser) -> None:
    """Options of this command."""
    sub.add_argument("part", help="id of the part")
    add_shop_option(sub)
    add_library(sub)
    sub.add_argument("--on", metavar="VARIANT", required=True, help="the variant as it left the works")
    sub.add_argument("--json", action="store_true", help="as JSON instead of text")


def run(options: argparse.Namespace) -> int:
    """Print the least that must come off to reach a part, and all that then needs doing."""
    library, messages = open_library(options)
    if library is None:
        tell(messages, "text")
        return UNUSABLE
    known_id("part", options.part, library.parts)
    known_id("variant", options.on, library.variants)
    space = Space(family_as_built(library, library.variants[options.on].family))
    machine = 1 << lowest(space.variant_mask(options.on))
    plan = reach(library, space, machine.bit_length() - 1, options.part)
    if not plan.off and not plan.missing:
        raise HandwheelError(f"{options.on} has no '{options.part}' as it left the works")
    told = list(chapters(library, space, machine, plan))
    if options.json:
        print(json.dumps(_as_dict(library, plan, told), indent=2, ensure_ascii=False))
    else:
        print("\n".join(_lines(library, plan, told)))
    return FINE


def _lines(library: Library, plan: Plan, told: list[Chapter]) -> Iterator[str]:
    for chapter in told:
        yield f"{chapter.title}:"
        for number, step in enumerate(chapter.steps, 1):
            when = f"{step.when}: " if step.when else ""
            yield f"  {number}. {when}{plain_text(library, step.text)}  [{step.act.id}]"
    if plan.tests:
        yield "Then test again: " + joined(name_of(library.procedures[each], "procedures") for each in plan.tests)
    if tools := tools_of(plan):
        yield "Tools: " + joined(name_of(library.tools[each]) for each in tools)
    if (minutes := minutes_of(plan)) is not None:
        yield f"Minutes: {minutes.likely:g}, {minutes.low:g} to {minutes.high:g}"
    yield from (f"Missing: {each}" for each in plan.missing)
    for each in plan.violations:
        yield f"The simulation objects: {each.code} {each.subject[1]}"


def _as_dict(library: Library, plan: Plan, told: list[Chapter]) -> dict[str, object]:
    steps = [
        {"for": chapter.title, "step": step.act.id, "mirrored": step.act.mirrored, "do": plain_text(library, step.text)}
        for chapter in told
        for step in chapter.steps
    ]
    return {
        "part": plan.part,
        "off": list(plan.parts_off),
        "steps": steps,
        "lost": [each.id for each in plan.settings],
        "tests": list(plan.tests),
        "tools": list(tools_of(plan)),
        "missing": list(plan.missing),
    }

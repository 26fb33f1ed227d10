"""`handwheel reach`."""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator

from handwheel.cli.as_found import add_machine_options, machine_of, machine_words
from handwheel.cli.main import FINE, add_library, add_shop_option
from handwheel.cli.report import known_id, library_of, say
from handwheel.machines.errors import UnknownQuestion, UnknownState
from handwheel.pages.phrases import minutes_words
from handwheel.procedures.prose import plain_text
from handwheel.procedures.reach_groups import Group, Reached, reach_known
from handwheel.procedures.reach_words import Chapter, chapters, minutes_of, tools_of
from handwheel.procedures.resolve import AsBuilt
from handwheel.procedures.shown import INDENT, look_of
from handwheel.procedures.wording import condition_words, if_words, joined, name_of
from handwheel.records.errors import HandwheelError
from handwheel.records.library import Library


def add_options(sub: argparse.ArgumentParser) -> None:
    """Options of this command."""
    sub.add_argument("part", help="id of the part")
    add_shop_option(sub)
    add_library(sub)
    add_machine_options(sub)
    sub.add_argument("--json", action="store_true", help="as JSON instead of text")


def run(options: argparse.Namespace) -> int:
    """Print the least that must come off to reach a part, and all that then needs doing."""
    library = library_of(options)
    known_id("part", options.part, library.parts)
    if not (options.on or options.found or options.family):
        raise HandwheelError("no machine is named; say --on VARIANT, --found FEATURE=FORM or --family FAMILY")
    found = _reached(library, options)
    if options.json:
        print(json.dumps(_as_dict(library, options.part, found), indent=2, ensure_ascii=False))
    else:
        say(f"for {machine_words(options)}")
        print("\n".join(_lines(library, found)))
    return FINE


def _reached(library: Library, options: argparse.Namespace) -> Reached:
    family, machine = machine_of(library, options)
    try:
        found = reach_known(library, family, machine, options.part)
    except (UnknownQuestion, UnknownState) as error:
        raise HandwheelError(str(error.args[0])) from None
    if not found.groups:
        raise HandwheelError("no machine that can stand here shows all this")
    if not any(map(_has_it, found.groups)):
        left = " as it left the works" if isinstance(machine, AsBuilt) else ""
        raise HandwheelError(f"{machine_words(options)} has no '{options.part}'{left}")
    return found


def _has_it(group: Group) -> bool:
    return bool(group.plan.off or group.plan.missing)


def _lines(library: Library, found: Reached) -> Iterator[str]:
    """One block a group; the looks that settle which one it is stand before the first."""
    looks = dict.fromkeys(look for group in found.groups for look in group.looks)
    if looks:
        yield "Look first: " + "; ".join(look_of(library, each)["ask"] for each in looks)
    for group in found.groups:
        if len(found.groups) > 1:
            yield f"{_if_words(library, group)}:"
        indent = INDENT if len(found.groups) > 1 else ""
        lines = _plan_lines(library, found, group) if _has_it(group) else ["It is not on the machine."]
        yield from (indent + line for line in lines)


def _if_words(library: Library, group: Group) -> str:
    return if_words(library, group.condition) if group.condition else "On machines too mixed to name"


def _told(library: Library, found: Reached, group: Group) -> list[Chapter]:
    machine = group.machines & -group.machines
    return list(chapters(library, found.space, machine, group.plan))


def _plan_lines(library: Library, found: Reached, group: Group) -> Iterator[str]:
    plan = group.plan
    for chapter in _told(library, found, group):
        yield f"{chapter.title}:"
        for number, step in enumerate(chapter.steps, 1):
            when = f"{step.when}: " if step.when else ""
            yield f"  {number}. {when}{plain_text(library, step.text)}  [{step.act.id}]"
    if plan.tests:
        yield "Then test again: " + joined(name_of(library.procedures[each], "procedures") for each in plan.tests)
    if tools := tools_of(plan):
        yield "Tools: " + joined(name_of(library.tools[each]) for each in tools)
    if (minutes := minutes_of(plan)) is not None:
        yield f"Time: {minutes_words(minutes)}"
    yield from (f"Missing: {each}" for each in plan.missing)
    if not plan.shortest:
        yield "There are too many ways to try them all: a shorter one may be found."
    for each in plan.violations:
        yield f"The simulation objects: {each.code} {each.subject[1]}"


def _as_dict(library: Library, part: str, found: Reached) -> dict[str, object]:
    return {"part": part, "groups": [_group_dict(library, found, each) for each in found.groups]}


def _group_dict(library: Library, found: Reached, group: Group) -> dict[str, object]:
    plan = group.plan
    steps = [
        {"for": chapter.title, "step": step.act.id, "mirrored": step.act.mirrored, "do": plain_text(library, step.text)}
        for chapter in _told(library, found, group)
        for step in chapter.steps
    ]
    return {
        **({"if": condition_words(library, group.condition)} if group.condition else {}),
        "looks": [look_of(library, each) for each in group.looks],
        "machines": found.space.count(group.machines),
        "on_the_machine": _has_it(group),
        "off": list(plan.parts_off),
        "steps": steps,
        "lost": [each.id for each in plan.settings],
        "tests": list(plan.tests),
        "tools": list(tools_of(plan)),
        "missing": list(plan.missing),
        "shortest": plan.shortest,
    }

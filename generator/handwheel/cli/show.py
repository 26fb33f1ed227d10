"""`handwheel show`."""

from __future__ import annotations

import argparse
import json

from handwheel.cli.main import FINE, UNUSABLE, add_library, add_shop_option
from handwheel.cli.report import known_id, open_library, say, tell
from handwheel.machines.errors import UnknownQuestion, UnknownState
from handwheel.machines.machine import Known
from handwheel.machines.questions import MISSING
from handwheel.procedures.resolve import AsBuilt, Machine, resolve
from handwheel.procedures.shown import as_dict, as_lines
from handwheel.reading.messages import nearest
from handwheel.records.errors import HandwheelError
from handwheel.records.library import Library


def add_options(sub: argparse.ArgumentParser) -> None:
    """Options of this command."""
    sub.add_argument("procedure", help="id of the procedure")
    add_shop_option(sub)
    add_library(sub)
    sub.add_argument("--on", metavar="VARIANT", help="the variant as it left the works")
    sub.add_argument("--family", help="family of a machine of which only looks are known")
    sub.add_argument(
        "--found",
        metavar="FEATURE=FORM",
        action="append",
        default=[],
        help="what was found, as often as needed; FORM,FORM for 'this or that', missing for a lost part; "
        "with --on it says what variant it was built as",
    )
    sub.add_argument("--json", action="store_true", help="as JSON instead of text")


def run(options: argparse.Namespace) -> int:
    """Print a procedure for a machine, known wholly or in part."""
    library, messages = open_library(options)
    if library is None:
        tell(messages, "text")
        return UNUSABLE
    known_id("procedure", options.procedure, library.procedures)
    family, machine = _machine(library, options)
    try:
        made = resolve(library, family, machine, options.procedure)
    except (UnknownQuestion, UnknownState) as error:
        raise HandwheelError(str(error.args[0])) from None
    if options.json:
        print(json.dumps(as_dict(library, made), indent=2, ensure_ascii=False))
    else:
        say(f"for {_words(options)}")
        print("\n".join(as_lines(library, made)))
    return FINE


def _machine(library: Library, options: argparse.Namespace) -> tuple[str, Machine]:
    forms = dict(_found(library, each) for each in options.found)
    if options.on:
        known_id("variant", options.on, library.variants)
        family = library.variants[options.on].family
        if not forms:
            return family, AsBuilt(options.on)
        return family, Known(frozenset((options.on,)), forms)
    family = options.family or next(iter(library.families), "")
    known_id("family", family, library.families)
    return family, Known(None, forms)


def _found(library: Library, said: str) -> tuple[str, frozenset[str]]:
    feature, _, forms = said.partition("=")
    known_id("feature", feature, library.features)
    for form in (wanted := forms.split(",")):
        known = (*library.features[feature].forms, MISSING)
        if form not in known:
            near = nearest(form, known)
            hint = f"did you mean '{near}'?" if near else ", ".join(known)
            raise HandwheelError(f"'{feature}' has no form '{form}'; {hint}")
    return feature, frozenset(wanted)


def _words(options: argparse.Namespace) -> str:
    parts = [f"variant {options.on}"] if options.on else ["a machine of which this is known:"]
    return " ".join([*parts, *options.found]) if options.on or options.found else "a machine of which nothing is known"

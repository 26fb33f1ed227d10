"""The machine that a command is asked about: a variant as built, or a machine as found, known wholly or in part."""

from __future__ import annotations

import argparse

from handwheel.cli.report import known_id
from handwheel.machines.machine import Known
from handwheel.machines.questions import MISSING
from handwheel.procedures.resolve import AsBuilt, Machine
from handwheel.reading.messages import nearest
from handwheel.records.errors import HandwheelError
from handwheel.records.library import Library


def add_machine_options(sub: argparse.ArgumentParser) -> None:
    """Options that name the machine."""
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


def machine_of(library: Library, options: argparse.Namespace) -> tuple[str, Machine]:
    """Family, and what is known of the machine."""
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


def machine_words(options: argparse.Namespace) -> str:
    """The machine as it was asked for."""
    parts = [f"variant {options.on}"] if options.on else ["a machine of which this is known:"]
    return " ".join([*parts, *options.found]) if options.on or options.found else "a machine of which nothing is known"

"""`handwheel identify`."""

from __future__ import annotations

import argparse
import json
import sys
from dataclasses import replace

from handwheel.cli.main import FINE, add_library, add_shop_option
from handwheel.cli.report import known_id, library_of, say
from handwheel.identify.asking import HELP, STOP, Questions, Talk, heard, listed, question
from handwheel.identify.evidence import EvidenceError
from handwheel.identify.said import Said, evidence_of
from handwheel.identify.subjects import names_of, plan_of, tables_for
from handwheel.identify.telling import as_data, contradictions, lines, sentence
from handwheel.records.errors import HandwheelError
from handwheel.records.library import Library


def add_options(sub: argparse.ArgumentParser) -> None:
    """Options of this command."""
    add_shop_option(sub)
    add_library(sub)
    sub.add_argument("--family", help="family of the machine; may be left out where there is only one")
    _several(sub, "--saw", "FEATURE=FORM", "what was seen; FORM,FORM for this or that")
    _several(sub, "--cannot-see", "FEATURE", "a look that cannot be taken")
    _several(sub, "--marking", "ID[=no]", "a marking that is on it, or with =no is not")
    sub.add_argument("--serial", metavar="NUMBER", default="", help="the serial number, ? for a doubtful character")
    sub.add_argument("--mass", metavar="KG", default="", help="mass of the bare head in kilograms")
    sub.add_argument("--ask", action="store_true", help="ask on, starting from what the other options say")
    sub.add_argument("--json", action="store_true", help="as JSON instead of text")


def _several(sub: argparse.ArgumentParser, name: str, form: str, about: str) -> None:
    sub.add_argument(name, metavar=form, action="append", default=[], help=about)


def run(options: argparse.Namespace) -> int:
    """Say which machine it is; without a look among the options, ask for looks one by one."""
    library = library_of(options)
    said = Said(options.saw, options.cannot_see, options.marking, options.serial, options.mass)
    try:
        talk = _talk(library, _family(library, options.family), said)
    except EvidenceError as error:
        raise HandwheelError(str(error)) from None
    if options.ask or (said == Said([], [], []) and not options.json):
        talk = _asked(talk, _questions(library, talk.tables.subject.family.id))
    answer = talk.answer
    if options.json:
        print(json.dumps(as_data(talk.tables, talk.evidence, answer, talk.names), indent=2, ensure_ascii=False))
    else:
        print("\n".join(lines(talk.tables, talk.evidence, answer, talk.names)))
    return FINE


def _family(library: Library, named: str | None) -> str:
    if named is not None:
        known_id("family", named, library.families)
    elif len(library.families) != 1:
        raise HandwheelError(f"which family? --family is one of: {', '.join(library.families)}")
    family = named or next(iter(library.families))
    if not library.variants_of(family):
        raise HandwheelError(f"family '{family}' has no variants yet")
    return family


def _talk(library: Library, family: str, said: Said) -> Talk:
    tables, names = tables_for(library, family), names_of(library, family)
    return Talk(tables, names, plan_of(library), evidence_of(tables, names, said))


def _questions(library: Library, family: str) -> Questions:
    features = library.features.values()
    ask = {each.id: each.ask for each in features}
    look = {each.id: each.look for each in features}
    return Questions(
        ask | {"serial": "What is its serial number?", "mass": "What does the head weigh?"},
        look | {"serial": library.families[family].serial_look},
    )


def _asked(talk: Talk, words: Questions) -> Talk:
    """Ask until it is settled, the person stops, or the input ends. Talk goes to standard error."""
    say(HELP)
    while look := talk.asked(answer := talk.answer):
        against = contradictions(talk.tables, talk.evidence, answer, talk.names)
        say("\n".join(["", sentence(talk.tables, answer, talk.names), *against, ""]))
        say("\n".join(question(talk, look, words)))
        text = sys.stdin.readline()
        if not text or text.strip().casefold() in STOP:
            return replace(talk, before=None)
        if text.strip() == "list":
            say("\n".join(listed(talk, answer)))
            continue
        try:
            talk = heard(talk, look, text)
        except EvidenceError as error:
            say(str(error))
    return replace(talk, before=None)

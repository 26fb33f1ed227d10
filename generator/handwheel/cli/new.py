"""`handwheel new`: a shop's folder, or something more in a shop."""

from __future__ import annotations

import argparse
from pathlib import Path

from handwheel.cli.adding import add_to_shop
from handwheel.cli.main import FINE, add_library
from handwheel.cli.report import say
from handwheel.desk.adding import kind_of
from handwheel.desk.asking import asker, take_default
from handwheel.desk.layout import CONTENT
from handwheel.desk.new_shop import Answers, answered, make_shop
from handwheel.records.errors import HandwheelError
from handwheel.records.kinds import KINDS

_KINDS = ", ".join(kind.singular.replace(" ", "-") for kind in KINDS.values() if kind.plural != "shops")
_ABOUT = {
    "name": "name of the shop",
    "currency": "its currency",
    "family": "name of the first family",
    "variant": "name of its first pattern",
    "feature": "a feature that tells patterns apart, in a word or two",
    "forms": "the forms that it takes, two or more",
    "procedure": "title of the first procedure",
    "area": "where in a job it belongs",
    "steps": "its steps, a sentence or two each",
}
_SEVERAL = ("forms", "steps")


def add_options(sub: argparse.ArgumentParser) -> None:
    """Options of this command; each thing that can be made has further ones of its own."""
    sub.formatter_class = argparse.RawDescriptionHelpFormatter
    sub.epilog = (
        "handwheel new FOLDER --help        options of a new shop\n"
        "handwheel new part --help          options of a new part; so for each other kind\n"
        "handwheel new step --help          options of a new step of a procedure\n\n"
        "What is left out is asked for when a terminal is there."
    )
    sub.add_argument("--no-questions", action="store_true", help="ask nothing")
    sub.add_argument("what", metavar="FOLDER|KIND", help=f"a folder for a new shop; or step, screw, {_KINDS}")
    sub.add_argument("rest", nargs=argparse.REMAINDER, metavar="...", help="its id, and its options")


def run(options: argparse.Namespace) -> int:
    """Make a shop, or add to one."""
    word, rest = options.what, options.rest + ["--no-questions"] * options.no_questions
    if word == "shop":  # the word for what is made, unless it is meant as the folder's name
        named = bool(rest) and not rest[0].startswith("-")
        return _new_shop(Path(rest[0] if named else word), rest[named:])
    if word == "step" or kind_of(word) is not None:
        return add_to_shop(word, rest)
    return _new_shop(Path(word), rest)


def _new_shop(folder: Path, rest: list[str]) -> int:
    given = _parser(folder).parse_args(rest)
    named = {key: getattr(given, key) for key in _ABOUT if getattr(given, key) is not None}
    named |= {key: tuple(named[key]) for key in _SEVERAL if key in named}
    ask = asker(given.no_questions)
    if "procedure" in named and "steps" not in named and ask is take_default:
        raise HandwheelError("the steps of the first procedure must be told too: --steps 'Wipe the bed.' 'Oil it.'")
    answers = answered(Answers(**{"name": _name(folder)} | named), lambda key: key not in named, ask)
    files = make_shop(folder, answers, given.library)
    say(f"made {folder}: " + ", ".join(files))
    say(f"next: cd {folder}; handwheel check; handwheel build; then write on in {CONTENT}/")
    return FINE


def _name(folder: Path) -> str:
    name = folder.resolve().name.replace("-", " ").replace("_", " ").strip()
    return name[:1].upper() + name[1:]


def _parser(folder: Path) -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog=f"handwheel new {folder}", description="Make a shop's folder.")
    for key, about in _ABOUT.items():
        more = {"nargs": "+"} if key in _SEVERAL else {}
        parser.add_argument(f"--{key}", help=about, metavar="WORDS", **more)  # type: ignore[arg-type]
    parser.add_argument(
        "--no-questions", action="store_true", help="ask nothing; the usual answer for what is left out"
    )
    add_library(parser)
    return parser

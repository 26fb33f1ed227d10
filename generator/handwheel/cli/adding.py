"""The part of `handwheel new` that adds to a shop: options made from the keys of each kind."""

from __future__ import annotations

import argparse
from collections.abc import Mapping

from handwheel.cli.main import FINE, add_library, add_shop_option
from handwheel.cli.report import say
from handwheel.desk.adding import Added, Shop, add_record, add_step, keys, kind_of, open_shop, values
from handwheel.desk.asking import asker, take_default
from handwheel.desk.writing import Raw
from handwheel.reading.layering import REPLACES, id_like
from handwheel.records.errors import HandwheelError
from handwheel.records.kinds import Kind
from handwheel.records.shapes import Key


def add_to_shop(word: str, rest: list[str]) -> int:
    """Add a record of a kind, or a step, to a shop."""
    kind = kind_of(word)
    options = _parser(word, kind).parse_args(rest)
    shop = open_shop(options.shop, options.library)
    known = keys(kind)
    given = {key: found for key in known if (found := getattr(options, f"key_{key}"))}
    given |= _asked(known, given, kind, options.no_questions)
    added = _add(shop, kind, options, known, given)
    say(f"added {added.name}: {added.file}:{added.line}")
    return FINE


def _add(
    shop: Shop, kind: Kind | None, options: argparse.Namespace, known: Mapping[str, Key], given: Mapping[str, list[str]]
) -> Added:
    made = values(known, given)
    if kind is None:
        return add_step(shop, options.id, made, options.after)
    label = next(iter(given.get(kind.label, [])), "")
    identifier = options.id or id_like(label)
    if not identifier:
        raise HandwheelError(f"no id: write it after the kind, such as handwheel new {options.word} my-{options.word}")
    return add_record(
        shop, kind, identifier, made | ({REPLACES: Raw("true")} if options.replaces else {}), options.to_file
    )


def _asked(
    known: Mapping[str, Key], given: Mapping[str, list[str]], kind: Kind | None, quiet: bool
) -> dict[str, list[str]]:
    """Answers for the keys that must be there, and for the one that names a record, where they were left out."""
    label = kind.label if kind else "do"
    wanted = [key for key, described in known.items() if (described.required or key == label) and key not in given]
    ask = asker(quiet)
    if ask is not take_default:
        answers = {key: ask(f"{key}: {known[key].doc} (such as {known[key].example})", "") for key in wanted}
        given = {**given, **{key: [answer] for key, answer in answers.items() if answer}}
    missing = [key for key in wanted if known[key].required and key not in given]
    if missing:
        ways = ", ".join(f"--{_dashed(key)} {known[key].example!r}" for key in missing)
        raise HandwheelError(f"{' and '.join(missing)} must be there; such as {ways}")
    return {key: found for key, found in given.items() if key in wanted}


def _parser(word: str, kind: Kind | None) -> argparse.ArgumentParser:
    what = kind.doc if kind else "a step of a procedure."
    about = f"Add to a shop: {what} Texts are taken as they are; other values as YAML."
    parser = argparse.ArgumentParser(prog=f"handwheel new {word}", description=_plain(about), allow_abbrev=False)
    parser.set_defaults(word=word)
    if kind is None:
        parser.add_argument("id", metavar="PROCEDURE", help="id of the procedure that it belongs to")
        parser.add_argument("--after", default="", metavar="STEP", help="id of the step that it follows (the last)")
    else:
        parser.add_argument("id", nargs="?", default="", metavar="ID", help="its id (made from its name)")
        parser.add_argument(
            "--to-file", default="", help="file in the shop's folder (that of the last one of its kind)"
        )
        parser.add_argument("--replaces", action="store_true", help="it takes the place of an entry of the library")
    add_shop_option(parser)
    add_library(parser)
    parser.add_argument("--no-questions", action="store_true", help="ask nothing")
    _add_keys(parser, keys(kind))
    return parser


def _add_keys(parser: argparse.ArgumentParser, known: Mapping[str, Key]) -> None:
    group = parser.add_argument_group("keys of it")
    for key, described in known.items():
        text = _plain(f"{described.doc} Such as: {described.example}")
        name = f"--{_dashed(key)}"
        group.add_argument(name, dest=f"key_{key}", action="append", default=[], metavar="VALUE", help=text)


def _dashed(key: str) -> str:
    return key.replace("_", "-")


def _plain(text: str) -> str:
    """Text for argparse, which takes % for its own."""
    return text.replace("%", "%%")

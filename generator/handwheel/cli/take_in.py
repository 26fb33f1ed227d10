"""`handwheel take-in`."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from handwheel.cli.main import FINE, STOPPED, add_shop
from handwheel.cli.report import known_id, say
from handwheel.desk.adding import Shop, open_shop
from handwheel.desk.dropped_notes import FILE as DROPPED
from handwheel.desk.dropped_notes import dropped_in, remember
from handwheel.desk.notes_file import read_notes
from handwheel.desk.taking_in import FILE, Offer, accept, offers
from handwheel.reading.reporters import printable
from handwheel.records.errors import HandwheelError

ALL = "all"


def add_options(sub: argparse.ArgumentParser) -> None:
    """Options of this command."""
    sub.add_argument("file", type=Path, metavar="FILE", help="notes that the browser handed out")
    add_shop(sub)
    sub.add_argument("--list", action="store_true", help="show the notes beside their steps, and take in nothing")
    sub.add_argument("--json", action="store_true", help="the same as data")
    sub.add_argument("--accept", nargs="+", default=[], metavar="ID", help="take in these, or all that are still open")
    sub.add_argument(
        "--drop", nargs="+", default=[], metavar="ID", help="leave these out for good, or all not accepted"
    )


def run(options: argparse.Namespace) -> int:
    """Show each note beside its step; take in those that are accepted."""
    notes = read_notes(options.file)
    shop = open_shop(options.shop, options.library)
    offered = offers(shop.library, notes, dropped_in(options.shop))
    for each in (*options.accept, *options.drop):
        if each != ALL:
            known_id("note of this file", each, [offer.note.id for offer in offered])
    if options.json:
        print(json.dumps([_as_data(each) for each in offered], indent=2))
    elif options.list or not (options.accept or options.drop):
        print("\n\n".join("\n".join(_lines(each)) for each in offered) or "no notes in the file")
    named = options.accept or options.drop
    if options.list or (options.json and not named):
        return FINE
    if not named and any(each.open and not each.dropped for each in offered) and not sys.stdin.isatty():
        raise HandwheelError("nobody is there to be asked; say --accept and --drop, or --list")
    return _decided(options, shop, offered)


def _decided(options: argparse.Namespace, shop: Shop, offered: Sequence[Offer]) -> int:
    """Take in what is accepted, remember what is dropped, and say so."""
    chosen, dropped = _chosen(offered, options.accept, options.drop, input)
    count = accept(shop, chosen)
    forgotten = remember(options.shop, [each.note for each in dropped], {each.note.id for each in chosen})
    left = sum(bool(each.hindrance) and not each.taken and not each.dropped and each not in dropped for each in offered)
    say(
        f"{len(chosen)} of {len(offered)} notes taken in: {count} records in {options.shop / FILE}"
        if count
        else "nothing taken in"
    )
    if forgotten:
        say(f"{forgotten} dropped, and not offered again; they stand in {options.shop / DROPPED}")
    if left:
        say(f"{left} could not be placed; they are still in {options.file}")
    return STOPPED if left else FINE


def _chosen(
    offered: Sequence[Offer], accepted: Sequence[str], dropped: Sequence[str], ask: Callable[[str], str]
) -> tuple[list[Offer], list[Offer]]:
    """What is accepted and what is dropped: by name, by `all`, or one by one."""
    if both := sorted(set(accepted) & set(dropped)):
        raise HandwheelError(f"'{both[0]}' is both accepted and dropped")
    if not (accepted or dropped):
        waiting = [(each, _asked(each, ask)) for each in offered if each.open and not each.dropped]
        return [each for each, yes in waiting if yes], [each for each, yes in waiting if not yes]
    named = [each for each in offered if each.note.id in dropped]
    fit = [each for each in offered if each.open and each not in named]
    chosen = [each for each in fit if each.note.id in accepted or (ALL in accepted and not each.dropped)]
    rest = [each for each in offered if ALL in dropped and each not in chosen and not each.taken]
    return chosen, [*named, *(each for each in rest if each not in named)]


def _asked(offer: Offer, ask: Callable[[str], str]) -> bool:
    while True:
        try:
            said = (
                ask(f"\n{printable(offer.note.says)}\n  accept it beside {offer.place}? [a]ccept, [d]rop: ")
                .strip()
                .lower()
            )
        except EOFError:
            raise HandwheelError("the answers ended before the notes did; nothing was taken in") from None
        if said[:1] in ("a", "d"):
            return said[:1] == "a"


def _lines(offer: Offer) -> Iterator[str]:
    note = offer.note
    head = {"note": "note", "otherwise": "went otherwise", "reading": f"reading of {note.reading}"}[note.kind]
    yield f"{note.id}  {head}, {note.date}" + (f", on {printable(note.machine)}" if note.machine else "")
    yield f"  {printable(note.says)}"
    if offer.step:
        yield f"  beside {printable(offer.place)}: {printable(offer.words)}"
    if offer.changed:
        yield f"  the step has changed since; it said: {printable(note.words)}"
    if offer.taken:
        yield "  taken in before"
    elif offer.dropped:
        yield "  dropped before"
    elif offer.hindrance:
        yield f"  cannot be taken in: {printable(offer.hindrance)}"


def _as_data(offer: Offer) -> dict[str, object]:
    note = offer.note
    keys = ("id", "kind", "step", "date", "machine", "says", "reading")
    state = "taken" if offer.taken else "dropped" if offer.dropped else "cannot" if offer.hindrance else "open"
    about = {"place": offer.place, "words": offer.words, "changed": offer.changed}
    return {key: getattr(note, key) for key in keys} | about | {"state": state, "why": offer.hindrance}

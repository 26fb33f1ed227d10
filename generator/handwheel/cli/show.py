"""`handwheel show`."""

from __future__ import annotations

import argparse
import json

from handwheel.cli.as_found import add_machine_options, machine_of, machine_words
from handwheel.cli.main import FINE, add_library, add_shop_option
from handwheel.cli.report import known_id, library_of, say
from handwheel.machines.errors import UnknownQuestion, UnknownState
from handwheel.procedures.resolve import resolve
from handwheel.procedures.shown import as_dict, as_lines
from handwheel.records.errors import HandwheelError


def add_options(sub: argparse.ArgumentParser) -> None:
    """Options of this command."""
    sub.add_argument("procedure", help="id of the procedure")
    add_shop_option(sub)
    add_library(sub)
    add_machine_options(sub)
    sub.add_argument("--json", action="store_true", help="as JSON instead of text")


def run(options: argparse.Namespace) -> int:
    """Print a procedure for a machine, known wholly or in part."""
    library = library_of(options)
    known_id("procedure", options.procedure, library.procedures)
    family, machine = machine_of(library, options)
    try:
        made = resolve(library, family, machine, options.procedure)
    except (UnknownQuestion, UnknownState) as error:
        raise HandwheelError(str(error.args[0])) from None
    if options.json:
        print(json.dumps(as_dict(library, made), indent=2, ensure_ascii=False))
    else:
        say(f"for {machine_words(options)}")
        print("\n".join(as_lines(library, made)))
    return FINE

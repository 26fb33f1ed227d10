"""`handwheel explain`."""

from __future__ import annotations

import argparse
import json

from handwheel.cli.main import FINE, add_library, add_shop_option
from handwheel.cli.report import library_of
from handwheel.desk.explaining import explain
from handwheel.desk.meaning import as_data, as_lines
from handwheel.records.errors import HandwheelError


def add_options(sub: argparse.ArgumentParser) -> None:
    """Options of this command."""
    sub.add_argument("word", help="an id, procedure/step, form, state, key, effect, mark, kind of record, or rule")
    add_shop_option(sub)
    add_library(sub)
    sub.add_argument("--json", action="store_true", help="as JSON instead of text")


def run(options: argparse.Namespace) -> int:
    """Say every sense that the word has."""
    library = library_of(options)
    found = explain(library, options.word)
    if not found.meanings:
        hint = f"; did you mean '{found.nearest}'?" if found.nearest else ""
        raise HandwheelError(f"nothing here is called '{options.word}'{hint}")
    if options.json:
        document = {"word": found.word, "meanings": [as_data(meaning) for meaning in found.meanings]}
        print(json.dumps(document, indent=2, ensure_ascii=False))
    else:
        print("\n\n".join("\n".join(as_lines(meaning)) for meaning in found.meanings))
    return FINE

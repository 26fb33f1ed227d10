"""`handwheel passages`."""

from __future__ import annotations

import argparse
import json
from dataclasses import asdict
from pathlib import Path

from handwheel.cli.main import FINE, add_library, add_shop_option
from handwheel.cli.report import known_id, library_of, say
from handwheel.desk.draft_passages import SILENCE, as_yaml, drafts
from handwheel.reading.timed_text import clock, read_cues


def add_options(sub: argparse.ArgumentParser) -> None:
    """Options of this command."""
    sub.add_argument("file", type=Path, help="timed text of a recording: WebVTT or SRT")
    add_shop_option(sub)
    add_library(sub)
    sub.add_argument("--recording", metavar="ID", help="leave out what passages of this recording cover already")
    sub.add_argument(
        "--silence", type=int, default=SILENCE, metavar="SECONDS", help=f"silence that ends a stretch ({SILENCE})"
    )
    sub.add_argument("--json", action="store_true", help="as JSON instead of YAML")


def run(options: argparse.Namespace) -> int:
    """Print draft passages for the writer to put under `passages:`."""
    library = library_of(options)
    recordings = library.of("recordings")
    if options.recording:
        known_id("recording", options.recording, recordings)
    made = drafts(library, read_cues(options.file), recordings.get(options.recording or ""), max(1, options.silence))
    if options.json:
        found = [{**asdict(each), "start": clock(each.start), "end": clock(each.end)} for each in made]
        print(json.dumps(found, indent=2, ensure_ascii=False))
    else:
        print("\n".join(as_yaml(made)))
    say(f"{len(made)} drafts; what stands behind # is guessed from shared words")
    return FINE

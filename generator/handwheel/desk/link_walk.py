"""LinkChecker over the built files: it walks from the home page, as a browser does.

It runs in a process of its own: it patches the socket module and answers signals itself. Anchors are not left to it:
its plugin parses a page again for each anchor on it, which took more than three minutes on a site of 800 pages.
"""

from __future__ import annotations

import csv
import io
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Mapping
from pathlib import Path
from urllib.parse import unquote, urlsplit

from handwheel.desk.site_links import BadLink
from handwheel.records.errors import HandwheelError

_THREADS = 2
_LONGEST = 900
_START = "import sys; from linkcheck.command import linkchecker as l; l.drop_privileges = lambda: None; l.linkchecker()"
"""Run by root it would become a user who may not read the build."""
_ENDED_WELL = (0, 1)


def walked_links(folder: Path, sources: Mapping[str, str]) -> list[BadLink]:
    """What LinkChecker calls broken, page by page.

    Raises:
        HandwheelError: it did not come to an end.
    """
    with tempfile.TemporaryDirectory() as empty:
        config = Path(empty, "rc")
        config.write_text("[checking]\nmaxfilesizeparse=16777216\n", "utf-8")
        said = _run(folder, config)
    root = folder.resolve().as_uri()
    return sorted(set(_bad(said, root, sources)))


def _run(folder: Path, config: Path) -> str:
    options = ["-f", str(config), "--no-status", "--no-warnings", "-t", str(_THREADS), "-o", "csv"]
    command = [sys.executable, "-c", _START, *options, str(folder.resolve() / "index.html")]
    try:
        done = subprocess.run(command, capture_output=True, text=True, timeout=_LONGEST, check=False)
    except subprocess.TimeoutExpired:
        raise HandwheelError(f"LinkChecker did not end within {_LONGEST} s; nothing was put in place") from None
    if done.returncode not in _ENDED_WELL or "# Stopped checking" not in done.stdout:
        raise HandwheelError(f"LinkChecker failed with code {done.returncode}: {done.stderr.strip()[-800:]}")
    return done.stdout


def _bad(said: str, root: str, sources: Mapping[str, str]) -> Iterator[BadLink]:
    lines = (line for line in io.StringIO(said) if not line.startswith("#"))
    for row in csv.DictReader(lines, delimiter=";"):
        if row["valid"] == "False":
            page = unquote(urlsplit(row["parentname"].removeprefix(root).lstrip("/")).path) or "index.html"
            line = int(row["line"]) if row["line"].isdigit() else 0
            what = row["result"].partition(" '/")[0]  # the path of a folder that is gone afterwards
            yield BadLink(page, line, row["urlname"], what, sources.get(page, ""), "LinkChecker")

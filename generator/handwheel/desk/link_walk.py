"""LinkChecker over the built files: it walks from the home page, as a browser does.

It runs in a process of its own: it patches the socket module and answers signals itself, and meanwhile our own reading
goes on. Anchors are not left to it: its plugin parses a page again for each anchor on it.
"""

from __future__ import annotations

import csv
import io
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import unquote, urlsplit

from handwheel.desk.site_links import BadLink
from handwheel.records.errors import HandwheelError

_THREADS = 1
"""More only take turns: nearly all of the work is done in Python."""
_LONGEST = 900
_START = "from handwheel.desk.link_walker import main; main()"
_ENDED_WELL = (0, 1)


@dataclass(frozen=True)
class Walk:
    """A walk under way."""

    folder: Path
    work: subprocess.Popen[str]

    def bad(self, sources: Mapping[str, str]) -> list[BadLink]:
        """Wait for its end; what LinkChecker calls broken, page by page.

        Raises:
            HandwheelError: it did not come to an end.
        """
        try:
            said, complaint = self.work.communicate(timeout=_LONGEST)
        except subprocess.TimeoutExpired:
            raise HandwheelError(f"LinkChecker did not end within {_LONGEST} s; nothing was put in place") from None
        if self.work.returncode not in _ENDED_WELL or "# Stopped checking" not in said:
            raise HandwheelError(f"LinkChecker failed with code {self.work.returncode}: {complaint.strip()[-800:]}")
        return sorted(set(_bad(said, self.folder.resolve().as_uri(), sources)))


@contextmanager
def walking(folder: Path) -> Iterator[Walk]:
    """Have LinkChecker walk meanwhile; it never outlives the block."""
    with tempfile.TemporaryDirectory() as empty:
        config = Path(empty, "rc")
        config.write_text("[checking]\nmaxfilesizeparse=16777216\n", "utf-8")
        options = ["-f", str(config), "--no-status", "--no-warnings", "-t", str(_THREADS), "-o", "csv"]
        command = [sys.executable, "-c", _START, *options, str(folder.resolve() / "index.html")]
        pipe = subprocess.PIPE
        with subprocess.Popen(command, stdout=pipe, stderr=pipe, text=True) as work:
            try:
                yield Walk(folder, work)
            finally:
                work.kill()


def walked_links(folder: Path, sources: Mapping[str, str]) -> list[BadLink]:
    """What LinkChecker calls broken, page by page.

    Raises:
        HandwheelError: it did not come to an end.
    """
    with walking(folder) as walk:
        return walk.bad(sources)


def _bad(said: str, root: str, sources: Mapping[str, str]) -> Iterator[BadLink]:
    lines = (line for line in io.StringIO(said) if not line.startswith("#"))
    for row in csv.DictReader(lines, delimiter=";"):
        if row["valid"] == "False":
            page = unquote(urlsplit(row["parentname"].removeprefix(root).lstrip("/")).path) or "index.html"
            line = int(row["line"]) if row["line"].isdigit() else 0
            what = row["result"].partition(" '/")[0]  # the path of a folder that is gone afterwards
            yield BadLink(page, line, row["urlname"], what, sources.get(page, ""), "LinkChecker")

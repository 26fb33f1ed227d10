"""How long from saving a file to the new page in the preview, on a made-up site. Run: `python bench/preview.py`.

The site is made anew at each save; the text that is waited for comes from the file that was saved.
"""

from __future__ import annotations

import argparse
import os
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from pathlib import Path

import pages as side_by_side

TARGET = "variants/v0/p0.html"


def free_port() -> int:
    """A port that nobody listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
    return port


def wait_for(address: str, text: str, limit: float = 120.0) -> float:
    """Seconds until the page at the address holds the text."""
    start = time.perf_counter()
    while time.perf_counter() - start < limit:
        try:
            with urllib.request.urlopen(address, timeout=limit) as answer:
                if text in answer.read().decode():
                    return time.perf_counter() - start
        except (urllib.error.URLError, ConnectionError):
            pass
        time.sleep(0.01)
    raise SystemExit(f"no '{text}' at the preview within {limit:.0f} s")


def main() -> None:
    """Start a preview, save a few times, print the waits."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--pages", type=int, default=1000)
    parser.add_argument("--saves", type=int, default=5)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as temporary:
        folder = Path(temporary)
        (folder / "docs").mkdir()
        note = folder / "docs/note.yaml"
        note.write_text("first save")
        (folder / "mkdocs.yml").write_text(side_by_side.OURS.replace("folders: []", "folders: [docs]"))
        port = free_port()
        env = os.environ | {"PYTHONPATH": str(side_by_side.HERE), "PAGES": str(asked.pages)}
        command = [sys.executable, "-m", "mkdocs", "serve", "-q", "-a", f"127.0.0.1:{port}"]
        server = subprocess.Popen(command, cwd=folder, env=env | {"NO_MKDOCS_2_WARNING": "1"})
        try:
            address = f"http://127.0.0.1:{port}/{TARGET}"
            wait_for(address, "first save")
            waits = []
            for number in range(asked.saves):
                time.sleep(1)
                note.write_text(f"save number {number}")
                waits.append(wait_for(address, f"save number {number}"))
        finally:
            server.terminate()
            server.wait()
    print(f"preview of {asked.pages} pages: {', '.join(f'{wait:.2f}' for wait in waits)} s from save to page")


if __name__ == "__main__":
    main()

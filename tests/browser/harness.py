"""Building a site for the browser, serving it from this machine, and watching what its pages ask for."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from urllib.parse import urlsplit

import yaml
from playwright.sync_api import BrowserContext, Request

ROOT = Path(__file__).parents[2]
CHROMIUM = os.environ.get("CHROMIUM", "/usr/bin/chromium")
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
HERE_ONLY = {"", "127.0.0.1"}


def build(folder: Path, make: str) -> Path:
    """Build a site with the project's own configuration, made by `module:function`; return where it lies."""
    config = yaml.safe_load((ROOT / "mkdocs.yml").read_text("utf-8"))
    (folder / "empty").mkdir(parents=True)
    config["docs_dir"] = "empty"
    config["theme"]["custom_dir"] = str(ROOT / config["theme"]["custom_dir"])
    config["plugins"] = ["search", {"handwheel": {"folders": [], "make": make}}]
    (folder / "mkdocs.yml").write_text(yaml.safe_dump(config), "utf-8")
    env = os.environ | {"PYTHONPATH": str(ROOT / "tests")}
    subprocess.run([sys.executable, "-m", "mkdocs", "build", "-q"], cwd=folder, env=env, check=True)
    return folder / "site"


class Quiet(SimpleHTTPRequestHandler):
    """A server that keeps its log to itself."""

    def log_message(self, *args: object) -> None:
        """Say nothing."""


@contextmanager
def served(folder: Path) -> Iterator[str]:
    """The address of a folder, served from this machine only."""
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=str(folder)))
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}"
    finally:
        server.shutdown()
        server.server_close()
        thread.join()


def watch(context: BrowserContext) -> list[str]:
    """Addresses on other hosts that pages of the context ask for, filled while they run."""
    strangers: list[str] = []

    def note(request: Request) -> None:
        parts = urlsplit(request.url)
        if parts.scheme not in {"data", "blob", "about"} and (parts.hostname or "") not in HERE_ONLY:
            strangers.append(request.url)

    context.on("request", note)
    return strangers

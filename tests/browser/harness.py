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
from playwright.sync_api import BrowserContext, Page, Request

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


AXE_TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]


def axe_findings(page: Page) -> list[str]:
    """What axe-core finds against WCAG 2.2, levels A and AA: rule, element, and why."""
    page.evaluate((ROOT / "node_modules/axe-core/axe.min.js").read_text("utf-8"))
    # What passed comes back as a count alone: its thousands of elements take longer to hand over than to judge.
    run = """tags => axe.run(document, {runOnly: {type: "tag", values: tags}, resultTypes: ["violations"]})
        .then(found => ({passes: found.passes.length, violations: found.violations}))"""
    result = page.evaluate(run, AXE_TAGS)
    assert result["passes"], "axe ran no rule"
    return [
        f"{rule['id']}: {' '.join(map(str, node['target']))}: {node['failureSummary']}"
        for rule in result["violations"]
        for node in rule["nodes"]
    ]


def small_targets(page: Page, least: int = 44) -> list[str]:
    """Controls on our part of the page that a thumb misses: below `least` CSS pixels in height.

    Links inside a sentence are exempt, as in WCAG 2.2, criterion 2.5.8.
    """
    script = """least => [...document.querySelectorAll(
        ".hw-page :is(button, summary, .hw-button, .hw-links a, .hw-crumbs a, .hw-used a, .hw-do, .hw-card a)")]
        .filter(e => e.checkVisibility() && e.getBoundingClientRect().height < least)
        .map(e => e.outerHTML.slice(0, 90) + " " + e.getBoundingClientRect().height)"""
    found: list[str] = page.evaluate(script, least)
    return found

"""A made-up site of N procedure pages, as finished pages and as Markdown, for timing only."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from handwheel.pages.environment import environment
from handwheel.pages.site import NavItem, Page, SearchEntry, Site

STEPS = 20
PARTS = ("bracket screw", "end cover", "check spring", "stop motion screw", "bobbin case", "feed dog", "presser bar")
EVERY = 50
"""Distinct procedures; variants share them."""


def words(procedure: int, step: int) -> tuple[str, str, str]:
    """What a step says: do, why, derived."""
    part = PARTS[(procedure + step) % len(PARTS)]
    return (
        f"Undo 2 {part}s and lift piece {procedure}-{step} off its seat with both hands.",
        f"The {part} holds the spring under load; without it the next piece comes out freely.",
        f"undo 2 {part}s, blade 0.8 x 4 mm; loses: throw of spring {step}",
    )


def count() -> int:
    """How many pages were asked for."""
    return int(os.environ.get("PAGES", "1000"))


def step_html(procedure: int, step: int) -> str:
    """A step as the site's own templates write it."""
    do, why, derived = words(procedure, step)
    hw: Any = environment().get_template("macros.html").module
    rows = [("off", "Off so far", f"piece {procedure}-{step}"), ("set", "To set again", f"throw of spring {step}")]
    return str(hw.step(f"s{step}", do, why=why, derived=[derived], minutes="2 minutes", state=hw.state(rows)))


def make_site(folders: Sequence[Path]) -> Site:
    """All pages, from steps that are each made once; a `note.yaml` is shown on each page."""
    note = "".join((folder / "note.yaml").read_text() for folder in folders)
    made = {p: [step_html(p, s) for s in range(STEPS)] for p in range(min(EVERY, count()))}
    home = Page(
        "index.html", "Home", "<h1>Home</h1><p>Find a machine.</p>", search=(SearchEntry("index.html", "Home", ""),)
    )
    pages = tuple(_page(n, made, note) for n in range(count()))
    return Site((home, *pages), (NavItem("Home", "index.html"),))


def _page(n: int, made: dict[int, list[str]], note: str) -> Page:
    procedure, variant = n % EVERY, n // EVERY
    title = f"Procedure {procedure} on variant {variant}"
    path = f"variants/v{variant}/p{procedure}.html"
    own = [SearchEntry(f"{path}#s{s}", words(procedure, s)[0], words(procedure, s)[1]) for s in range(STEPS)]
    return Page(
        path,
        title,
        f'<h1>{title}</h1><p>{note}</p><ol class="hw-steps">{"".join(made[procedure])}</ol>',
        description=title,
        search=tuple(own) if variant == 0 else (),
    )


def markdown(n: int) -> str:
    """The same page as plain Markdown, one heading for a step."""
    procedure, variant = n % EVERY, n // EVERY
    lines = [f"# Procedure {procedure} on variant {variant}", ""]
    for step in range(STEPS):
        do, why, derived = words(procedure, step)
        lines += [
            f"## Step {step + 1}",
            "",
            f"- [ ] **{do}**",
            "",
            why,
            "",
            f"*{derived}*",
            "",
            "2 minutes",
            "",
            "**Off so far**",
            "",
            f"- piece {procedure}-{step}",
            "",
        ]
    return "\n".join(lines)

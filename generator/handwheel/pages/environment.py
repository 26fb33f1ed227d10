"""The template environment of all pages: everything is escaped unless it is marked as HTML."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined

HERE = Path(__file__).parent


@cache
def environment() -> Environment:
    """Templates from `templates/`; an unknown name is an error, not an empty place."""
    return Environment(
        loader=FileSystemLoader(HERE / "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )


def rendered(template: str, **values: Any) -> str:
    """A template's HTML with the values."""
    return environment().get_template(f"{template}.html").render(**values)

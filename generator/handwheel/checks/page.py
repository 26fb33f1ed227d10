"""A rule's page: the docstring of its file, taken apart at its fixed headings."""

from __future__ import annotations

import inspect
from dataclasses import dataclass, fields

HEADINGS = {
    "What it proves": "proves",
    "Why it matters at the bench": "matters",
    "Failing example": "failing",
    "Passing example": "passing",
    "How to mend it": "mend",
    "Sources": "sources",
}
"""Heading in the docstring -> field of the page, in the order that they stand in."""

OPTIONAL = frozenset(("sources",))
EXAMPLES = frozenset(("failing", "passing"))


@dataclass(frozen=True)
class RulePage:
    """What is told of a rule. Paragraphs are separated by an empty line; examples are YAML as it may be written."""

    id: str
    defect: str
    """The defect in a sentence: the first line."""
    proves: str = ""
    matters: str = ""
    failing: str = ""
    passing: str = ""
    mend: str = ""
    sources: str = ""

    @property
    def lacking(self) -> tuple[str, ...]:
        """Parts that every rule must have and this one has not."""
        return tuple(f.name for f in fields(self) if f.name not in OPTIONAL and not getattr(self, f.name).strip())


class BadPage(ValueError):  # noqa: N818 - named for what is wrong with the docstring
    """The docstring of a rule does not keep to the headings."""


def page_of(identifier: str, docstring: str) -> RulePage:
    """The page in a docstring.

    Raises:
        BadPage: a line outside all parts, or a heading twice.
    """
    defect, _, rest = inspect.cleandoc(docstring).partition("\n")
    parts: dict[str, list[str]] = {}
    here: list[str] | None = None
    for line in rest.split("\n"):
        name = HEADINGS.get(line.removesuffix(":")) if line.endswith(":") else None
        if name is not None:
            if name in parts:
                raise BadPage(f"{identifier}: the heading {line!r} stands twice")
            here = parts[name] = []
        elif here is not None and (not line or line.startswith("    ")):
            here.append(line.removeprefix("    "))
        elif line.strip():
            raise BadPage(f"{identifier}: {line!r} stands under no heading")
    told = {name: _told(name, lines) for name, lines in parts.items()}
    return RulePage(identifier, defect.strip().rstrip("."), **told)


def _told(name: str, lines: list[str]) -> str:
    """An example as it stands; other parts with each paragraph on one line."""
    text = "\n".join(lines).strip("\n")
    if name in EXAMPLES:
        return f"{text}\n"
    return "\n\n".join(" ".join(paragraph.split()) for paragraph in text.split("\n\n"))

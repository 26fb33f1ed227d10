"""What pages ask again and again: links from where they stand, names, texts, sources, who uses what."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from typing import Any

from markupsafe import Markup, escape

from handwheel.machines.space import Space
from handwheel.pages import addresses
from handwheel.pages.phrases import either
from handwheel.pages.prose_html import prose_html
from handwheel.pages.site import to_root
from handwheel.procedures.existence import Existence
from handwheel.procedures.simulate.run import Run, run_procedure
from handwheel.procedures.wording import as_many, condition_words
from handwheel.records.families import family_as_built
from handwheel.records.kinds import Record
from handwheel.records.library import Library
from handwheel.records.machine_records import Variant
from handwheel.records.part_records import Fastener, PartRecord
from handwheel.records.uses import users
from handwheel.records.values import Citation, Text, Varies, When

Link = tuple[str, str]
"""Title and address, relative to the page that it stands on."""
Fact = tuple[str, Markup]


@lru_cache(maxsize=100_000)
def _run(library: Library, family: str, procedure: str) -> Run:
    return run_procedure(library, family, procedure)


@dataclass(frozen=True)
class Desk:
    """One run of page making."""

    library: Library
    spaces: dict[str, Space] = field(default_factory=dict)
    _has: dict[str, Existence] = field(default_factory=dict)
    preview: bool = False
    """Whether drafts are shown: in the preview, never on the published site."""

    def space(self, family: str) -> Space:
        """The machines of a family as they left the works."""
        if family not in self.spaces:
            self.spaces[family] = Space(family_as_built(self.library, family))
        return self.spaces[family]

    def has(self, variant: str) -> Existence:
        """What a variant has, as it left the works."""
        if variant not in self._has:
            space = self.space(self.library.variants[variant].family)
            self._has[variant] = Existence(self.library, space, space.variant_mask(variant))
        return self._has[variant]

    def run(self, family: str, procedure: str) -> Run:
        """A procedure run by itself on every machine of a family."""
        return _run(self.library, family, procedure)

    @cached_property
    def used(self) -> dict[tuple[str, str], tuple[tuple[str, str], ...]]:
        """Who refers to whom."""
        return dict(users(self.library))

    def drafts_at(self, step: str) -> list[tuple[str, str, str]]:
        """Drafts beside a step, `procedure/step`: kind, words, when and on what machine; none outside the preview."""
        return [
            (each.kind, each.says, ", ".join(filter(None, (each.date, each.machine, str(each.place)))))
            for each in (self.library.drafts.values() if self.preview else ())
            if each.step == step
        ]

    def at(self, path: str) -> Here:
        """Links and texts as they stand on one page."""
        return Here(self, path)


@dataclass(frozen=True)
class Here:
    """One page's point of view. Pages of one depth share it, since links go by way of the root."""

    desk: Desk
    path: str

    @property
    def library(self) -> Library:
        """The library."""
        return self.desk.library

    def to(self, path: str) -> str:
        """Address of a path from the root."""
        return to_root(self.path) + path

    def link(self, plural: str, identifier: str) -> Link:
        """Name and address of a record."""
        record: Record = self.library.of(plural)[identifier]
        return addresses.name_of(record), self.to(addresses.page_of(plural, identifier))

    def crumbs(self, variant: Variant) -> list[Link]:
        """The way from the first page to a variant's."""
        return [
            ("Home", self.to("index.html")),
            self.link("families", variant.family),
            self.link("variants", variant.id),
        ]

    def anchor(self, plural: str, identifier: str) -> Markup:
        """The record's name as a link; plain where no page shows the record."""
        if identifier not in self.library.of(plural):
            return escape(identifier)
        name, href = self.link(plural, identifier)
        record = self.library.of(plural)[identifier]
        if isinstance(record, PartRecord | Fastener):
            name = as_many(record)  # `carbon brushes`, where there are two
        if not addresses.page_of(plural, identifier):
            return escape(name)
        return Markup(f'<a href="{escape(href)}">{escape(name)}</a>')  # written out: asked for thousands of times

    def anchors(self, plural: str, identifiers: Iterable[str], joint: str = ", ") -> Markup:
        """Several records as links."""
        return Markup(joint).join(self.anchor(plural, each) for each in identifiers)

    def prose(self, text: Text | None) -> Markup:
        """A text with its links and values, as for every machine."""
        return prose_html(self.library, text, self.to) if text else Markup("")

    def when(self, when: When | None) -> str:
        """A condition in words."""
        return condition_words(self.library, when.condition) if when else ""

    def varies(self, value: Varies[Any] | None, plural: str = "") -> Markup:
        """A value, or each of its alternatives with its condition."""
        if value is None:
            return Markup("")
        shown = [(case.condition, self._shown(case.value, plural)) for case in value.cases]
        if value.fixed is not None:
            return shown[0][1]
        parts = (Markup("{} <small>({})</small>").format(each, condition_words(self.library, c)) for c, each in shown)
        return Markup("; ").join(parts)

    def _shown(self, value: object, plural: str) -> Markup:
        if plural and isinstance(value, str):
            return self.anchor(plural, value)
        if isinstance(value, Text):
            return self.prose(value)
        return escape(getattr(value, "text", value))

    def cite(self, citations: Iterable[Citation]) -> Markup:
        """Sources with the place in them."""
        return Markup("; ").join(
            self.anchor("sources", each.source) + (escape(f", {each.at}") if each.at else Markup(""))
            for each in citations
        )

    def used_by(self, plural: str, identifier: str) -> list[Link]:
        """Records that refer to this one and have a place in the site; a shared run stands for those who use it."""
        links: dict[tuple[str, str], None] = {}
        waiting, seen = [(plural, identifier)], {(plural, identifier)}
        while waiting:
            for user in self.desk.used.get(waiting.pop(0), ()):
                if self._is_shared(user) and user not in seen:
                    seen.add(user)
                    waiting.append(user)
                elif not self._is_shared(user) and addresses.page_of(*user):
                    links[user] = None
        return [self.link(*user) for user in links if user != (plural, identifier)]

    def _is_shared(self, user: tuple[str, str]) -> bool:
        return user[0] == "procedures" and self.library.procedures[user[1]].shared


def facts(*pairs: tuple[str, object]) -> list[Fact]:
    """Facts that say something: pairs with an empty value are left out."""
    return [
        (name, value if isinstance(value, Markup) else escape(value))
        for name, value in pairs
        if value not in ("", None)
    ]


def listed(texts: Iterable[Markup]) -> Markup:
    """Texts as a list; nothing for none."""
    items = Markup("").join(Markup("<li>{}</li>").format(each) for each in texts)
    return Markup("<ul>{}</ul>").format(items) if items else Markup("")


__all__ = ["Desk", "Fact", "Here", "Link", "either", "facts", "listed"]

"""What the tables have in common: a record as facts and texts, and the shop's currency."""

from __future__ import annotations

from markupsafe import Markup

from handwheel.pages.here import Fact, Here

Described = tuple[list[Fact], list[Markup]]


def currency(here: Here) -> str:
    """The shop's currency; nothing where it has none."""
    return here.library.shop.currency if here.library.shop else ""

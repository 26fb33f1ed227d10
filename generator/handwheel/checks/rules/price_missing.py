"""Something that is bought or offered, without a price.

What it proves:
    Where the shop has a currency, every spare, and every choice of its own that means work when it is accepted, has a
    price.

Why it matters at the bench:
    The quote is written from these. What has no price is given away, or argued about when it is done.

Failing example:
    shops:
      bench-end: {name: Bench End, currency: crowns}
    spares:
      tyre-new: {name: winder tyre, for: [tyre]}
    procedures:
      tyre-care:
        title: Renew the tyre
        steps:
          - {do: Renew the tyre from <see tyre-new>., renews: [tyre]}

Passing example:
    shops:
      bench-end: {name: Bench End, currency: crowns}
    spares:
      tyre-new: {name: winder tyre, for: [tyre], price: 2.60}
    procedures:
      tyre-care:
        title: Renew the tyre
        steps:
          - {do: Renew the tyre from <see tyre-new>., renews: [tyre]}

How to mend it:
    Say `price:`, as a number in the shop's currency; 0 for what costs nothing.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.records.kinds import KINDS
from handwheel.records.library import Library


@rule("note")
def find(library: Library, own: frozenset[str]) -> Iterator[Finding]:
    """Spares and choices of the shop."""
    if library.shop is None or not library.shop.currency:
        return
    for kind in ("spares", "choices"):
        for record in library.of(kind).values():
            if record.layer in own and record.price is None and (kind == "spares" or record.means):
                yield Finding(
                    place=record.place,
                    subject=f"{kind}/{record.id}",
                    what=f"the {KINDS[kind].singular} '{record.id}' has no price",
                    right=f"price: a number in {library.shop.currency}",
                )

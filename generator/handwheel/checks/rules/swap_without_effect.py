"""A lost or foreign part that no machine can show.

What it proves:
    Where a feature is said to turn up missing, or a part from outside is said to be fitted, some feature of that
    part is said to be swapped, so that such machines are counted among those that can stand here.

Why it matters at the bench:
    The shop knows that such machines come in and has said so, and yet every proof is made without them.

Failing example:
    features:
      tyre-look: {name: tyre, ask: Which tyre is on?, carried_by: tyre, missing: true, forms: {ring: a ring, band: a band}}

Passing example:
    features:
      tyre-look: {name: tyre, ask: Which tyre is on?, carried_by: tyre, missing: true, swapped: often, forms: {ring: a ring, band: a band}}

How to mend it:
    Say `swapped: seldom` or `often` on the feature, or take `missing:` or the part from outside away.
"""  # noqa: E501

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.records.library import Library


@rule()
def find(library: Library) -> Iterator[Finding]:
    """Features and parts from outside whose part is never swapped."""
    swapped = {each.carried_by or each.id for each in library.features.values() if each.swapped != "never"}
    for feature in library.features.values():
        carrier = feature.carried_by or feature.id
        if feature.missing and carrier not in swapped:
            yield Finding(
                place=feature.where("missing"),
                subject=f"features/{feature.id}",
                what=f"'{carrier}' turns up missing, and it is never swapped",
                right="'swapped: seldom' or 'often' on a feature that it carries",
            )
    for outsider in library.outsiders.values():
        if outsider.part not in swapped:
            yield Finding(
                place=outsider.where("part"),
                subject=f"outsiders/{outsider.id}",
                what=f"'{outsider.id}' stands in for '{outsider.part}', which no feature says is swapped",
                right=f"a feature with 'carried_by: {outsider.part}' and 'swapped: seldom' or 'often'",
            )

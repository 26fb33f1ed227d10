"""Years and serial numbers as questions, against machines listed one by one."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from handwheel.machines.space import Space
from handwheel.records.families import family_as_built, serials_within, years_within
from handwheel.records.library import Library
from handwheel.records.machine_records import Block, Years
from shopkit import made, shop, variant

FIRST, LAST = 1930, 1937
SPAN = range(FIRST - 2, LAST + 3)
years = st.integers(FIRST, LAST)


def dated(spans: list[tuple[int, int]], cuts: tuple[int, int]) -> Library:
    """Variants made in these spans, where some condition asks for the span of these cuts."""
    variants = [
        variant(f"v{n}", given={"made": made(Years, first=min(span), last=max(span))}) for n, span in enumerate(spans)
    ]
    return replace(shop(variants=variants), year_cuts=frozenset({cuts[0], cuts[1] + 1}))


@given(st.lists(st.tuples(years, years), min_size=1, max_size=3), years, years)
def test_a_span_of_years_holds_for_the_years_in_it(spans: list[tuple[int, int]], one: int, other: int) -> None:
    """A variant may, or must, have been made in the span: as its years, one by one, tell."""
    first, last = min(one, other), max(one, other)
    library = dated(spans, (first, last))
    condition = years_within(first, last)
    space = Space(family_as_built(library, "dipper"))
    within = space.mask(condition)
    for n, span in enumerate(spans):
        own = space.variant_mask(f"v{n}")
        inside = [first <= year <= last for year in SPAN if min(span) <= year <= max(span)]
        assert own, "the variant has no machine"
        assert bool(own & within) == any(inside)
        assert bool(own & ~within) == (not all(inside))


SERIALS = [(prefix, number) for prefix in ("A", "B") for number in range(8)]
blocks = st.tuples(st.sampled_from("AB"), st.integers(0, 7), st.integers(0, 7))


@given(st.lists(blocks, min_size=1, max_size=2), blocks)
def test_a_block_of_serials_holds_for_the_numbers_in_it(
    own_blocks: list[tuple[str, int, int]], asked: tuple[str, int, int]
) -> None:
    """The same, number by number; another prefix is never in the block."""
    numbered = tuple(made(Block, prefix=p, first=min(a, b), last=max(a, b)) for p, a, b in own_blocks)
    prefix, first, last = asked[0], min(asked[1:]), max(asked[1:])
    condition = serials_within(prefix, first, last)
    cuts = frozenset({(prefix, first), (prefix, last + 1)})
    library = replace(shop(variants=[variant("v", given={"serials": numbered})]), serial_cuts=cuts)
    space = Space(family_as_built(library, "dipper"))
    within = space.mask(condition)
    held = [(p, n) for p, n in SERIALS if any(b.prefix == p and b.first <= n <= b.last for b in numbered)]
    inside = [p == prefix and first <= n <= last for p, n in held]
    assert bool(space.all & within) or not any(inside)
    assert bool(space.all & ~within) or all(inside)
    if len(own_blocks) == 1:  # of several blocks a gap between them is not told: it may then hold, never wrongly not
        assert bool(space.all & within) == any(inside)
        assert bool(space.all & ~within) == (not all(inside))


def test_a_variant_without_years_may_be_of_any() -> None:
    """What was not written is not known: the span may hold and may not."""
    condition = years_within(1933, 1934)
    library = replace(shop(variants=[variant("v")]), year_cuts=frozenset({1933, 1935}))
    space = Space(family_as_built(library, "dipper"))
    assert space.mask(condition) and space.all & ~space.mask(condition)

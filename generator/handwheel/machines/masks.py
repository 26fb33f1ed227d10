"""Sets of machines as whole numbers, one bit a machine: the arithmetic alone."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence

from handwheel.machines.conditions import All, Any, Condition, Is, Not, OfVariant

VARIANT = "variant"
"""Pseudo-question whose answers are the variants; no feature may have this id."""


def ones(count: int) -> int:
    """The lowest `count` bits set."""
    return (1 << count) - 1


def repeat(block: int, width: int, times: int) -> int:
    """`block` of `width` bits, `times` times side by side.

    The product of the block and a repunit, made by doubling: linear in the length of
    the result, where multiplying is not.
    """
    result = filled = 0
    size = 1
    while times:
        if times & 1:
            result |= block << (filled * width)
            filled += size
        times >>= 1
        if times:
            block |= block << (size * width)
            size *= 2
    return result


def spread(picks: Sequence[bool], stride: int) -> int:
    """A block of `stride` equal bits for each pick, the first one lowest."""
    if all(picks):
        return ones(len(picks) * stride)
    if not any(picks):
        return 0
    half = len(picks) // 2
    return spread(picks[:half], stride) | spread(picks[half:], stride) << (half * stride)


def bits(mask: int) -> Iterator[int]:
    """Positions of the set bits, lowest first."""
    for place, byte in enumerate(mask.to_bytes((mask.bit_length() + 7) // 8, "little")):
        while byte:
            low = byte & -byte
            yield 8 * place + low.bit_length() - 1
            byte ^= low


def lowest(mask: int) -> int:
    """Position of the lowest set bit of a mask that is not empty."""
    return (mask & -mask).bit_length() - 1


def evaluate(condition: Condition, full: int, leaf: Callable[[str, str], int]) -> int:
    """The machines of `full` on which the condition holds; `leaf` gives those with one state of one question."""
    match condition:
        case Is(question, states):
            return full & union(leaf(question, state) for state in sorted(states))
        case OfVariant(variants):
            return full & union(leaf(VARIANT, variant) for variant in sorted(variants))
        case Not(part):
            return full & ~evaluate(part, full, leaf)
        case All(parts):
            for part in parts:
                full &= evaluate(part, full, leaf)
            return full
        case Any(parts):
            return union(evaluate(part, full, leaf) for part in parts)


def union(masks: Iterable[int]) -> int:
    """Machines in any of the masks."""
    result = 0
    for mask in masks:
        result |= mask
    return result

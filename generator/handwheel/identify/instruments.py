"""How much the serial, or a mass, would tell: the readings that go with the variant itself, cut into bins.

Only used to choose the next look; the evidence itself is judged without bins.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from handwheel.identify.facts import Block, Measure, Subject
from handwheel.identify.rates import Rates
from handwheel.identify.serials import block_size
from handwheel.identify.tables import Instrument

SERIAL = "serial"
BINS = 24
MOST_STRETCHES = 96

Share = dict[int, float]


def instruments_of(subject: Subject, rates: Rates) -> tuple[Instrument, ...]:
    """The serial, where blocks are known, then each quantity that some variant has a value for."""
    found = []
    if any(subject.of(variant.id).blocks for variant in subject.family.variants):
        found.append(_serial(subject, rates))
    quantities = (name for variant in subject.family.variants for name in subject.of(variant.id).measures)
    found += [_quantity(subject, rates, name) for name in dict.fromkeys(quantities)]
    return tuple(found)


def measure_background(subject: Subject, quantity: str) -> Measure:
    """A quantity over the whole family, spread generously: what an unknown variant may show."""
    known = _known(subject, quantity)
    mean = sum(measure.value for measure in known) / len(known)
    around = sum((measure.value - mean) ** 2 + measure.spread**2 for measure in known) / len(known)
    return Measure(mean, 2 * math.sqrt(around) or 0.05 * abs(mean) or 1.0)


def _known(subject: Subject, quantity: str) -> list[Measure]:
    measures = (subject.of(variant.id).measures for variant in subject.family.variants)
    return [known[quantity] for known in measures if quantity in known]


def _instrument(name: str, background: Sequence[float], wild: Sequence[float], extra: Sequence[Share]) -> Instrument:
    return Instrument(
        name,
        "glance" if name == SERIAL else "tool",
        tuple(background),
        tuple(wild),
        tuple(tuple(sorted(share.items())) for share in extra),
        tuple(_entropy(background, w, e) for w, e in zip(wild, extra, strict=True)),
    )


def _entropy(background: Sequence[float], wild: float, extra: Share) -> float:
    shares = (wild * share + extra.get(i, 0.0) for i, share in enumerate(background))
    return -sum(share * math.log(share) for share in shares if share > 0)


# ---- serial


def _serial(subject: Subject, rates: Rates) -> Instrument:
    """Bins are the stretches between block ends; the last bin is all other serials."""
    blocks = {variant.id: subject.of(variant.id).blocks for variant in subject.family.variants}
    bins = _stretches([block for known in blocks.values() for block in known])
    sizes = [last - first + 1 for _, first, last in bins]
    whole = 2 * sum(sizes)
    background = [size / whole for size in sizes] + [0.5]
    extra, wild = [], []
    for known in blocks.values():
        size = sum(map(block_size, known))
        wild.append(rates.no_block if size else 1.0)
        extra.append(_block_shares(known, bins, (1 - rates.no_block) / size) if size else {})
    among = _among(subject, wild, extra)
    wild.append(1 - rates.like_blocks + rates.like_blocks * among[0])
    extra.append({number: rates.like_blocks * share for number, share in among[1].items()})
    return _instrument(SERIAL, background, wild, extra)


def _among(subject: Subject, wild: Sequence[float], extra: Sequence[Share]) -> tuple[float, Share]:
    """Mean over the variants, as common as they are."""
    weights = [subject.of(variant.id).weight for variant in subject.family.variants]
    whole = sum(weights)
    mean: Share = {}
    for weight, shares in zip(weights, extra, strict=True):
        for number, share in shares.items():
            mean[number] = mean.get(number, 0.0) + weight / whole * share
    return sum(weight * w for weight, w in zip(weights, wild, strict=True)) / whole, mean


Kind = tuple[str, str, int]
Range = tuple[int, int]
Stretch = tuple[Kind, int, int]


def _kind(block: Block) -> Kind:
    """What must be alike for two numbers to be compared: prefix, suffix, and width where padded."""
    return (block.prefix, block.suffix, len(block.last) if len(block.first) == len(block.last) else 0)


def _used(block: Block) -> list[Range]:
    """Ranges of a block without its gaps."""
    ranges, first = [], int(block.first)
    for low, high in sorted((int(a), int(b)) for a, b in block.gaps):
        ranges.append((first, low - 1))
        first = high + 1
    ranges.append((first, int(block.last)))
    return [(low, high) for low, high in ranges if low <= high]


def _stretches(blocks: Sequence[Block]) -> list[Stretch]:
    """Stretches between block ends, by kind of serial. Where there are many ends some are passed over, evenly:
    coarser bins never promise more than the serial tells."""
    by_kind: dict[Kind, list[Range]] = {}
    for block in blocks:
        by_kind.setdefault(_kind(block), []).extend(_used(block))
    most = max(MOST_STRETCHES // len(by_kind), 2)
    found: list[Stretch] = []
    for kind, ranges in by_kind.items():
        cuts = sorted({first for first, _ in ranges} | {last + 1 for _, last in ranges})
        kept = cuts[:: -(-len(cuts) // most)]
        kept += [cuts[-1]] if kept[-1] != cuts[-1] else []
        for first, after in itertools.pairwise(kept):
            if any(low < after and first <= high for low, high in ranges):
                found.append((kind, first, after - 1))
    return found


def _block_shares(blocks: Sequence[Block], bins: Sequence[Stretch], each: float) -> Share:
    shares: Share = {}
    for block in blocks:
        for number, (kind, first, last) in enumerate(bins):
            inside = sum(max(min(last, high) - max(first, low) + 1, 0) for low, high in _used(block))
            if kind == _kind(block) and inside:
                shares[number] = shares.get(number, 0.0) + each * inside
    return shares


# ---- quantities


def _quantity(subject: Subject, rates: Rates, quantity: str) -> Instrument:
    """Bins of equal width over two standard deviations of the background, and the two ends."""
    around = measure_background(subject, quantity)
    step = 4 * around.spread / (BINS - 2)
    cuts = [around.value - 2 * around.spread + step * i for i in range(BINS - 1)]
    background = _normal_shares(around, cuts)
    extra, wild = [], []
    for variant in subject.family.variants:
        measure = subject.of(variant.id).measures.get(quantity)
        wild.append(rates.wild_measure if measure else 1.0)
        shares = _normal_shares(measure, cuts) if measure else []
        extra.append({i: (1 - rates.wild_measure) * share for i, share in enumerate(shares) if share > 0})
    return _instrument(quantity, background, [*wild, 1.0], [*extra, {}])


def _normal_shares(measure: Measure, cuts: Sequence[float]) -> list[float]:
    below = [0.0, *(_normal_below(cut, measure) for cut in cuts), 1.0]
    return [high - low for low, high in itertools.pairwise(below)]


def _normal_below(cut: float, measure: Measure) -> float:
    if measure.spread <= 0:
        return float(cut >= measure.value)
    return 0.5 * (1 + math.erf((cut - measure.value) / (measure.spread * math.sqrt(2))))

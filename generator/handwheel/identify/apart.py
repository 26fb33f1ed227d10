"""Serial and measurements: evidence that goes with the variant itself, not with a part that changes hands."""

from __future__ import annotations

import math

from handwheel.identify.evidence import Evidence, EvidenceError, Measured
from handwheel.identify.instruments import measure_background
from handwheel.identify.serials import serial_background, serial_likelihood
from handwheel.identify.tables import Tables


def apart_from_parts(tables: Tables, evidence: Evidence) -> tuple[tuple[float, ...], float]:
    """Logarithm of the likelihood of serial and measurements: by variant, and where the library lacks it."""
    logs, log_none = [0.0] * len(tables.variants), 0.0
    readings = [_serial(tables, evidence)] if evidence.serial else []
    readings += [_measured(tables, measured) for measured in evidence.measured]
    for by_variant, none in readings:
        logs = [a + log_or_never(b) for a, b in zip(logs, by_variant, strict=True)]
        log_none += log_or_never(none)
    return tuple(logs), log_none


def log_or_never(x: float) -> float:
    """Natural logarithm; minus infinity of nothing."""
    return math.log(x) if x > 0 else -math.inf


def _serial(tables: Tables, evidence: Evidence) -> tuple[list[float], float]:
    assert evidence.serial is not None
    read, rates = evidence.serial, tables.rates
    background = serial_background(read, tables.universe)
    facts = [tables.subject.of(variant) for variant in tables.variants]
    found = [serial_likelihood(f, read, rates.wrong_character, rates.no_block, tables.universe) for f in facts]
    among = sum(prior * x for prior, x in zip(tables.priors, found, strict=True))
    return found, rates.like_blocks * among + (1 - rates.like_blocks) * background


def _measured(tables: Tables, measured: Measured) -> tuple[list[float], float]:
    known = [tables.subject.of(variant).measures.get(measured.quantity) for variant in tables.variants]
    if not any(known):
        raise EvidenceError(f"no variant of {tables.subject.family.id!r} has a value for {measured.quantity!r}")
    around = measure_background(tables.subject, measured.quantity)
    wild = _normal(measured, around.value, around.spread)
    rate = tables.rates.wild_measure
    near = [_normal(measured, m.value, m.spread) if m else wild for m in known]
    return [(1 - rate) * x + rate * wild for x in near], wild


def _normal(measured: Measured, mean: float, spread: float) -> float:
    variance = spread * spread + measured.error * measured.error
    return math.exp(-((measured.value - mean) ** 2) / (2 * variance)) / math.sqrt(2 * math.pi * variance)

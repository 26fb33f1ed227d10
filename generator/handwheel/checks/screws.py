"""Screws as the tables judge them, with the machines that have just these values."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from handwheel.checks.cases import mixtures
from handwheel.checks.machines import Machines
from handwheel.evidence import screws
from handwheel.procedures.existence import present
from handwheel.records.library import Library
from handwheel.records.values import Amount


@dataclass(frozen=True)
class Screw(screws.Screw):
    """A fastener with the values that some machines have together."""

    machines: str = ""


def value_of(amount: Amount | None) -> float | None:
    """Its value in SI units; None where a word stands or nothing."""
    return amount.value if amount is not None else None


def screws_of(library: Library, machines: Machines) -> Iterator[Screw]:
    """Every fastener with each mixture of values that some machine has."""
    root = next((part for part in library.parts.values() if part.root), None)
    for record in library.fasteners.values():
        if record.thread is None and record.length is None:
            continue
        material = root.material if root and not record.into else None
        values = (record.thread, record.length, record.tighten, material)
        for (thread, length, tighten, own), words in mixtures(
            machines, present(library, "fasteners", record.id), values
        ):
            into = library.materials.get(record.into or own or "")
            yield Screw(record, library.threads.get(thread or ""), length, tighten, into, words)

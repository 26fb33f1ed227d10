"""The linked library: every record of every layer, by kind and id."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from handwheel.records import library_records as lib
from handwheel.records import machine_records as mach
from handwheel.records import part_records as part
from handwheel.records import work_records as work
from handwheel.records.bench_records import Draft, Measurement
from handwheel.records.kinds import KINDS, Record


@dataclass(frozen=True, eq=False)
class Library:
    """All records. Whoever holds one may rely on every reference in it leading to a record of the right kind."""

    kinds: Mapping[str, Mapping[str, Record]] = field(default_factory=dict)
    """Plural of the kind -> id -> record, in the order written."""
    year_cuts: frozenset[int] = frozenset()
    """Years that some condition parts machines at."""
    serial_cuts: frozenset[tuple[str, int]] = frozenset()
    """Prefix and number that some condition parts machines at."""
    roots: Mapping[str, str] = field(default_factory=dict)
    """Layer name -> its folder, for files that records name."""

    def of(self, plural: str) -> Mapping[str, Any]:
        """All records of a kind, by id."""
        return self.kinds.get(plural, {})

    def find(self, identifier: str) -> Iterator[tuple[str, Record]]:
        """Every record that bears the id, with the plural of its kind."""
        for plural in KINDS:
            found = self.of(plural).get(identifier)
            if found is not None:
                yield plural, found

    def __iter__(self) -> Iterator[tuple[str, Record]]:
        for plural in KINDS:
            for found in self.of(plural).values():
                yield plural, found

    @cached_property
    def families(self) -> Mapping[str, mach.Family]:
        """Families by id."""
        return self.of("families")

    @cached_property
    def variants(self) -> Mapping[str, mach.Variant]:
        """Variants by id, in the order made."""
        return self.of("variants")

    @cached_property
    def groups(self) -> Mapping[str, mach.Group]:
        """Groups by id."""
        return self.of("groups")

    @cached_property
    def features(self) -> Mapping[str, mach.Feature]:
        """Features by id."""
        return self.of("features")

    @cached_property
    def markings(self) -> Mapping[str, mach.Marking]:
        """Markings by id."""
        return self.of("markings")

    @cached_property
    def outsiders(self) -> Mapping[str, mach.Outsider]:
        """Parts from outside by id."""
        return self.of("outsiders")

    @cached_property
    def findings(self) -> Mapping[str, mach.Finding]:
        """Findings by id."""
        return self.of("findings")

    @cached_property
    def choices(self) -> Mapping[str, mach.Choice]:
        """Choices by id."""
        return self.of("choices")

    @cached_property
    def readings(self) -> Mapping[str, mach.Reading]:
        """Readings by id."""
        return self.of("readings")

    @cached_property
    def parts(self) -> Mapping[str, part.PartRecord]:
        """Parts by id."""
        return self.of("parts")

    @cached_property
    def fasteners(self) -> Mapping[str, part.Fastener]:
        """Fasteners by id."""
        return self.of("fasteners")

    @cached_property
    def settings(self) -> Mapping[str, part.Setting]:
        """Settings by id."""
        return self.of("settings")

    @cached_property
    def oiling_points(self) -> Mapping[str, part.OilingPoint]:
        """Oiling points by id."""
        return self.of("oiling_points")

    @cached_property
    def positions(self) -> Mapping[str, part.Position]:
        """Positions by id."""
        return self.of("positions")

    @cached_property
    def proofs(self) -> Mapping[str, part.Proof]:
        """Proofs by id."""
        return self.of("proofs")

    @cached_property
    def prohibitions(self) -> Mapping[str, part.Prohibition]:
        """Prohibitions by id."""
        return self.of("prohibitions")

    @cached_property
    def items(self) -> Mapping[str, part.Item]:
        """Items that come in with a machine, by id."""
        return self.of("items")

    @cached_property
    def agents(self) -> Mapping[str, lib.Agent]:
        """Agents by id."""
        return self.of("agents")

    @cached_property
    def materials(self) -> Mapping[str, lib.Material]:
        """Materials by id."""
        return self.of("materials")

    @cached_property
    def finishes(self) -> Mapping[str, lib.Finish]:
        """Finishes by id."""
        return self.of("finishes")

    @cached_property
    def cautions(self) -> Mapping[str, lib.Caution]:
        """Cautions by id."""
        return self.of("cautions")

    @cached_property
    def tools(self) -> Mapping[str, lib.Tool]:
        """Tools by id."""
        return self.of("tools")

    @cached_property
    def blades(self) -> Mapping[str, lib.Blade]:
        """Blades by id."""
        return self.of("blades")

    @cached_property
    def needles(self) -> Mapping[str, lib.Needle]:
        """Needles by id."""
        return self.of("needles")

    @cached_property
    def threads(self) -> Mapping[str, lib.Thread]:
        """Threads by id."""
        return self.of("threads")

    @cached_property
    def sources(self) -> Mapping[str, lib.Source]:
        """Sources by id."""
        return self.of("sources")

    @cached_property
    def procedures(self) -> Mapping[str, work.Procedure]:
        """Procedures by id."""
        return self.of("procedures")

    @cached_property
    def jobs(self) -> Mapping[str, work.Job]:
        """Jobs by id."""
        return self.of("jobs")

    @cached_property
    def drafts(self) -> Mapping[str, Draft]:
        """Notes from the bench that wait for their writer, by id."""
        return self.of("drafts")

    @cached_property
    def measurements(self) -> Mapping[str, Measurement]:
        """What was measured at the bench, by id."""
        return self.of("measurements")

    @cached_property
    def shop(self) -> work.Shop | None:
        """The shop: the last one told of, since a later layer's own shop is the one that publishes."""
        return next(reversed(tuple(self.of("shops").values())), None)

    def variants_of(self, family: str) -> tuple[mach.Variant, ...]:
        """The family's variants in the order made."""
        return tuple(each for each in self.variants.values() if each.family == family)

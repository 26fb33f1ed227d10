"""A run in areas: where its machines are too many to be told apart at once, pieces that do not meet are run apart.

An area is a set of pieces that has, with each, every other piece that changes what it looks at. So what an area tells
of its pieces is what the whole run would tell. What is asked at the end (left off, loose, dry ...) is asked of each
thing in one area that has all that changes it. Machines of an area are classes of machines that differ in nothing that
the area looks at: together the areas speak of every machine that can stand here, and none is a sample.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from handwheel.machines.cells import LIMIT, size_of
from handwheel.machines.conditions import ALWAYS, questions_of
from handwheel.machines.coupling import closure
from handwheel.machines.family import FamilyIndex
from handwheel.procedures.program import Guarded, Item, Items, Program
from handwheel.procedures.simulate.anatomy import Anatomy
from handwheel.procedures.simulate.footprint import ASKED, ITEM, Footprints, Path, Unit
from handwheel.procedures.simulate.starting import conditions_of, questions
from handwheel.procedures.simulate.things import Things
from handwheel.procedures.simulate.trace import Subject, Violation
from handwheel.records.work_records import Aim

ENOUGH = 20_000
"""Combinations up to which pieces are put into one area for the sake of speed."""

END = -1
"""Position of what is asked when a path ends."""

_AT_THE_END = frozenset(
    ("left-off", "left-loose", "not-set-again", "not-oiled", "never-cleaned", "fault-left", "nothing-follows",
     "promise-not-kept", "not-given-back")
)  # fmt: skip
_KINDS = {
    **{kind: kind for kind in ("parts", "fasteners", "settings", "oiling_points", ITEM)},
    **dict.fromkeys(("findings", "readings", "choices"), ASKED),
}

Goal = tuple[int, Subject]
"""What is asked of a thing when a procedure, by its position, or a path is over."""


@dataclass(frozen=True)
class Area:
    """Pieces that can be run without the others, and what is asked of them at the end."""

    pieces: frozenset[int]
    goals: frozenset[Goal]
    features: frozenset[str]
    cells: int
    """Combinations to be held at once."""

    def coupling(self, index: FamilyIndex) -> tuple[str, ...]:
        """The features that must be told apart at once, those of the most forms first."""
        known = closure(index, self.features & index.features.keys())
        wide = [index.features[each] for each in sorted(known)]
        return tuple(feature.id for feature in sorted(wide, key=lambda feature: -len(feature.forms)))


@dataclass(frozen=True)
class _Wish:
    """What must be together somewhere."""

    pieces: frozenset[int]
    goals: frozenset[Goal]
    features: frozenset[str]


class Areas:
    """One run, parted."""

    def __init__(
        self, anatomy: Anatomy, index: FamilyIndex, programs: Sequence[Program], *, neglected: bool, alone: bool
    ) -> None:
        self.anatomy = anatomy
        self.library = anatomy.library
        self.index = index
        self.programs = tuple(programs)
        self.neglected = neglected
        self._prints = Footprints(anatomy, index, self.programs, alone=alone)
        self.units: tuple[Unit, ...] = self._prints.units
        self.writers: dict[Subject, set[int]] = {}
        for place, unit in enumerate(self.units):
            for subject in unit.writes:
                self.writers.setdefault(subject, set()).add(place)
        self._core = self._with_writers(place for place, unit in enumerate(self.units) if unit.core)

    def parted(
        self, more: frozenset[str] = frozenset(), enough: int | None = ENOUGH, limit: int = LIMIT
    ) -> tuple[tuple[Area, ...], tuple[Area, ...]]:
        """Areas that can be run, and those that are too large.

        Args:
            more: Features that every area must tell apart.
            enough: Combinations up to which areas are made one; None: as many areas as there can be.
            limit: Combinations that can be held.
        """
        whole: list[Area] = []
        beyond: list[Area] = []
        for wish in sorted(self._wishes(), key=lambda wish: -len(wish.pieces)):
            alone = self._area(wish.pieces, wish.goals, wish.features | more)
            if alone.cells > limit:
                beyond.append(alone)
                continue
            for place, other in enumerate(whole):
                both = self._both(other, alone)
                if both == other or (enough is not None and both.cells <= max(enough, other.cells)):
                    whole[place] = both
                    break
            else:
                whole.append(alone)
        return tuple(whole), _joined(beyond)

    # ------------------------------------------------------------------------------------ what is together

    def _wishes(self) -> Iterator[_Wish]:
        goals = [_Wish(self._with_writers((), reads) | self._core, frozenset((goal,)), features)
                 for goal, reads, features in self._goals()]  # fmt: skip
        pieces = dict.fromkeys(self._with_writers((place,)) | self._core for place in range(len(self.units)))
        for group in pieces:
            own = [wish for wish in goals if wish.pieces <= group]
            yield _Wish(group, frozenset(g for wish in own for g in wish.goals), _features(own) | self._read(group))
            goals = [wish for wish in goals if not wish.pieces <= group]
        yield from (replace(wish, features=wish.features | self._read(wish.pieces)) for wish in goals)

    def _read(self, pieces: Iterable[int]) -> frozenset[str]:
        return frozenset[str]().union(*(self.units[place].features for place in pieces))

    def _with_writers(self, pieces: Iterable[int], reads: Iterable[Subject] = ()) -> frozenset[int]:
        """The pieces with all that change what they look at, and so on."""
        found: set[int] = set()
        waiting = [*pieces, *(place for subject in reads for place in self.writers.get(subject, ()))]
        while waiting:
            place = waiting.pop()
            if place not in found:
                found.add(place)
                waiting += self._needs[place] - found
        return frozenset(found)

    @cached_property
    def _needs(self) -> tuple[frozenset[int], ...]:
        return tuple(
            frozenset(place for subject in unit.reads for place in self.writers.get(subject, ())) for unit in self.units
        )

    def _area(self, pieces: frozenset[int], goals: frozenset[Goal], features: frozenset[str]) -> Area:
        if self.neglected:
            features |= self._features_of(self._in_disorder(pieces, goals))
        known = features & self.index.features.keys()
        return Area(pieces, goals, features, size_of(self.index, closure(self.index, known)))

    def _both(self, one: Area, other: Area) -> Area:
        if other.pieces <= one.pieces and other.goals <= one.goals and other.features <= one.features:
            return one
        return self._area(one.pieces | other.pieces, one.goals | other.goals, one.features | other.features)

    # -------------------------------------------------------------------------------- what is asked at the end

    def _goals(self) -> Iterator[tuple[Goal, frozenset[Subject], frozenset[str]]]:
        for subject in self._left():
            yield self._goal(END, subject, ())
        for position, program in enumerate(self.programs):
            record = self.library.procedures.get(program.procedure)
            if record and record.aim:
                asked = frozenset((ASKED, each) for each in questions_of(program.condition) & self._prints.asked)
                features = questions(self.anatomy, (), (program.condition,), False)
                for subject in _aimed(self.anatomy, record.aim):
                    goal, reads, own = self._goal(position, subject, asked)
                    yield goal, reads, own | features

    def _left(self) -> dict[Subject, None]:
        """Everything that can be left in disorder."""
        found = dict.fromkeys(subject for subject in self.writers if subject[0] in _KINDS.values())
        if self.neglected:
            found |= dict.fromkeys(("settings", each) for each in self.library.settings)
            found |= dict.fromkeys(("oiling_points", each) for each in self.library.oiling_points)
            found |= dict.fromkeys(("parts", each) for each in self.anatomy.points_on)
        return found

    def _goal(
        self, position: int, subject: Subject, more: Iterable[Subject]
    ) -> tuple[Goal, frozenset[Subject], frozenset[str]]:
        kind, name = subject
        reads = {subject, *more}
        if kind == "parts":
            reads |= {("parts", each) for each in self.anatomy.carriers[name]}
            reads |= {("oiling_points", each) for each in self.anatomy.points_on.get(name, ())}
        if kind == "fasteners":
            reads |= {("parts", each) for each in self.library.fasteners[name].holds}
        if kind == ASKED:
            reads |= self._prints.means(name)
        features = self._features_of(reads)
        return (position, subject), frozenset(reads) | self._prints.forms(features), features

    def _features_of(self, subjects: Iterable[Subject]) -> frozenset[str]:
        ids: dict[str, set[str]] = {}
        for kind, name in subjects:
            ids.setdefault(kind, set()).add(name)
        parts, fasteners, settings, points = (
            frozenset(ids.get(kind, ())) for kind in ("parts", "fasteners", "settings", "oiling_points")
        )
        parts |= {part for each in fasteners for part in self.library.fasteners[each].holds}
        parts |= {part for each in settings for part in self.anatomy.parts_of_setting[each]}
        parts |= {part for each in points for part in self.library.oiling_points[each].between}
        holders = {each for name in settings for each in self.library.settings[name].held_by}
        fasteners |= holders & self.library.fasteners.keys()
        things = Things(parts, fasteners, settings, points)
        return questions(self.anatomy, (), conditions_of(self.anatomy, things), False)

    # ------------------------------------------------------------------------------------------ running it

    def programs_of(self, area: Area) -> tuple[Program, ...]:
        """The procedures with the area's pieces only."""
        chosen = {self.units[place].path for place in area.pieces}
        asked = {position for position, _ in area.goals}
        return tuple(
            replace(program, items=_kept(program.items, (position,), chosen))
            if position in asked or any(path[0] == position for path in chosen)
            else _EMPTY
            for position, program in enumerate(self.programs)
        )

    def aims_of(self, area: Area) -> Mapping[int, Aim]:
        """What each procedure aims at, as far as the area judges it."""
        found = {}
        for position, program in enumerate(self.programs):
            record = self.library.procedures.get(program.procedure)
            if record and record.aim:
                goals = {subject for place, subject in area.goals if place == position}
                found[position] = _narrowed(self.anatomy, record.aim, goals)
        return found

    def starts_with(self, area: Area) -> frozenset[Subject]:
        """Settings and points that the area looks at: a neglected machine comes in with them in disorder."""
        return self._in_disorder(area.pieces, area.goals)

    def _in_disorder(self, pieces: frozenset[int], asked: frozenset[Goal]) -> frozenset[Subject]:
        read = frozenset[Subject]().union(*(self.units[place].reads for place in pieces))
        goals = {subject for _, subject in asked}
        points = {
            ("oiling_points", each)
            for kind, name in goals
            if kind == "parts"
            for each in self.anatomy.points_on.get(name, ())
        }
        both = read | goals | points
        return frozenset(subject for subject in both if subject[0] in ("settings", "oiling_points"))

    def speaks_of(self, area: Area, violation: Violation) -> bool:
        """Whether the area has all that bears on it."""
        kind = _KINDS.get(violation.subject[0], "")
        subject = (kind, violation.subject[1])
        if violation.code in _AT_THE_END:
            return (END, subject) in area.goals
        if violation.code == "aim-missed" and kind:
            return (violation.position, subject) in area.goals
        about = (_KINDS.get(violation.about[0], ""), violation.about[1])
        return all(self.writers.get(each, frozenset()) <= area.pieces for each in (subject, about))


_EMPTY = Program("", ALWAYS, ())
"""Stands where a procedure has nothing that the area looks at."""


def _features(wishes: Iterable[_Wish]) -> frozenset[str]:
    return frozenset[str]().union(*(wish.features for wish in wishes))


def _joined(areas: Iterable[Area]) -> tuple[Area, ...]:
    """Areas of the same features told once."""
    found: dict[frozenset[str], Area] = {}
    for area in areas:
        other = found.get(area.features)
        found[area.features] = (
            replace(area, pieces=area.pieces | other.pieces, goals=area.goals | other.goals) if other else area
        )
    return tuple(found.values())


def _kept(items: Items, above: Path, chosen: set[Path]) -> Items:
    """The items that are chosen, with the conditions around them."""
    found: list[Item] = []
    for place, item in enumerate(items):
        path = (*above, place)
        if isinstance(item, Guarded):
            inner = _kept(item.items, path, chosen)
            if inner or path in chosen:
                found.append(replace(item, items=inner))
        elif path in chosen:
            found.append(item)
    return tuple(found)


def _aimed(anatomy: Anatomy, aim: Aim) -> Iterator[Subject]:
    """Everything that an aim asks about, tests aside."""
    yield from (("parts", part) for part in (*_apart(anatomy, aim), *aim.fitted, *aim.clean))
    yield from (("settings", setting) for setting in aim.set)
    yield from (("oiling_points", point) for point in aim.oiled)


def _apart(anatomy: Anatomy, aim: Aim) -> tuple[str, ...]:
    below = (part for each in aim.stripped for part in anatomy.children.get(each, ()) if part not in aim.left)
    return (*aim.apart, *below)


def _narrowed(anatomy: Anatomy, aim: Aim, goals: set[Subject]) -> Aim:
    """The aim with the goals only; tests are judged everywhere."""
    parts = {name for kind, name in goals if kind == "parts"}
    return replace(
        aim,
        apart=tuple(part for part in _apart(anatomy, aim) if part in parts),
        stripped=(),
        left=(),
        fitted=tuple(part for part in aim.fitted if part in parts),
        clean=tuple(part for part in aim.clean if part in parts),
        set=tuple(each for each in aim.set if ("settings", each) in goals),
        oiled=tuple(each for each in aim.oiled if ("oiling_points", each) in goals),
    )

"""What the simulated machine knows beside each step: what else it does, and the state that it leaves.

What is said is made of pieces, each with the machines for which it holds; so it can be said of any set
of machines, and compiled for machines that are not known yet (`found_beside`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Protocol

from markupsafe import Markup, escape

from handwheel.evidence.screws import at_rim
from handwheel.machines.masks import union
from handwheel.machines.space import Space
from handwheel.machines.truth import settling_machines
from handwheel.pages.here import Here
from handwheel.pages.step_html import Beside
from handwheel.procedures.existence import Existence
from handwheel.procedures.quoted import how_tight
from handwheel.procedures.shown import look_of
from handwheel.procedures.simulate.run import Run
from handwheel.procedures.simulate.trace import Derived, Done, Extent, State
from handwheel.procedures.wording import as_many, counted, name_of
from handwheel.records.part_records import Fastener, PartRecord
from handwheel.records.values import Amount

Row = tuple[str, str, Markup]

ROWS = (
    ("off", "Off so far", ("off",), "parts"),
    ("loose", "Loose", ("loose",), "fasteners"),
    ("set", "To set again", ("lost",), "settings"),
    ("dry", "Dry", ("dry",), "oiling_points"),
)
POWER: dict[str, Row] = {
    "live": ("live", "Live", Markup("it is plugged in")),
    "open": ("live", "May be live", Markup("look where the plug is")),
    "isolated": ("isolated", "Isolated", Markup("the plug is out")),
}
PERHAPS = Markup(" <small>(perhaps)</small>")


@dataclass(frozen=True)
class Join:
    """How the pieces of a line are put together."""

    before: str
    after: str = ""
    joint: str = ", "
    last: str = ", "

    def line(self, texts: Iterable[Markup]) -> Markup:
        """The line."""
        listed = list(texts)
        head, tail = listed[:-1], listed[-1:]
        said = Markup(self.last).join([*([Markup(self.joint).join(head)] if head else []), *tail])
        return escape(self.before) + said + escape(self.after)


@dataclass(frozen=True)
class Piece:
    """Something that is said where it holds. Of pieces of one key the last that holds is said, in the first's place."""

    key: str
    holds: int
    """Machines on which it is so, with some answers at least."""
    fails: int
    """Machines that come here and on which it is not so, with some answers at least."""
    text: Callable[[Existence], Markup]


@dataclass(frozen=True)
class Line:
    """Pieces in one line; `come` are the machines that come here."""

    kind: str
    join: Join
    come: int
    pieces: tuple[Piece, ...]


class Sight(Protocol):
    """Machines to look at, and how those of a run are found among them."""

    def of(self, machines: int) -> Any:
        """Those of the run's machines that are looked at."""


@dataclass(frozen=True)
class Own:
    """Looks at machines of the run's own space."""

    space: Space
    machines: int

    def of(self, machines: int) -> int:
        """Those that are looked at."""
        return machines & self.machines

    def looks(self, holds: int, come: int) -> tuple[str, ...]:
        """The fewest looks that tell them apart."""
        return settling_machines(self.space, telling(self.space, holds, come), self.of(holds), self.of(come))


@lru_cache(maxsize=10_000)
def telling(space: Space, holds: int, come: int) -> tuple[str, ...]:
    """Looks that tell whatever is known: the fewest for all machines that come here."""
    looks = [each for each in space.questions if not space.index.features[each].derived]
    return settling_machines(space, looks, holds & come, come)


Said = tuple[Markup, int, int]
"""What is said of a piece; where it hangs on a look: the machines on which it is so, and those that come here."""


@dataclass(frozen=True)
class Onlooker:
    """Looks at one run for the machines of one page."""

    here: Here
    run: Run
    sight: Own
    has: Existence
    mains: bool
    """Whether the machine has anything electrical."""
    plug_out_first: bool
    """Whether the page has the plug pulled before its first step, since no step of it deals with power."""

    def beside(self) -> dict[str, Beside]:
        """What stands beside each step, by its anchor; a state that has not changed is not said again."""
        found: dict[str, Beside] = {}
        said: tuple[Row, ...] = ()
        for done in self.run.trace.done:
            if self.sight.of(done.machines):
                rows, looks = self.rows(done.after)
                fresh = rows != said
                found[done.ref.anchor] = Beside(self.lines(done), rows if fresh else (), fresh, looks if fresh else "")
                said = rows
        return found

    def leaves(self) -> tuple[tuple[Row, ...], str]:
        """What the procedure leaves open for the next one, and the looks that it hangs on."""
        for summary in self.run.trace.summaries:
            if self.sight.of(summary.machines):
                return self.rows(summary.leaves)
        return (), ""

    def needs(self) -> list[Markup]:
        """What a procedure read alone takes for granted: said before its first step."""
        live, plugged, lines = needs_of(self.here, self.run)
        made = [PLUG_OUT] if self.plug_out_first or self.sight.of(live) else []
        return [*made, *([PLUGGED_IN] if self.sight.of(plugged) else []), *self._all(lines)]

    def rows(self, state: State) -> tuple[tuple[Row, ...], str]:
        """The state in words, a row a kind; the looks that it hangs on."""
        found: list[Row] = []
        doubts: dict[str, None] = {}
        for (kind, words, _, _), line in zip(ROWS, state_lines(self.here, state), strict=True):
            if texts := self._texts(line, doubts):
                found.append((kind, words, line.join.line(texts)))
        power = self.power(state)
        return (*found, *([POWER[power]] if power else [])), self.look_first(doubts)

    def power(self, state: State) -> str:
        """Whether it is live, as a key of the rows; empty where nothing is electrical."""
        if self.plug_out_first:
            return "isolated"
        return power_of(self.sight, state.extent(("live",), "mains")) if self.mains else ""

    def lines(self, done: Done) -> tuple[Markup, ...]:
        """What a step does besides what is written, a line a kind."""
        return tuple(self._all(derived_lines(self.here, done)))

    def _all(self, lines: Iterable[Line]) -> list[Markup]:
        """The lines, and at the end the looks that they hang on."""
        doubts: dict[str, None] = {}
        made = [line.join.line(texts) for line in lines if (texts := self._texts(line, doubts))]
        looks = self.look_first(doubts)
        return [*made, *([Markup("<small>{}</small>").format(looks)] if looks else [])]

    def _texts(self, line: Line, doubts: dict[str, None]) -> list[Markup]:
        found: dict[str, Markup] = {}
        for piece in line.pieces:
            if made := said(self.sight, self.has, piece, line.come):
                text, holds, come = made
                found[piece.key] = text
                doubts |= dict.fromkeys(self.sight.looks(holds, come) if come else ())
        return list(found.values())

    def look_first(self, looks: Iterable[str]) -> str:
        """The looks that what is said here hangs on."""
        asks = [look_of(self.here.library, each)["ask"] for each in looks]
        return f"Look first: {' '.join(asks)}" if asks else ""


def said(sight: Sight, has: Existence, piece: Piece, come: int) -> Said | None:
    """What a piece says of the machines that are looked at; `perhaps` where it is so on some, or with some answers."""
    if not sight.of(piece.holds):
        return None
    text = piece.text(has)
    if not sight.of(piece.fails):
        return text, 0, 0
    if sight.of(piece.holds & piece.fails):
        return text + PERHAPS, 0, 0
    return text + PERHAPS, come & ~piece.fails, come


def power_of(sight: Sight, live: Extent) -> str:
    """Whether a machine with a plug is live."""
    if sight.of(live.always):
        return "live"
    return "open" if sight.of(live.some) else "isolated"


# ------------------------------------------------------------------------------------ what can be said


def state_lines(here: Here, state: State) -> list[Line]:
    """All that can be said of a state, a line a row."""
    return [
        Line(kind, LIST, state.machines, tuple(_state_pieces(here, state, facts, plural)))
        for kind, _, facts, plural in ROWS
    ]


def _state_pieces(here: Here, state: State, facts: tuple[str, ...], plural: str) -> Iterator[Piece]:
    for subject, extent in state.of(*facts).items():
        if subject in here.library.of(plural):
            subject = _with(here, plural, subject)
            name = escape(_many(here.library.of(plural)[subject], plural))
            yield Piece(subject, extent.some, state.machines & ~extent.always, _constant(name))


def _many(record: Any, plural: str) -> str:
    return as_many(record) if isinstance(record, PartRecord | Fastener) else name_of(record, plural)


def _with(here: Here, plural: str, identifier: str) -> str:
    """What never leaves its carrier is off with it, so that the carrier is said."""
    while plural == "parts" and (part := here.library.parts[identifier]).stays and part.inside:
        identifier = part.inside
    return identifier


def derived_lines(here: Here, done: Done) -> Iterator[Line]:
    """All that a step can do besides what is written, a line a kind."""
    by_kind: dict[str, list[Derived]] = {}
    for each in done.derived:
        by_kind.setdefault(each.kind, []).append(each)
    for kind, (join, text) in LINES.items():
        found = sorted(by_kind.get(kind, ()), key=_mass) if kind == "lifted" else by_kind.get(kind, ())
        found = [each for each in found if not _slips(here, each) and not _sets(done, each)]
        if found:
            yield Line(kind, join, done.machines, tuple(_pieces(here, done.machines, found, text)))


def _slips(here: Here, derived: Derived) -> bool:
    """What only slips on is neither undone nor tightened."""
    kind, identifier = derived.subject
    return kind == "fasteners" and here.library.fasteners[identifier].kind == "slip fit"


def _sets(done: Done, derived: Derived) -> bool:
    """What a step loses and sets again is in order when it is done."""
    return derived.kind == "loses" and derived.subject[1] in done.act.step.sets


def _mass(derived: Derived) -> int:
    """The heaviest last, so that it is what is said."""
    return int(derived.detail or 0)


def _pieces(here: Here, come: int, found: Iterable[Derived], text: Sayer) -> Iterator[Piece]:
    listed = list(found)
    for each in listed:
        holds = union(other.machines for other in listed if other.subject == each.subject)
        yield Piece("/".join(each.subject), each.machines, come & ~holds, text(here, each))


def needs_of(here: Here, run: Run) -> tuple[int, int, list[Line]]:
    """Machines on which the plug must be out, or in, before the first step; and all else that is taken for granted."""
    needed = run.trace.needed
    live, plugged = (union(n.machines for n in needed if n.fact[0] == "live" and n.holds is so) for so in (False, True))
    come = union(summary.machines for summary in run.trace.summaries)
    lines = []
    for kind, (join, plural, fact, so) in NEEDS.items():
        names = here.library.of(plural)
        asked = [each for each in needed if each.fact[0] == fact and each.holds is so and each.fact[1] in names]
        shown = [(_with(here, plural, each.fact[1]), each.machines) for each in asked]
        pieces = (
            Piece(name, machines, come & ~machines, _constant(here.anchor(plural, name))) for name, machines in shown
        )
        lines.append(Line(kind, join, come, tuple(pieces)))
    return live, plugged, lines


NEEDS = {
    "off": (Join("Off already: ", "."), "parts", "off", True),
    "on": (Join("In place: ", "."), "parts", "off", False),
    "set": (Join("Set already: ", "."), "settings", "lost", False),
}
PLUG_OUT = Markup("Pull the plug out and keep it in sight.")
PLUGGED_IN = Markup("The machine is plugged in, and the electrical test has been done.")
LIST = Join("")
"""Things in a row."""


# ------------------------------------------------------------------------------------ texts of pieces

Text = Callable[[Existence], Markup]
Sayer = Callable[[Here, Derived], Text]


def _constant(text: Markup) -> Text:
    return lambda _: text


VERBS = {
    "plug": {"Undo": "Pull out", "Tighten": "Push home"},
    "spring clip": {"Undo": "Open", "Tighten": "Close"},
    "bayonet": {"Undo": "Push and turn", "Tighten": "Push and turn"},
}
"""What is done to fasteners that are neither undone nor tightened."""


def _fastener(verb: str) -> Sayer:
    def text(here: Here, derived: Derived) -> Text:
        record = here.library.fasteners[derived.subject[1]]
        notes = [escape(record.sits)] if record.sits else []
        if record.hand == "left":
            turn = "to the left" if verb == "Tighten" else "to the right"
            notes.append(Markup("left-hand thread: turn it {}").format(turn))
        if record.blade:
            notes.append(escape(name_of(here.library.blades[record.blade])))
        said = VERBS.get(record.kind, {}).get(verb, verb)
        name = Markup('{} <a href="{}">{}</a>').format(said, here.link("fasteners", record.id)[1], counted(record))

        def told(has: Existence) -> Markup:
            tight = dict.fromkeys(map(_how_tight, has.values(record.tighten))) if verb == "Tighten" else {}
            listed = [*notes, *map(escape, tight)]
            return name + (Markup(" ({})").format(Markup("; ").join(listed)) if listed else Markup(""))

        return told

    return text


def _how_tight(amount: Amount) -> str:
    """How tight it goes, and for a bench without a torque driver the force at the rim of a handle that makes it."""
    force = at_rim(amount)
    return f"{how_tight(amount)}, {force}" if force else how_tight(amount)


def _named(plural: str) -> Sayer:
    return lambda here, derived: _constant(here.anchor(plural, derived.subject[1]))


def _lost(here: Here, derived: Derived) -> Text:
    kind, through = derived.through
    by = Markup(" <small>through the {}</small>").format(here.anchor(kind, through)) if through else Markup("")
    return _constant(here.anchor("settings", derived.subject[1]) + by)


def _see_that(here: Here, derived: Derived) -> Text:
    position = here.library.positions[derived.subject[1]]
    return _constant(escape(f"{position.name} is {position.states.get(derived.detail, derived.detail)}"))


def _lifted(here: Here, derived: Derived) -> Text:
    name = name_of(here.library.parts[derived.subject[1]], "parts")
    return _constant(escape(f"the {name}, about {_mass(derived) / 1000:.3g} kg"))


LINES: dict[str, tuple[Join, Sayer]] = {
    "see-that": (Join("First see that ", last=" and "), _see_that),
    "undone": (Join("", joint=". ", last=". "), _fastener("Undo")),
    "loosened": (Join("", joint=". ", last=". "), _fastener("Loosen")),
    "tightened": (Join("", joint=". ", last=". "), _fastener("Tighten")),
    "left-loose": (Join("Leaves loose: "), _named("fasteners")),
    "comes-along": (Join("Comes along: "), _named("parts")),
    "loses": (Join("Loses ", "; to be set again"), _lost),
    "dries": (Join("Dries: "), _named("oiling_points")),
    "cures": (Join("Cures: "), _named("findings")),
    "lifted": (Join("Lifts ", last=" or "), _lifted),
    "could-come-off": (Join("Could come off first, to make it lighter: "), _named("parts")),
    "wears-out": (Join("To be tested again afterwards: "), _named("proofs")),
}
"""Kinds of what a step does besides what is written, in the order in which they are said."""


def mains_of(here: Here, has: Existence) -> bool:
    """Whether any machine has anything electrical."""
    return any(part.electrical and not has.never("parts", part.id) for part in here.library.parts.values())


__all__ = ["LINES", "NEEDS", "POWER", "ROWS", "Onlooker", "Own", "mains_of"]

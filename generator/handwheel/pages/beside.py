"""What the simulated machine knows beside each step: what else it does, and the state that it leaves."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from markupsafe import Markup, escape

from handwheel.pages.here import Here
from handwheel.pages.phrases import either
from handwheel.pages.step_html import Beside
from handwheel.procedures.existence import Existence
from handwheel.procedures.quoted import how_tight
from handwheel.procedures.simulate.run import Run
from handwheel.procedures.simulate.trace import Derived, Done, Needed, State
from handwheel.procedures.wording import counted, joined, name_of

Row = tuple[str, str, Markup]

_ROWS = (
    ("off", "Off so far", ("off",), "parts"),
    ("loose", "Loose", ("loose",), "fasteners"),
    ("set", "To set again", ("lost",), "settings"),
    ("dry", "Dry", ("dry",), "oiling_points"),
)


@dataclass(frozen=True)
class Onlooker:
    """Looks at one run for the machines of one page."""

    here: Here
    run: Run
    machines: int
    """The page's machines, in the run's space."""
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
            if done.machines & self.machines:
                rows = tuple(self.rows(done.after))
                found[done.ref.anchor] = Beside(tuple(self.lines(done)), rows if rows != said else (), rows != said)
                said = rows
        return found

    def leaves(self) -> tuple[Row, ...]:
        """What the procedure leaves open for the next one."""
        for summary in self.run.trace.summaries:
            if summary.machines & self.machines:
                return tuple(self.rows(summary.leaves))
        return ()

    def needs(self) -> list[Markup]:
        """What a procedure read alone takes for granted: said before its first step."""
        needed = [each for each in self.run.trace.needed if each.machines & self.machines]
        return [text for text in self._needs(needed) if text]

    def rows(self, state: State) -> Iterator[Row]:
        """The state in words, a row a kind."""
        for kind, words, facts, plural in _ROWS:
            names = list(self._names(state, facts, plural))
            if names:
                yield kind, words, Markup(", ").join(names)
        if self.plug_out_first:
            yield "isolated", "Isolated", Markup("the plug is out")
        elif self.mains:
            live = state.extent(("live",), "mains")
            if live.always & self.machines:
                yield "live", "Live", Markup("it is plugged in")
            elif not live.some & self.machines:
                yield "isolated", "Isolated", Markup("the plug is out")
            else:
                yield "live", "May be live", Markup("look where the plug is")

    def _names(self, state: State, facts: tuple[str, ...], plural: str) -> Iterator[Markup]:
        come = state.machines & self.machines
        for subject, extent in state.of(*facts).items():
            here = extent.some & self.machines
            if here and subject in self.here.library.of(plural):
                name = escape(name_of(self.here.library.of(plural)[subject], plural))
                yield name if not come & ~extent.always else name + Markup(" <small>(perhaps)</small>")

    def lines(self, done: Done) -> Iterator[Markup]:
        """What a step does besides what is written, a line a kind."""
        by_kind: dict[str, list[Derived]] = {}
        for each in done.derived:
            if each.machines & self.machines:
                by_kind.setdefault(each.kind, []).append(each)
        for kind, say in _LINES:
            if kind in by_kind:
                yield say(self, by_kind[kind])

    def _needs(self, needed: list[Needed]) -> Iterator[Markup]:
        off = [each.fact[1] for each in needed if each.fact[0] == "off" and each.holds]
        on = [each.fact[1] for each in needed if each.fact[0] == "off" and not each.holds]
        if self.plug_out_first or any(each.fact[0] == "live" and not each.holds for each in needed):
            yield Markup("Pull the plug out and keep it in sight.")
        if any(each.fact[0] == "live" and each.holds for each in needed):
            yield Markup("The machine is plugged in, and the electrical test has been done.")
        if off:
            yield Markup("Off already: {}.").format(self.parts(off))
        if on:
            yield Markup("In place: {}.").format(self.parts(on))
        lost = [each.fact[1] for each in needed if each.fact[0] == "lost" and not each.holds]
        if lost:
            yield Markup("Set already: {}.").format(self.here.anchors("settings", dict.fromkeys(lost)))

    def parts(self, ids: Iterable[str]) -> Markup:
        """Parts as links, each once."""
        return self.here.anchors("parts", (each for each in dict.fromkeys(ids) if each in self.here.library.parts))


def _fasteners(verb: str) -> Callable[[Onlooker, list[Derived]], Markup]:
    def say(look: Onlooker, found: list[Derived]) -> Markup:
        made = [_fastener(look, each.subject[1], verb) for each in _once(found)]
        return Markup("{} {}").format(verb, Markup("; ").join(made))

    return say


def _fastener(look: Onlooker, identifier: str, verb: str) -> Markup:
    record = look.here.library.fasteners[identifier]
    notes: list[Markup] = []
    if record.hand == "left":
        turn = "to the left" if verb == "Tighten" else "to the right"
        notes.append(Markup("left-hand thread: turn it {}").format(turn))
    if record.blade:
        notes.append(escape(name_of(look.here.library.blades[record.blade])))
    if verb == "Tighten":
        notes += [escape(each) for each in dict.fromkeys(map(how_tight, look.has.values(record.tighten)))]
    name = Markup('<a href="{}">{}</a>').format(look.here.link("fasteners", identifier)[1], counted(record))
    return name + (Markup(" ({})").format(Markup("; ").join(notes)) if notes else Markup(""))


def _once(found: list[Derived]) -> list[Derived]:
    return list({each.subject: each for each in found}.values())


def _named(words: str, plural: str) -> Callable[[Onlooker, list[Derived]], Markup]:
    def say(look: Onlooker, found: list[Derived]) -> Markup:
        names = look.here.anchors(plural, (each.subject[1] for each in _once(found)))
        return Markup("{} {}").format(words, names)

    return say


def _lost(look: Onlooker, found: list[Derived]) -> Markup:
    made = []
    for each in _once(found):
        kind, through = each.through
        by = Markup(" <small>through {}</small>").format(look.here.anchor(kind, through)) if through else Markup("")
        made.append(look.here.anchor("settings", each.subject[1]) + by)
    return Markup("Loses {}; to be set again").format(Markup(", ").join(made))


def _see_that(look: Onlooker, found: list[Derived]) -> Markup:
    library = look.here.library
    made = []
    for each in _once(found):
        position = library.positions[each.subject[1]]
        made.append(f"{position.name} is {position.states.get(each.detail, each.detail)}")
    return Markup("First see that {}").format(joined(made))


def _lifted(look: Onlooker, found: list[Derived]) -> Markup:
    heaviest: dict[str, int] = {}
    for each in found:
        heaviest[each.subject[1]] = max(heaviest.get(each.subject[1], 0), int(each.detail or 0))
    said = [
        f"{name_of(look.here.library.parts[part], 'parts')}, about {g / 1000:.3g} kg" for part, g in heaviest.items()
    ]
    return Markup("Lifts {}").format(either(said))


_LINES: tuple[tuple[str, Callable[[Onlooker, list[Derived]], Markup]], ...] = (
    ("see-that", _see_that),
    ("undone", _fasteners("Undo")),
    ("loosened", _fasteners("Loosen")),
    ("tightened", _fasteners("Tighten")),
    ("left-loose", _named("Leaves loose", "fasteners")),
    ("comes-along", _named("Comes along:", "parts")),
    ("loses", _lost),
    ("dries", _named("Dries", "oiling_points")),
    ("cures", _named("Cures", "findings")),
    ("lifted", _lifted),
    ("could-come-off", _named("Could come off first, to make it lighter:", "parts")),
    ("wears-out", _named("To be tested again afterwards:", "proofs")),
)

"""What stands beside the steps of a machine as found, made ready: pieces with the machines for which they hold.

`beside` decides and writes; here it runs over machines that are not known yet (see `procedures.forks`), so
that a script has masks to test and finished texts to join. An outcome of a piece is 0 (not said), the number
of a text, or that number and the doubt that it hangs on.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from markupsafe import escape

from handwheel.machines.widen import Widen
from handwheel.pages.beside import (
    LINES,
    LIST,
    NEEDS,
    PLUG_OUT,
    PLUGGED_IN,
    POWER,
    ROWS,
    Join,
    Line,
    Piece,
    Said,
    derived_lines,
    needs_of,
    power_of,
    said,
    state_lines,
    telling,
)
from handwheel.pages.here import Here
from handwheel.pages.step_html import macros
from handwheel.procedures.compile import Compiler, Table
from handwheel.procedures.existence import Existence
from handwheel.procedures.forks import Told
from handwheel.procedures.simulate.run import Run
from handwheel.procedures.simulate.trace import Done, State, Summary

Json = Any
DERIVED, HELD, NEEDED, POWERS = list(LINES), [kind for kind, *_ in ROWS], list(NEEDS), list(POWER)


@dataclass(frozen=True)
class Unknown:
    """Looks at machines of which nothing is known yet."""

    family: Compiler
    widen: Widen

    def of(self, machines: int) -> Any:
        """Those that turn out to be possible."""
        return self.family.forks.among(self.widen(machines))

    def number(self, holds: int, come: int) -> int:
        """The number of a doubt."""
        told = Told(self.widen(holds), telling(self.widen.narrow, holds, come))
        return self.family.forks.number(told, self.widen(come))


@dataclass
class BesideSteps:
    """One procedure of a family."""

    family: Compiler
    here: Here
    run: Run
    widen: Widen
    texts: Table = field(default_factory=Table)
    keys: Table = field(default_factory=Table)
    pieces: Table = field(default_factory=Table)
    states: Table = field(default_factory=Table)

    def __post_init__(self) -> None:
        forks = self.family.forks
        self.sight = Unknown(self.family, self.widen)
        self.has = Existence(self.here.library, self.family.space, forks.among(self.family.space.all))  # type: ignore[arg-type]

    def compiled(self) -> dict[str, Json]:
        """What a script needs: steps in the order of the run, what is left open, what is taken for granted."""
        live, plugged, needs = needs_of(self.here, self.run)
        anywhere = self.run.space.all
        return {
            "done": [self._done(each) for each in self.run.trace.done],
            "leaves": [self._left(each) for each in self.run.trace.summaries],
            "needs": [self._mask(live), self._mask(plugged), [self._line(each, NEEDED, anywhere) for each in needs]],
            "states": self.states.values,
            "pieces": self.pieces.values,
            "texts": self.texts.values,
        }

    def _mask(self, mask: int) -> int:
        return self.family.masks.number(self.widen(mask))

    def _done(self, done: Done) -> list[Json]:
        lines = [self._line(each, DERIVED, each.come) for each in derived_lines(self.here, done)]
        return [done.ref.anchor, self._mask(done.machines), lines, self._state(done.after, done.machines)]

    def _left(self, summary: Summary) -> list[Json]:
        return [self._mask(summary.machines), self._state(summary.leaves, summary.machines)]

    def _state(self, state: State, given: int) -> int:
        """A state that is asked for where a machine of those given is possible; not all of them need come to it."""
        lines = (each for each in state_lines(self.here, state) if each.pieces)
        rows = [self._line(each, HELD, given) for each in lines]
        live = state.extent(("live",), "mains")
        power = self._tree(given, lambda: POWERS.index(power_of(self.sight, live)), lambda key: key)
        return self.states.number([rows, power])

    def _line(self, line: Line, kinds: list[str], come: int) -> list[Json]:
        return [kinds.index(line.kind), [self._piece(each, line.come, come) for each in line.pieces]]

    def _piece(self, piece: Piece, come: int, given: int) -> int:
        tree = self._tree(given, lambda: said(self.sight, self.has, piece, come), self._said)
        return self.pieces.number([self.keys.number(piece.key), tree])

    def _said(self, made: Said | None) -> Json:
        if made is None:
            return 0
        text, holds, come = made
        number = 1 + self.texts.number(str(text))
        return [number, self.sight.number(holds, come)] if come else number

    def _tree(self, given: int, run: Any, say: Any) -> Json:
        return self.family.tree(self.family.forks.outcomes(self.widen(given), run), say)


def frames_beside() -> dict[str, Json]:
    """The pieces around what is said, cut at their places; the words of lines and rows."""
    place = "\0"
    row = (place, place, place)
    state = str(macros().state([row, row], False, place)).split(place)
    return {
        "derived": str(macros().derived_lines([place, place])).split(place),
        "lines": [_joined(join) for join, _ in LINES.values()],
        "needs": [_joined(join) for join, *_ in NEEDS.values()],
        "plug": [str(PLUG_OUT), str(PLUGGED_IN)],
        "list": _joined(LIST),
        "rows": [[kind, words] for kind, words, _, _ in ROWS],
        "power": [list(map(str, POWER[key])) for key in POWERS],
        "row": state[1:4],
        "hangs": state[-2:],
        "closed": [*_around(False), str(macros().state([]))],
        "open": [*_around(True), str(macros().state([], True))],
        "facts": str(macros().facts([(place, place), (place, place)])).split(place),
    }


def _joined(join: Join) -> list[str]:
    return [str(escape(each)) for each in (join.before, join.after, join.joint, join.last)]


def _around(open_: bool) -> list[str]:
    """What stands before and after the rows of a state without looks."""
    parts = str(macros().state([("\0", "", "")], open_)).split("\0")
    return [parts[0], parts[-1].partition("<dd>")[2]]


__all__ = ["BesideSteps", "frames_beside"]

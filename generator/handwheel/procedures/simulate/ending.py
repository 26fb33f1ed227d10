"""How a path ends: what must then be so, what a procedure aims at, what is still open."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from handwheel.machines.conditions import All, Is
from handwheel.procedures.judge import ACCEPTED
from handwheel.procedures.simulate.book import Book, Spot
from handwheel.procedures.simulate.ground import Ground
from handwheel.procedures.simulate.power import MAINS
from handwheel.procedures.simulate.relevance import IDLE, idle
from handwheel.procedures.simulate.trace import NOTHING, Subject
from handwheel.procedures.simulate.world import Fact, World
from handwheel.records.work_records import Aim

FAULT, UNREAD, PROMISE = "fault-left", "nothing-follows", "promise-not-kept"

IN_SERVICE = "in-service"

_IDLE = frozenset(IDLE)


def forget(ground: Ground, world: World, later: frozenset[str]) -> World:
    """The world without answers and idle facts that nothing later reads; faults are kept for the end."""
    gone = {q for q in world.answers if q not in later and q in ground.states}
    unread = []
    for fact in world.facts:
        if fact[0] in _IDLE:
            if idle(*fact) not in later:
                unread.append(fact)
        elif fact[0] == "asked" and fact[1] not in later and fact[1] in ground.states:
            gone.add(fact[1])
    return _without(ground, world, gone, unread)


def drop(ground: Ground, world: World, names: frozenset[str]) -> World:
    """The same, where all but these names are known to be read later, or not to be there."""
    gone = {q for q in names if q in ground.states and (q in world.answers or ("asked", q) in world.facts)}
    unread = []
    for name in names:
        kind, _, subject = name.partition(" ")
        if kind == "tested" and subject:
            unread += [fact for fact in world.facts if fact[0] == kind and idle(*fact) == name]
        elif (kind, subject) in world.facts:
            unread.append((kind, subject))
    return _without(ground, world, gone, unread)


def _without(ground: Ground, world: World, gone: set[str], unread: Sequence[Fact]) -> World:
    if not gone and not unread:
        return world
    facts, kept = dict(world.facts), dict(world.later)
    for fact in unread:
        del facts[fact]
    answers = {q: state for q, state in world.answers.items() if q not in gone}
    for question in sorted(gone, key=ground.order.__getitem__):
        for code, machines in open_faults(ground, world, question):
            kept[code, question] = kept.get((code, question), 0) & world.machines | machines
        facts.pop(("asked", question), None)
        facts.pop(("read", question), None)
    return World(world.machines, answers, facts, kept, world.trail, world.changed)


def open_faults(ground: Ground, world: World, question: str) -> Iterator[tuple[str, int]]:
    """What is left open of a question as things stand: a fault, one that nobody looked at, or a promise."""
    asked = world.has("asked", question)
    state = world.answers.get(question)
    if question in ground.library.choices:
        means = ground.library.choices[question].means
        if not means:
            yield UNREAD, asked & ~world.has("read", question)
        elif state in (None, ACCEPTED):
            kept = ground.mask(All(tuple(Is(q, frozenset(forms)) for q, forms in means.items())), world)
            yield PROMISE, asked & ~kept
        return
    good = ground.good[question]
    bad = any(each not in good for each in ground.states[question]) if state is None else state not in good
    if bad:
        yield FAULT, asked & world.has("read", question)
        yield UNREAD, asked & ~world.has("read", question)


_DEMANDS: tuple[tuple[str, str, str, tuple[str, ...]], ...] = (
    ("left-off", "parts", "apart", ("off",)),
    ("left-loose", "fasteners", "loose", ("loose", "out")),
    ("not-set-again", "settings", "unset", ("lost",)),
    ("not-oiled", "oiling_points", "dry", ("dry",)),
    ("never-cleaned", "parts", "dry", ("gummed",)),
)
"""Code, plural, the word that excuses it, facts that must not be left."""

_EVERY = frozenset(("faulty", "untested", *(excuse for _, _, excuse, _ in _DEMANDS)))
"""What `all` excuses. Nothing excuses a machine that is left plugged in."""


def end(ground: Ground, book: Book, world: World, spot: Spot, excused: Collection[str], handed_over: bool) -> None:
    """Everything that must be so when the path of these machines ends."""
    if not world.machines:
        return
    excuses = _EVERY if "all" in excused else frozenset(excused)
    for code, plural, excuse, kinds in _DEMANDS:
        if excuse not in excuses:
            _nothing_left(ground, book, world, spot, code, plural, kinds)
    live = world.has("live", MAINS)
    book.tell("left-plugged-in", spot, ("supply", MAINS), live, world, because=((("live", MAINS), True),))
    if "faulty" not in excuses:
        _no_faults(ground, book, world, spot)
    if "untested" not in excuses:
        _tested(ground, book, world, spot, handed_over)
    if handed_over:
        _given_back(book, world, spot)


def _nothing_left(
    ground: Ground, book: Book, world: World, spot: Spot, code: str, plural: str, kinds: tuple[str, ...]
) -> None:
    subjects = dict.fromkeys(subject for kind, subject in world.facts if kind in kinds)
    for subject in subjects:
        left = 0
        for kind in kinds:
            left |= world.has(kind, subject)
        left &= _exists(ground, plural, subject, world)
        if plural == "fasteners":
            for part in ground.library.fasteners[subject].holds:
                left &= ~world.has("off", part)
        because = tuple(((kind, subject), True) for kind in kinds)
        book.tell(code, spot, (plural, subject), left, world, because=because)


def _exists(ground: Ground, plural: str, subject: str, world: World) -> int:
    match plural:
        case "parts":
            return ground.part(subject, world)
        case "fasteners":
            return ground.fastener(subject, world)
        case "settings":
            return ground.setting(subject, world)
        case _:
            return ground.point(subject, world)


def _no_faults(ground: Ground, book: Book, world: World, spot: Spot) -> None:
    found: dict[Fact, int] = {fact: machines & world.machines for fact, machines in world.later.items()}
    for kind, question in world.facts:
        if kind == "asked":
            for code, machines in open_faults(ground, world, question):
                found[code, question] = found.get((code, question), 0) | machines
    for (code, question), machines in found.items():
        book.tell(code, spot, _question(ground, question), machines, world, because=((("asked", question), True),))


def _question(ground: Ground, question: str) -> Subject:
    for plural in ("findings", "choices", "readings"):
        if question in ground.library.of(plural):
            return plural, question
    return "features", question


def _tested(ground: Ground, book: Book, world: World, spot: Spot, handed_over: bool) -> None:
    for proof in ground.library.proofs.values():
        stale = world.has("stale", proof.id) & ground.when(proof.when, world)
        if handed_over:
            stale &= world.has("handed", "over") & ~world.has("told untested", proof.id)
        because = ((("stale", proof.id), True),)
        book.tell("handed-over-untested", spot, ("proofs", proof.id), stale, world, because=because)


def _given_back(book: Book, world: World, spot: Spot) -> None:
    for kind, item in world.facts:
        if kind == "taken":
            because = ((("taken", item), True),)
            book.tell("not-given-back", spot, ("items", item), world.has("taken", item), world, because=because)
    book.tell("never-handed-over", spot, NOTHING, world.machines & ~world.has("handed", "over"), world)


def aimed(ground: Ground, book: Book, world: World, spot: Spot, aim: Aim) -> None:
    """What a procedure aims at holds on every machine that has it."""
    for plural, subject, wrong, because in _misses(ground, world, aim):
        book.tell("aim-missed", spot, (plural, subject), wrong, world, because=because)


def _misses(ground: Ground, world: World, aim: Aim) -> Iterator[tuple[str, str, int, tuple[tuple[Fact, bool], ...]]]:
    for part in (*aim.apart, *_stripped(ground, aim)):
        on = ground.part(part, world) & ~world.has("off", part)
        yield "parts", part, on, ((("off", part), False),)
    for part in aim.fitted:
        chain = (part, *ground.anatomy.carriers[part])
        off = 0
        for each in chain:
            off |= world.has("off", each)
        yield "parts", part, ground.part(part, world) & off, tuple((("off", each), True) for each in chain)
    for part in aim.clean:
        yield "parts", part, ground.part(part, world) & ~world.has("clean", part), ()
    for setting in aim.set:
        lost = ground.setting(setting, world) & world.has("lost", setting)
        yield "settings", setting, lost, ((("lost", setting), True),)
    for point in aim.oiled:
        dry = ground.point(point, world) & ~world.has("oiled", point)
        yield "oiling_points", point, dry, ((("dry", point), True),)
    for proof in aim.proven:
        stale = world.has("stale", proof) & ground.when(ground.library.proofs[proof].when, world)
        yield "proofs", proof, stale, ((("stale", proof), True),)


def _stripped(ground: Ground, aim: Aim) -> Iterator[str]:
    for assembly in aim.stripped:
        for part in ground.anatomy.children.get(assembly, ()):
            if part not in aim.left:
                yield part

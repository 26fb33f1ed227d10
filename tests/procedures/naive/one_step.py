"""What one step does to one machine."""

from __future__ import annotations

from collections.abc import Callable

from naive.one_machine import OneMachine
from naive.one_state import OneState

from handwheel.records.step_records import Step

Tell = Callable[[str, tuple[str, str], tuple[str, str]], None]
NOTHING = ("", "")
LIMIT = 12_000


class OneStep:
    """`tell(code, subject, about)` takes what must not happen."""

    def __init__(self, machine: OneMachine, state: OneState, step: Step, tell: Tell, reached: tuple[str, ...]) -> None:
        self.machine = machine
        self.library = machine.library
        self.state = state
        self.step = step
        self._tell = tell
        self.reached = reached
        self.now = dict(state.changed)
        """Forms as they were when the step began: what a step changes is seen after it."""
        self.afterwards: list[tuple[str, str]] = []

    def tell(self, code: str, kind: str, name: str, about: tuple[str, str] = NOTHING) -> None:
        self._tell(code, (kind, name), about)

    # ---------------------------------------------------------------------------- small questions

    def has(self, kind: str, name: str) -> bool:
        """Whether the machine has it; complains if not."""
        there = {
            "parts": self.machine.has_part,
            "fasteners": self.machine.has_fastener,
            "settings": self.machine.has_setting,
            "oiling_points": self.machine.has_point,
        }[kind](name, self.now)
        if not there:
            self.tell("not-on-this-machine", kind, name)
        return there

    def part(self, part: str) -> bool:
        return self.machine.has_part(part, self.now)

    def on(self, part: str) -> bool:
        """On the machine itself, with all that carries it."""
        chain = [part, *self.machine.carriers(part)]
        return self.part(part) and not any(each in self.state.off for each in chain)

    def below(self, part: str) -> list[str]:
        """Parts that hang on it now, at any depth."""
        found = []
        for other in self.library.parts:
            if other == self.machine.root() or other == part:
                continue
            hangs_on = self.machine.carrier(other) or self.machine.root()
            if hangs_on == part and self.part(other) and other not in self.state.off:
                found += [other, *self.below(other)]
        return found

    def together(self, part: str, other: str) -> bool:
        """Whether both hang on the nearest thing that carries both (not asking whether the part itself is off)."""
        mine = [part, *self.machine.carriers(part)]
        its = [other, *self.machine.carriers(other)]
        shared = next((each for each in mine if each in its), None)
        up = mine[1 : mine.index(shared)] if shared in mine else mine[1:]
        down = its[: its.index(shared)] if shared in its else its
        if shared == other:
            down = [other]
        return not any(each in self.state.off for each in (*up, *down, other))

    def whole(self, part: str) -> list[str]:
        """All that hangs together with the part, whether on the machine or on the bench."""
        top = part
        while top not in self.state.off and top != self.machine.root():
            up = self.machine.carrier(top) or self.machine.root()
            if not up or not self.part(up):
                break
            top = up
        return [top, *self.below(top)]

    def look_in_front(self, kind: str, name: str, part: str, others: list[str], hanging: bool = False) -> None:
        if name in self.reached:
            return
        for other in others:
            if self.part(other) and self.together(part, other) and not (hanging and part in self.state.off):
                self.tell("behind", kind, name, ("parts", other))

    def forbidden(self, effect: str, kind: str, name: str) -> None:
        for each in self.library.prohibitions.values():
            if each.effect == effect and each.part == name and self.machine.when(each.when, self.now):
                self.tell("prohibited", kind, name, ("prohibitions", each.id))

    # --------------------------------------------------------------------------------- the order

    def run(self) -> None:
        step, state = self.step, self.state
        self.positions()
        if step.isolates:
            state.live = False
        if step.restores:
            self.restore()
        for item in step.takes_in:
            if self.machine.when(self.library.items[item].when, self.now):
                state.taken.add(item)
        for setting in step.marks:
            if self.has("settings", setting):
                self.hands_at(setting, state.marked)
        for fastener in step.loosens:
            self.loosen(fastener)
        for fastener in step.undoes:
            self.undo(fastener)
        for part in step.removes:
            self.remove(part)
        for part, agent in step.tests_on.items():
            if self.has("parts", part):
                self.hands_on(part, False)
                state.tested.add((part, agent))
        for part, agent in step.cleans.items():
            self.clean(part, agent)
        for part in step.heats:
            if self.has("parts", part):
                self.forbidden("heats", "parts", part)
                self.hands_on(part, False)
                for other in sorted(self.state.wet & set(self.whole(part))):
                    self.tell("heated-wet", "parts", part, ("parts", other))
        for part, form in step.renews.items():
            self.renew(part, form)
        for point in step.lubricates:
            self.oil(point)
        for part in step.fits:
            self.fit(part)
        for setting in step.sets:
            self.set(setting)
        for fastener in step.tightens:
            if self.has("fasteners", fastener):
                self.reach_fastener(fastener)
                self.hands_on_fastener(fastener)
                self.tighten(fastener)
        for setting in step.disturbs:
            if self.has("settings", setting):
                self.lose(setting)
        for part in step.lifts:
            self.lift(part)
        for mover in step.turns:
            self.by_hand(mover)
            self.turn(mover, ())
        self.put()
        self.test()
        self.ask()
        for item in step.gives_back:
            if self.machine.when(self.library.items[item].when, self.now):
                if item not in state.taken:
                    self.tell("not-taken-in", "items", item)
                state.taken.discard(item)
        for part in step.wait.of if step.wait else ():
            if self.part(part):
                state.wet -= {part, *self.below(part)}
        if step.hands_over:
            self.hand_over()

    # ---------------------------------------------------------------------------- off, on, loose

    def remove(self, part: str) -> None:
        if not self.has("parts", part):
            return
        self.forbidden("removes", "parts", part)
        if part in self.state.off:
            self.tell("not-in-place", "parts", part)
            return
        self.look_in_front("parts", part, part, self.machine.in_front_of(part))
        self.hands_on(part, True)
        for fastener in self.library.fasteners.values():
            if part not in fastener.holds or not self.machine.has_fastener(fastener.id, self.now):
                continue
            only = fastener.release == "loosened"
            if fastener.id in self.state.out or (only and fastener.id in self.state.loose):
                continue
            self.forbidden("loosens" if only else "undoes", "fasteners", fastener.id)
            self.reach_fastener(fastener.id)
            self.hands_on_fastener(fastener.id)
            self.give_way(fastener.id, "loose" if only else "out")
        for setting in self.library.settings.values():
            if part in setting.held_by and part not in self.library.fasteners:
                self.lose(setting.id, ("parts", part))
        self.state.off.add(part)

    def fit(self, part: str) -> None:
        if not self.has("parts", part):
            return
        if part not in self.state.off:
            self.tell("fitted-twice", "parts", part)
            return
        self.look_in_front("parts", part, part, self.machine.in_front_of(part))
        self.hands_on(part, True)
        self.state.off.discard(part)
        if self.library.parts[part].sews:
            self.wear_out("sewing")
        for fastener in self.library.fasteners.values():
            if part not in fastener.holds or not self.machine.has_fastener(fastener.id, self.now):
                continue
            if any(each in self.state.off for each in fastener.holds):
                continue
            if self.step.leaves == "loose":
                if fastener.id in self.state.out:
                    self.state.out.discard(fastener.id)
                    self.state.loose.add(fastener.id)
            elif fastener.id in self.state.out | self.state.loose:
                self.reach_fastener(fastener.id)
                self.tighten(fastener.id)

    def undo(self, fastener: str) -> None:
        if not self.has("fasteners", fastener):
            return
        if fastener in self.state.out:
            self.tell("undone-twice", "fasteners", fastener)
            return
        self.forbidden("undoes", "fasteners", fastener)
        if self.library.fasteners[fastener].release == "loosened":
            self.tell("only-loosened", "fasteners", fastener)
        self.reach_fastener(fastener)
        self.hands_on_fastener(fastener)
        self.give_way(fastener, "out")

    def loosen(self, fastener: str) -> None:
        if not self.has("fasteners", fastener):
            return
        if fastener in self.state.out:
            self.tell("undone-twice", "fasteners", fastener)
            return
        self.forbidden("loosens", "fasteners", fastener)
        self.reach_fastener(fastener)
        self.hands_on_fastener(fastener)
        if fastener not in self.state.loose:
            self.give_way(fastener, "loose")

    def reach_fastener(self, fastener: str) -> None:
        record = self.library.fasteners[fastener]
        self.look_in_front("fasteners", fastener, record.holds[0], list(dict.fromkeys(record.behind)))

    def give_way(self, fastener: str, how: str) -> None:
        state = self.state
        was_tight = fastener not in state.loose and fastener not in state.out
        state.loose.discard(fastener)
        (state.out if how == "out" else state.loose).add(fastener)
        if was_tight and self.wanders(fastener):
            for setting in self.library.settings.values():
                if fastener in setting.held_by:
                    self.lose(setting.id, ("fasteners", fastener))

    def wanders(self, fastener: str) -> bool:
        seats = self.machine.value(self.library.fasteners[fastener].seat, self.now)
        return all(seat == "any" for seat in seats)

    def tighten(self, fastener: str) -> None:
        if any(part in self.state.off for part in self.library.fasteners[fastener].holds):
            return
        if fastener in self.state.loose | self.state.out:
            self.hands_on_fastener(fastener)
        self.state.loose.discard(fastener)
        self.state.out.discard(fastener)

    # --------------------------------------------------------------------------- renewing, cleaning

    def renew(self, part: str, form: str) -> None:
        features = [
            feature.id
            for feature in self.library.features.values()
            if feature.changes_by_work and form in feature.forms and part in (feature.carried_by, feature.id)
        ]
        if not features and not self.has("parts", part):
            return
        self.forbidden("renews", "parts", part)
        if part not in self.state.off:
            self.look_in_front("parts", part, part, self.machine.in_front_of(part))
        self.hands_on(part, True)
        for setting in self.library.settings.values():
            if part in self.parts_of(setting.held_by):
                self.lose(setting.id, ("parts", part))
                self.state.marked.discard(setting.id)
        for point in self.library.oiling_points.values():
            if part in point.between and self.machine.has_point(point.id, self.now):
                self.state.dry.add(point.id)
                self.state.oiled.discard(point.id)
        self.state.gummed.discard(part)
        self.state.clean.add(part)
        self.state.wet.discard(part)
        self.state.tested = {pair for pair in self.state.tested if pair[0] != part}
        for finding in self.library.findings.values():
            if finding.of == part and finding.id in self.state.answers:
                self.afterwards.append((finding.id, finding.good[0]))
        if self.library.parts[part].sews:
            self.wear_out("sewing")
        for feature in features:
            self.state.changed[feature] = form

    def parts_of(self, holders: tuple[str, ...]) -> list[str]:
        found: list[str] = []
        for holder in holders:
            fastener = self.library.fasteners.get(holder)
            found += fastener.holds if fastener else [holder]
        return found

    def clean(self, part: str, agent: str) -> None:
        if not self.has("parts", part):
            return
        record = self.library.agents[agent]
        how = self.step.how or record.use[0]
        met = [part]
        if how == "bath":
            if part not in self.state.off:
                self.tell("bath-in-place", "parts", part)
            met += self.below(part)
        for each in met:
            if each in self.step.shields:
                continue
            self.forbidden("cleans", "parts", each)
            self.hands_on(each, False)
            own = self.library.parts[each]
            layers = [layer for finish in self.machine.value(own.finish, self.now) for layer in self.layers(finish)]
            self.meet(each, agent, [*layers, *self.machine.value(own.material, self.now)])
            self.state.clean.add(each)
            if record.flammable:
                self.state.wet.add(each)
            if record.strips_oil:
                self.state.gummed.discard(each)
                for point in self.library.oiling_points.values():
                    if each in point.between and self.machine.has_point(point.id, self.now):
                        self.state.dry.add(point.id)
                        self.state.oiled.discard(point.id)
        root = self.machine.root()
        open_to_it = how != "bath" and root and part != root and root not in self.step.shields
        if open_to_it and self.on(part) and self.part(root):
            finishes = self.machine.value(self.library.parts[root].finish, self.now)
            self.meet(root, agent, [layer for finish in finishes for layer in self.layers(finish)])
            if record.flammable:
                self.state.wet.add(root)

    def layers(self, finish: object) -> list[object]:
        record = self.library.finishes.get(str(finish))
        return list(record.layers) if record and record.layers else [finish]

    def meet(self, part: str, agent: str, layers: list[object]) -> None:
        for layer in layers:
            verdict = self.library.agents[agent].harms.get(str(layer))
            if verdict == "never":
                self.tell("agent-harms", "parts", part, ("agents", agent))
            if verdict == "test first" and (part, agent) not in self.state.tested:
                self.tell("not-tested-first", "parts", part, ("agents", agent))

    def oil(self, point: str) -> None:
        if not self.has("oiling_points", point):
            return
        record = self.library.oiling_points[point]
        self.forbidden("lubricates", "oiling_points", point)
        for other in record.behind:
            if self.part(other) and all(
                self.together(part, other) and part not in self.state.off for part in record.between
            ):
                self.tell("behind", "oiling_points", point, ("parts", other))
        for part in record.between:
            self.hands_on(part, False)
        self.state.dry.discard(point)
        self.state.oiled.add(point)

    # ---------------------------------------------------------------------------------- settings

    def lose(self, setting: str, undone_by: tuple[str, str] | None = None) -> None:
        record = self.library.settings[setting]
        if not self.machine.has_setting(setting, self.now) or setting in self.state.lost:
            return
        if undone_by and (record.arrangement or record.mark_first) and setting not in self.state.marked:
            self.tell("not-marked", "settings", setting, undone_by)
        self.state.lost.add(setting)
        if self.machine.setting_sews(setting):
            self.wear_out("sewing")
        if record.reading:
            self.afterwards.append((record.reading, ""))

    def set(self, setting: str) -> None:
        if not self.has("settings", setting):
            return
        record = self.library.settings[setting]
        held_by = list(self.machine.holders_there(setting, self.now))
        for part in dict.fromkeys(self.parts_of(tuple(held_by))):
            if part in self.state.off:
                self.tell("set-too-early", "settings", setting, ("parts", part))
        if record.set_when:
            for part in record.set_when.fitted:
                if self.part(part) and not self.on(part):
                    self.tell("set-too-early", "settings", setting, ("parts", part))
            for part in record.set_when.open:
                if self.on(part):
                    self.tell("set-too-early", "settings", setting, ("parts", part))
        for base in record.after:
            if base in self.state.lost and self.machine.has_setting(base, self.now):
                self.tell("set-too-early", "settings", setting, ("settings", base))
        for holder in held_by:
            if holder in self.library.fasteners:
                self.reach_fastener(holder)
                self.hands_on_fastener(holder)
                for other in self.library.settings.values():
                    if holder in other.held_by and other.id not in self.step.sets and self.wanders(holder):
                        self.lose(other.id)
                self.tighten(holder)
            elif self.part(holder) and self.library.parts[holder].electrical:
                self.electrical(holder, True, ("settings", setting))
        for other in self.library.settings.values():
            if setting in other.after and other.id not in self.step.sets:
                self.lose(other.id)
        self.state.lost.discard(setting)
        if self.machine.setting_sews(setting):
            self.wear_out("sewing")
        if record.reading and record.reading in self.state.answers:
            self.afterwards.append((record.reading, self.machine.good(record.reading)[0]))

    # ------------------------------------------------------------------------------------- mains

    def hands_on(self, part: str, wears: bool) -> None:
        for each in (part, *self.below(part)):
            if self.library.parts[each].electrical:
                self.electrical(each, wears, ("parts", part))

    def hands_at(self, setting: str, marked: set[str]) -> None:
        """Whoever marks how a thing stands takes hold of it."""
        for part in self.parts_of(tuple(self.machine.holders_there(setting, self.now))):
            if self.part(part) and self.library.parts[part].electrical:
                self.electrical(part, False, ("settings", setting))
        marked.add(setting)

    def hands_on_fastener(self, fastener: str) -> None:
        for part in self.library.fasteners[fastener].holds:
            if self.library.parts[part].electrical:
                self.electrical(part, True, ("fasteners", fastener))

    def electrical(self, part: str, wears: bool, through: tuple[str, str]) -> None:
        on_purpose = self.step.runs or any(self.library.proofs[proof].live for proof in self.step.proves)
        if self.state.live and not on_purpose:
            self.tell("live-work", "parts", part, through)
        if wears:
            self.wear_out("electrical")

    def wear_out(self, by: str) -> None:
        for proof in self.library.proofs.values():
            if proof.stale_by == by and self.machine.when(proof.when, self.now):
                self.state.stale.add(proof.id)

    def restore(self) -> None:
        if self.machine.has_mains(self.now):
            self.tested_first()
            self.state.live = True

    def tested_first(self) -> None:
        for proof in self.library.proofs.values():
            stale = proof.stale_by == "electrical" and proof.id in self.state.stale
            if stale and self.machine.when(proof.when, self.now):
                self.tell("live-before-test", "proofs", proof.id)

    def test(self) -> None:
        if self.step.turns:
            for each in self.library.prohibitions.values():
                if each.effect == "turns" and each.part in self.library.parts and self.on(each.part):
                    self.forbidden("turns", "parts", each.part)
        if self.step.runs:
            powers = [part.id for part in self.library.parts.values() if part.powers]
            if powers and not any(self.part(each) for each in powers):
                self.tell("nothing-to-run", "supply", "mains")
            if self.machine.has_mains(self.now):
                self.tested_first()
                if not self.state.live:
                    self.tell("no-power", "supply", "mains")
            self.state.at.clear()
        for proof in self.step.proves:
            record = self.library.proofs[proof]
            if not self.machine.when(record.when, self.now):
                continue
            needs_power = record.live and self.machine.has_mains(self.now)
            if record.stale_by == "sewing":
                needs_power |= any(part.powers and self.on(part.id) for part in self.library.parts.values())
                for setting in self.state.lost:
                    if self.machine.setting_sews(setting):
                        self.tell("tested-too-early", "proofs", proof, ("settings", setting))
            if needs_power and not self.state.live:
                self.tell("no-power", "supply", "mains")
            self.state.stale.discard(proof)

    def hand_over(self) -> None:
        if self.state.handed:
            self.tell("handed-over-twice", "", "")
        self.state.handed = True
        for proof in self.library.proofs.values():
            if proof.id in self.state.stale and self.machine.when(proof.when, self.now):
                self.tell("handed-over-untested", "proofs", proof.id)
                self.state.known_stale.add(proof.id)

    # ----------------------------------------------------------------------------------- lifting

    def lift(self, part: str) -> None:
        if not self.has("parts", part):
            return
        self.forbidden("lifts", "parts", part)
        hanging = [part, *self.below(part)]
        for fastener in self.library.fasteners.values():
            held = [each for each in fastener.holds if each in hanging and each not in self.state.off]
            slack = fastener.id in self.state.loose | self.state.out
            if held and slack and self.machine.has_fastener(fastener.id, self.now):
                self.tell("lifted-loose", "fasteners", fastener.id, ("parts", part))
        grams = 0
        for each in hanging:
            for mass in self.machine.value(self.library.parts[each].mass, self.now):
                grams += round((mass.value or 0.0) * 1000)  # type: ignore[attr-defined]
        if grams > LIMIT * self.step.people:
            self.tell("too-heavy", "parts", part)

    # ---------------------------------------------------------------------------------- positions

    def positions(self) -> None:
        wanted: dict[str, list[str]] = {}
        for position, states in self.wishes():
            left = [state for state in wanted.get(position, states) if state in states]
            if left:
                wanted[position] = left
            else:
                self.tell("impossible-position", "positions", position)
        for position, states in wanted.items():
            if self.state.at.get(position) not in states:
                self.turn(self.library.positions[position].moved_by, tuple(wanted))
                self.state.at[position] = states[0]

    def wishes(self) -> list[tuple[str, list[str]]]:
        found = []
        for part in (*self.step.removes, *self.step.fits):
            carried_off = any(each in self.state.off for each in self.machine.carriers(part))
            if self.part(part) and not carried_off:
                found += [(name, list(states)) for name, states in self.library.parts[part].take_at.items()]
        for setting in self.step.sets:
            record = self.library.settings[setting]
            if record.set_when and self.machine.has_setting(setting, self.now):
                found += [(name, list(states)) for name, states in record.set_when.positions.items()]
        return found

    def by_hand(self, mover: str) -> None:
        turners = [part.id for part in self.library.parts.values() if mover in part.turns]
        if not any(self.on(each) for each in turners):
            for each in turners:
                if self.part(each) and each in self.state.off:
                    self.tell("nothing-to-turn", "parts", each)

    def put(self) -> None:
        for mover in {self.library.positions[position].moved_by for position in self.step.puts}:
            self.by_hand(mover)
        for position, states in self.step.puts.items():
            self.turn(self.library.positions[position].moved_by, tuple(self.step.puts))
            self.state.at[position] = states[0]

    def turn(self, mover: str, keep: tuple[str, ...]) -> None:
        if mover in self.library.findings and mover not in self.step.finds:
            state = self.state.answers.get(mover)
            stuck = mover in self.state.may_be_seized if state is None else state not in self.machine.good(mover)
            if stuck:
                self.tell("cannot-turn", "findings", mover)
        for position in self.library.positions.values():
            if position.moved_by == mover and position.id not in keep:
                self.state.at.pop(position.id, None)

    # ---------------------------------------------------------------------------------- questions

    def ask(self) -> None:
        """Answers that the step gives by itself come first; whoever runs the step draws those of questions asked."""
        for finding, states in self.step.becomes.items():
            self.afterwards.append((finding, states[0]))
            self.state.may_be_seized.discard(finding)
        for question, state in self.afterwards:
            if state:
                self.state.answers[question] = state
            else:
                self.state.answers.pop(question, None)
                self.state.read.discard(question)

    def asked_now(self) -> list[str]:
        found = []
        for plural in ("findings", "readings", "choices"):
            for question in {"findings": self.step.finds, "readings": self.step.measures, "choices": self.step.asks}[
                plural
            ]:
                if self.machine.when(self.library.of(plural)[question].when, self.now):
                    found.append(question)
                elif plural != "choices":
                    self.tell("not-on-this-machine", plural, question)
        return found

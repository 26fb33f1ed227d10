"""One machine in plain dicts: what it is, what it has, how it hangs together. Slow, and easy to read."""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.machines.conditions import All, Any, Condition, Is, Not, OfVariant
from handwheel.records.library import Library


class OneMachine:
    def __init__(self, library: Library, variant: str, forms: dict[str, str]) -> None:
        self.library = library
        self.variant = variant
        self.forms = dict(forms)
        self.known: dict[tuple[str, frozenset[tuple[str, str]]], bool] = {}
        self.on = {part: self._carrier(part) for part in library.parts}

    # ------------------------------------------------------------------------------- conditions

    def form(self, feature: str, changed: dict[str, str]) -> str:
        if feature in changed:
            return changed[feature]
        record = self.library.features.get(feature)
        if record is not None and record.derived:
            for line in record.derived:
                if line.when is None or self.holds(line.when.condition, {}, changed):
                    return line.form
        return self.forms[feature]

    def is_feature(self, question: str) -> bool:
        return question in self.library.features or question in self.forms

    def holds(self, condition: Condition, answers: dict[str, str], changed: dict[str, str]) -> bool:
        match condition:
            case Is(question, states):
                if self.is_feature(question):
                    return self.form(question, changed) in states
                return answers[question] in states
            case OfVariant(variants):
                return self.variant in variants
            case Not(part):
                return not self.holds(part, answers, changed)
            case All(parts):
                return all(self.holds(part, answers, changed) for part in parts)
            case Any(parts):
                return any(self.holds(part, answers, changed) for part in parts)

    def asked_in(self, condition: Condition) -> list[str]:
        """Questions of the condition that only a step can answer."""
        return sorted(q for q in _names(condition) if not self.is_feature(q))

    def states(self, question: str) -> list[str]:
        if question in self.library.findings:
            return list(self.library.findings[question].states)
        if question in self.library.readings:
            return list(self.library.readings[question].states)
        return ["accepted", "declined"]

    def good(self, question: str) -> tuple[str, ...]:
        if question in self.library.findings:
            return self.library.findings[question].good
        return self.library.readings[question].good

    def when(self, when: object, changed: dict[str, str]) -> bool:
        return when is None or self.holds(when.condition, {}, changed)  # type: ignore[attr-defined]

    def value(self, varies: object, changed: dict[str, str]) -> list[object]:
        if varies is None:
            return []
        return [case.value for case in varies.cases if self.holds(case.condition, {}, changed)]  # type: ignore[attr-defined]

    # --------------------------------------------------------------------------------- hanging

    def carrier(self, part: str) -> str:
        """What it comes along with; nothing where that is the root."""
        return self.on[part]

    def _carrier(self, part: str) -> str:
        record = self.library.parts[part]
        if record.inside and not record.root:
            return "" if self.library.parts[record.inside].root else record.inside
        for assembly in self.library.parts.values():
            if part in [layer.part for layer in assembly.stack]:
                return "" if assembly.root else assembly.id
        return ""

    def carriers(self, part: str) -> list[str]:
        found = []
        while part := self.carrier(part):
            found.append(part)
        return found

    def root(self) -> str:
        return next((part.id for part in self.library.parts.values() if part.root), "")

    def in_front_of(self, part: str) -> list[str]:
        found = list(self.library.parts[part].behind)
        for assembly in self.library.parts.values():
            layers = [layer.part for layer in assembly.stack]
            if part in layers and self.carrier(part) == assembly.id:
                found += layers[: layers.index(part)]
        return list(dict.fromkeys(found))

    # ------------------------------------------------------------------------------- what there is

    def has_part(self, part: str, changed: dict[str, str]) -> bool:
        asked = part, frozenset(changed.items())
        if asked not in self.known:
            self.known[asked] = self._has_part(part, changed)
        return self.known[asked]

    def _has_part(self, part: str, changed: dict[str, str]) -> bool:
        record = self.library.parts[part]
        if not self.when(record.when, changed):
            return False
        for feature in self.library.features.values():
            if feature.carried_by == part and feature.missing and self.form(feature.id, changed) == "missing":
                return False
        for assembly in self.library.parts.values():
            for layer in assembly.stack:
                if layer.part == part and not self.when(layer.when, changed):
                    return False
        return all(self.has_part(outer, changed) for outer in self.carriers(part)[:1])

    def has_fastener(self, fastener: str, changed: dict[str, str]) -> bool:
        record = self.library.fasteners[fastener]
        return self.when(record.when, changed) and all(self.has_part(part, changed) for part in record.holds)

    def has_setting(self, setting: str, changed: dict[str, str]) -> bool:
        record = self.library.settings[setting]
        return self.when(record.when, changed) and (not record.held_by or any(self.holders_there(setting, changed)))

    def holders_there(self, setting: str, changed: dict[str, str]) -> Iterator[str]:
        for holder in self.library.settings[setting].held_by:
            if holder in self.library.fasteners:
                if self.has_fastener(holder, changed):
                    yield holder
            elif self.has_part(holder, changed):
                yield holder

    def has_point(self, point: str, changed: dict[str, str]) -> bool:
        record = self.library.oiling_points[point]
        return self.when(record.when, changed) and all(self.has_part(part, changed) for part in record.between)

    def has_mains(self, changed: dict[str, str]) -> bool:
        return any(part.electrical and self.has_part(part.id, changed) for part in self.library.parts.values())

    def setting_sews(self, setting: str) -> bool:
        for holder in self.library.settings[setting].held_by:
            fastener = self.library.fasteners.get(holder)
            for part in fastener.holds if fastener else (holder,):
                if self.library.parts[part].sews:
                    return True
        return False


def _names(condition: Condition) -> set[str]:
    match condition:
        case Is(question, _):
            return {question}
        case OfVariant():
            return set()
        case Not(part):
            return _names(part)
        case All(parts) | Any(parts):
            return {name for part in parts for name in _names(part)}

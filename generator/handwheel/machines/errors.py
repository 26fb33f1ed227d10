"""What can be wrong with a family, a condition or a question put to a space.

`MachinesError` is above them all. Unknown names are also `KeyError`s, faults of a family also `ValueError`s.
"""
# ruff: noqa: N818 - named after what is wrong, as the messages are

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches


class MachinesError(Exception):
    """Base of every error of this floor."""

    def __str__(self) -> str:
        return str(self.args[0]) if self.args else ""


class UnknownName(MachinesError, KeyError):
    """A name that the family does not have; `nearest` is the likeliest right one, or empty."""

    kind = "name"

    def __init__(self, name: str, known: Iterable[str], where: str = "") -> None:
        self.name = name
        self.nearest = next(iter(get_close_matches(name, list(known), 1)), "")
        hint = f"; did you mean {self.nearest!r}?" if self.nearest else ""
        super().__init__(f"{where + ': ' if where else ''}unknown {self.kind} {name!r}{hint}")


class UnknownQuestion(UnknownName):
    """No such question in the family."""

    kind = "question"


class NotKept(UnknownQuestion):
    """The family has the question, this space was made without it."""

    def __init__(self, name: str) -> None:
        super().__init__(name, (), "this space was made without it")


class UnknownState(UnknownName):
    """The question has no such state."""

    kind = "state"


class UnknownVariant(UnknownName):
    """No such variant in the family."""

    kind = "variant"


class Unanswered(MachinesError, KeyError):
    """A condition reads a finding, choice or reading that has no answer yet."""

    def __init__(self, question: str) -> None:
        self.question = question
        super().__init__(f"{question!r} is read before it is answered")


class NoSuchMachine(MachinesError, LookupError):
    """The machine is none of those that can stand here."""


class FamilyFault(MachinesError, ValueError):
    """The family contradicts itself."""


class DerivedGap(FamilyFault):
    """A derived feature has no form on some machines that can stand here."""

    def __init__(self, feature: str, count: int, examples: tuple[str, ...]) -> None:
        self.feature, self.count, self.examples = feature, count, examples
        named = "; ".join(examples) + ("; ..." if count > len(examples) else "")
        super().__init__(f"derived feature {feature!r}: no clause holds on {count} machines: {named}")


class TooMany(MachinesError):
    """More cells than the limit; the caller splits into areas and says the count."""

    def __init__(self, count: int, limit: int) -> None:
        self.count, self.limit = count, limit
        super().__init__(f"at least {count:,} machines, the limit is {limit:,}: split into areas")


class Coupled(TooMany):
    """What hangs together in one run is too much, even in areas."""

    def __init__(self, count: int, limit: int, where: str, features: tuple[str, ...]) -> None:
        super().__init__(count, limit)
        self.features = features
        named = ", ".join(features[:NAMED]) + (f" and {len(features) - NAMED} more" if len(features) > NAMED else "")
        self.args = (
            f"{where}: at least {count:,} machines would have to be told apart at once, the limit is {limit:,}; "
            f"what is done hangs together by {named}",
        )


NAMED = 8
"""How many features a message names."""

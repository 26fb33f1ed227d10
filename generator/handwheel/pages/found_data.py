"""The data of machines as found, as scripts, so that they load from the file system too."""

from __future__ import annotations

import json
from typing import Any

from handwheel.machines.masks import VARIANT
from handwheel.machines.space import Space
from handwheel.machines.truth import EFFORTS
from handwheel.pages import addresses
from handwheel.pages.found_html import FoundWriter, Fragments, cautions_html, frames_of_items, look_words
from handwheel.pages.here import Desk
from handwheel.pages.step_html import PageOfSteps
from handwheel.pages.work_list import resolver
from handwheel.procedures.compile import Compiler
from handwheel.records.families import family_of

Json = dict[str, Any]


class FamilyData:
    """What a script needs of one family."""

    def __init__(self, desk: Desk, family: str) -> None:
        self.desk, self.library, self.family = desk, desk.library, family
        self.space = Space(family_of(desk.library, family))
        self.compiler = Compiler(resolver(desk.library, family), self.space)
        self.writer = FoundWriter(desk.library)
        self.procedures = {
            each.id: self._procedure(each.id) for each in self.library.procedures.values() if not each.shared
        }

    def _procedure(self, procedure: str) -> Json:
        here = self.desk.at(addresses.page_of("procedures", procedure))
        made = self.compiler.procedure(procedure, Fragments(PageOfSteps(self.writer, here, procedure)))
        needed = dict.fromkeys(each for _, cautions in made["steps"] for each in cautions)
        return {**made, "cautions": cautions_html(here, needed)}

    def shared(self) -> Json:
        """What all procedures of the family share."""
        space, mask = self.space, self.compiler.masks.number
        questions = {
            question: {
                "effort": len(EFFORTS) if question == VARIANT else EFFORTS.index(space.index.features[question].effort),
                "states": {state: mask(space.form_mask(question, state)) for state in space.states(question)},
            }
            for question in (*space.questions, VARIANT)
        }
        looks = self.compiler.looks()
        return {
            "all": mask(space.all),
            "order": [*space.questions, VARIANT],
            "questions": questions,
            "looks": looks,
            "words": look_words(self.library, [*space.questions, VARIANT]),
            "frames": frames_of_items(),
            "masks": self.compiler.texts(),
        }


def script(name: str, value: Any) -> bytes:
    """A script that keeps a value under a name of `handwheelFoundData`."""
    data = json.dumps(value, ensure_ascii=True, separators=(",", ":"))
    return f"(self.handwheelFoundData=self.handwheelFoundData||{{}})[{json.dumps(name)}]={data};\n".encode("ascii")

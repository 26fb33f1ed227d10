"""The data of machines as found, as scripts, so that they load from the file system too."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator
from contextlib import suppress
from typing import Any

from handwheel.machines.conditions import ALWAYS
from handwheel.machines.errors import TooMany
from handwheel.machines.family import Carrier
from handwheel.machines.masks import VARIANT, union
from handwheel.machines.questions import MISSING
from handwheel.machines.space import Space
from handwheel.machines.truth import EFFORTS
from handwheel.machines.widen import Widen
from handwheel.pages import addresses
from handwheel.pages.found_beside import BesideSteps
from handwheel.pages.found_html import FoundWriter, Fragments, cautions_html, frames_of_items, look_words
from handwheel.pages.here import Desk, Here
from handwheel.pages.phrases import question_name, variant_name
from handwheel.pages.step_html import PageOfSteps
from handwheel.pages.work_list import resolver
from handwheel.procedures.compile import Compiler
from handwheel.procedures.existence import Existence
from handwheel.procedures.wording import as_many
from handwheel.records.families import family_of
from handwheel.records.library import Library
from handwheel.records.work_records import AREAS, Procedure

Json = dict[str, Any]


class FamilyData:
    """What a script needs of one family."""

    def __init__(self, desk: Desk, family: str) -> None:
        self.desk, self.library, self.family = desk, desk.library, family
        self.space = Space(family_of(desk.library, family))
        self.compiler = Compiler(resolver(desk.library, family), self.space)
        self.writer = FoundWriter(desk.library)
        self.all = Existence(desk.library, self.space, self.space.all)
        self._widened: dict[Space, Widen] = {}
        work = (each.id for each in self.library.procedures.values() if not each.shared)
        self.procedures = {each: self._procedure(each) for each in work}

    def _procedure(self, procedure: str) -> Json:
        here = self.desk.at(addresses.page_of("procedures", procedure))
        made = self.compiler.procedure(procedure, Fragments(PageOfSteps(self.writer, here, procedure), self._there))
        needed = dict.fromkeys(each for each_step in made["steps"] for each in each_step[1])
        run = self.desk.run(self.family, procedure)
        beside = BesideSteps(self.compiler, here, run, self.widen(run.space)).compiled()
        laid = self._laid_out(here, self.library.procedures[procedure], made["steps"])
        return {**made, "cautions": cautions_html(here, needed), "beside": beside, "laid": laid}

    def widen(self, narrow: Space) -> Widen:
        """Masks of a run's machines as masks of the family's."""
        if narrow not in self._widened:
            self._widened[narrow] = Widen(narrow, self.space)
        return self._widened[narrow]

    def _there(self, fastener: str) -> int:
        return self._mask(self.all.mask("fasteners", fastener))

    def _laid_out(self, here: Here, record: Procedure, steps: list[Any]) -> list[Any]:
        """Tools of the procedure itself, and the names of all that is laid out for its steps."""
        blades = dict.fromkeys(blade for step in steps for _, blade in step[6])
        ids = {
            "tools": dict.fromkeys((*record.tools, *(each for step in steps for each in step[5]))),
            "blades": blades,
            "supplies": dict.fromkeys(each for step in steps for each in step[7]),
        }
        names = {kind: {each: str(here.anchor(kind, each)) for each in found} for kind, found in ids.items()}
        return [list(record.tools), *names.values()]

    def shared(self) -> Json:
        """What all procedures of the family share, and what its pages say of a machine."""
        found = {
            "all": self._mask(self.space.all),
            "order": [*self.space.questions, VARIANT],
            "questions": {each: self._question(each) for each in (*self.space.questions, VARIANT)},
            "name": self.library.families[self.family].name,
            "variants": [self._variant(each.id) for each in self.library.variants_of(self.family)],
            "parts": [self._part(each) for each in self.space.index.carriers.values() if each.swapped],
            "procedures": [self._listed(each) for each in sorted(self.procedures, key=self._place)],
            "jobs": [self._job(each) for each in self.library.jobs],
            "words": look_words(self.library, [*self.space.questions, VARIANT]),
            "frames": frames_of_items(),
            "looks": self.compiler.looks(),
            "mains": self._mask(self._electrical()),
        }
        return {**found, "masks": self.compiler.texts()}

    def _electrical(self) -> int:
        return union(self.all.mask("parts", part.id) for part in self.library.parts.values() if part.electrical)

    def _mask(self, mask: int) -> int:
        return self.compiler.masks.number(mask)

    def _place(self, procedure: str) -> int:
        return AREAS.index(self.library.procedures[procedure].area)

    def _question(self, question: str) -> Json:
        space = self.space
        effort = len(EFFORTS) if question == VARIANT else EFFORTS.index(space.index.features[question].effort)
        states = {state: self._mask(space.form_mask(question, state)) for state in space.states(question)}
        looked = question != VARIANT and not space.index.features[question].derived
        return {"effort": effort, "states": states, "looked": looked}

    def _variant(self, variant: str) -> list[Any]:
        """Id, name, the machines built as it, and those that still are as it left the works."""
        built = self._mask(self.space.variant_mask(variant)), self._mask(self.space.as_built(variant))
        return [variant, variant_name(self.library, variant), *built]

    def _part(self, carrier: Carrier) -> Json:
        """A part that can be exchanged: on which machines it is their own, and where it can come from on the others."""
        space, variants = self.space, self.space.index.variants
        made = {each: self._showing(carrier, variants[each].features) for each in variants}
        outsiders = space.index.outsiders(carrier)
        record = self.library.parts.get(carrier.id)
        return {
            "name": as_many(record) if record else question_name(self.library, carrier.id),
            "own": self._mask(union(space.variant_mask(each) & mask for each, mask in made.items())),
            "missing": self._mask(self._showing(carrier, {f.id: (MISSING,) for f in carrier.features})),
            "from": [[each, variant_name(self.library, each), self._mask(mask)] for each, mask in made.items()],
            "outside": [[self._outsider(o.id), self._mask(self._showing(carrier, o.forms))] for o in outsiders],
        }

    def _showing(self, carrier: Carrier, forms: Any) -> int:
        return union(
            self._all_of(zip((f.id for f in carrier.features), combination, strict=True))
            for combination in carrier.combinations(forms)
        )

    def _all_of(self, forms: Iterable[tuple[str, str]]) -> int:
        here = self.space.all
        for question, form in forms:
            here &= self.space.form_mask(question, form)
        return here

    def _outsider(self, outsider: str) -> str:
        record = self.library.of("outsiders").get(outsider)
        return addresses.name_of(record) if record else outsider

    def _listed(self, procedure: str) -> list[Any]:
        record = self.library.procedures[procedure]
        return [procedure, addresses.title_of(record), record.area.capitalize(), self.procedures[procedure]["when"]]

    def _job(self, job: str) -> list[Any]:
        record = self.library.jobs[job]
        when = self.compiler.holds(record.when.condition if record.when else ALWAYS)
        return [job, record.title, when, list(record.procedures)]


def script(name: str, value: Any) -> bytes:
    """A script that keeps a value under a name of `handwheelFoundData`."""
    data = json.dumps(value, ensure_ascii=True, separators=(",", ":"))
    return f"(self.handwheelFoundData=self.handwheelFoundData||{{}})[{json.dumps(name)}]={data};\n".encode("ascii")


def index_of(library: Library, families: Iterable[str], stamp: str) -> Json:
    """What every page knows: which families, variants, features and forms there are."""
    return {
        "stamp": stamp,
        "families": {
            family: {
                "name": library.families[family].name,
                "variants": [each.id for each in library.variants_of(family)],
                "features": {feature.id: [*feature.forms, MISSING] for feature in family_of(library, family).features},
            }
            for family in families
        },
    }


def data_scripts(desk: Desk) -> Iterator[tuple[str, bytes]]:
    """Path and text of each script of data; the last one, which every page loads, bears a stamp of the others.

    A family with more machines than can be told apart at once has none: its patterns have their pages all the same.
    """
    stamp = hashlib.sha256()
    families = dict(_data(desk))
    for family, data in families.items():
        for procedure, value in data.procedures.items():
            yield f"assets/found/{family}/{procedure}.js", script(f"{family}/{procedure}", value)
        shared = script(family, data.shared())
        stamp.update(shared)
        yield f"assets/found/{family}.js", shared
    yield "", script("", index_of(desk.library, families, stamp.hexdigest()[:12]))


def _data(desk: Desk) -> Iterator[tuple[str, FamilyData]]:
    for family in desk.library.families:
        if desk.library.variants_of(family):
            with suppress(TooMany):
                yield family, FamilyData(desk, family)

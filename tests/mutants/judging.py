"""Whether a planted mistake is caught, changes nothing, or survives."""

from __future__ import annotations

import re
import shutil
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Literal

from planting import Mistake, Planter, parsed
from soonest import findings
from tracing import Traced, machines_of, traced
from work_told import plain, work_of

from handwheel.checks.finding import Finding
from handwheel.checks.registry import all_rules
from handwheel.checks.runner import run
from handwheel.machines.masks import lowest
from handwheel.machines.space import Space
from handwheel.procedures.expand import expand
from handwheel.procedures.hazards import cautions_of
from handwheel.procedures.program import acts_of
from handwheel.procedures.reach import Plan, reach
from handwheel.reading.load import load
from handwheel.records.errors import InputErrors
from handwheel.records.families import family_as_built
from handwheel.records.library import Library

MUST = re.compile(
    r"drop (step \(|effect )(removes|fits|sets|lubricates|finds|measures|marks|proves|isolates|gives_back)"
    r"|drop (mirror|case|by|repeat|key hazards|key met_by)|empty case"
)
"""Kinds of mistakes that must not survive; of the others, those that make something go wrong must not."""

SIMULATED = frozenset(rule.id for rule in all_rules() if "runs" in rule.needs)
Verdict = Literal["refused", "caught", "kept answer", "no difference", "survived", "false alarm", "missed"]
SHOP = Path(__file__).parent / "shop"
VERDICTS: tuple[Verdict, ...] = (
    "refused", "caught", "kept answer", "no difference", "survived", "false alarm", "missed",
)  # fmt: skip


@dataclass(frozen=True)
class Judged:
    """A mistake with what became of it.

    `refused` by the reader; `caught` by a rule; shown by a `kept answer`; `no difference` on any machine; `survived`
    though something is done otherwise; `missed`: the simulator of one machine tells of something wrong and no rule
    does; `false alarm`: a rule on the runs tells of something wrong where nothing is done otherwise.
    """

    mistake: Mistake
    verdict: Verdict
    by: str

    @property
    def failed(self) -> bool:
        """Whether it should have been caught, or nothing should have been found."""
        must = MUST.match(self.mistake.kind) is not None
        return self.verdict in ("missed", "false alarm") or (must and self.verdict == "survived")


class Ground:
    """A sound shop, and what happens on its machines.

    Args:
        folders: Its layers; mistakes are planted in the last.
        by_rules: Where there is too much to take one machine at a time: whether a mistake that no rule and no kept
            answer shows changes anything is then told where words alone are otherwise, and else taken to be so;
            whether a finding is a false alarm is not told.
    """

    def __init__(self, folders: list[Path], by_rules: bool = False) -> None:
        self.by_rules = by_rules
        self.below, self.folder = folders[:-1], folders[-1]
        self.texts = {path.name: path.read_text("utf-8") for path in sorted(self.folder.glob("*.yaml"))}
        self.roots = {name: parsed(text) for name, text in self.texts.items()}
        self.library = load(folders)

    @cached_property
    def mistakes(self) -> tuple[tuple[str, Mistake], ...]:
        """Every mistake that fits, with its file."""
        planter = Planter(list(self.roots.values()))
        return tuple((name, each) for name, root in self.roots.items() for each in planter.mistakes(root))

    @cached_property
    def traces(self) -> Mapping[tuple[str, str], Traced]:
        """What happens by job and machine."""
        return {
            (job, repr((variant, sorted(forms.items())))): traced(self.library, job, variant, forms)
            for variant, forms in machines_of(self.library)
            for job in self.library.jobs
        }

    @cached_property
    def kept(self) -> Mapping[str, str]:
        """Answers of the sound shop."""
        return answers(self.library)

    def judge(self, name: str, mistake: Mistake) -> Judged:
        """Plant one mistake and see."""
        try:
            library = self.planted(name, mistake)
        except InputErrors as errors:
            return Judged(mistake, "refused", str(errors).splitlines()[0])
        found = findings(library, self.library) if self.by_rules else run(library).findings
        return self._verdict(mistake, library, found)

    def planted(self, name: str, mistake: Mistake) -> Library:
        """The shop with the mistake in it, read as any shop is."""
        return self.written({name: mistake.text(self.roots[name])})

    def written(self, otherwise: Mapping[str, str]) -> Library:
        """The shop with other texts in some of its files; its figures stay where they are found."""
        try:
            for name, text in otherwise.items():
                (self._copy / name).write_text(text, "utf-8")
            return load([*self.below, self._copy])
        finally:
            for name in otherwise:
                (self._copy / name).write_text(self.texts[name], "utf-8")

    @cached_property
    def _copy(self) -> Path:
        return Path(shutil.copytree(self.folder, Path(self._room.name, self.folder.name)))

    @cached_property
    def _room(self) -> tempfile.TemporaryDirectory[str]:
        return tempfile.TemporaryDirectory()

    def _verdict(self, mistake: Mistake, library: Library, findings: Sequence[Finding]) -> Judged:
        found = tuple(dict.fromkeys(finding.rule for finding in findings))
        in_jobs = {name for job in library.jobs.values() for name in job.procedures}
        alone = {each.id for each in library.procedures.values() if not each.shared} - in_jobs
        # the simulator of one machine runs jobs only: of a procedure that is in none it cannot tell
        simulated = [each for each in findings if each.rule in SIMULATED and not alone & set(each.subject.split("/"))]
        if found and (self.by_rules or not simulated):
            return Judged(mistake, "caught", ", ".join(found))
        if self.by_rules:
            shown = self.answered_otherwise(library)
            same = not shown and self.does_the_same(library)
            return Judged(mistake, "kept answer" if shown else "no difference" if same else "survived", shown)
        changed, wrong = self._difference(library, enough=bool(found))
        if found:
            return Judged(mistake, "caught" if changed else "false alarm", ", ".join(found))
        if wrong:
            return Judged(mistake, "missed", wrong)
        shown = self.answered_otherwise(library)
        if shown:
            return Judged(mistake, "kept answer", shown)
        return Judged(mistake, "survived" if changed else "no difference", changed)

    def does_the_same(self, library: Library) -> bool:
        """Whether nothing but words is otherwise: then the same is done on every machine, whatever is simulated."""
        others = (kind for kind in self.library.kinds if kind != "procedures")
        return all(plain(self.library.of(kind)) == plain(library.of(kind)) for kind in others) and self.work == work_of(
            library
        )

    @cached_property
    def work(self) -> Mapping[str, object]:
        """What the sound shop does, words aside."""
        return work_of(self.library)

    def answered_otherwise(self, library: Library) -> str:
        """The first answer kept that is another now; what is said of a new step is no answer kept."""
        now = answers(library)
        return next((each for each, answer in self.kept.items() if answer != now.get(each, "")), "")

    def _difference(self, library: Library, enough: bool) -> tuple[str, str]:
        """What is otherwise on some machine, and what is wrong there; where one is `enough`, no more are looked at."""
        changed, seen = "", 0
        for variant, forms in machines_of(library):
            for job in library.jobs:
                seen += 1
                before = self.traces.get((job, repr((variant, sorted(forms.items())))))
                now = traced(library, job, variant, forms)
                if now.wrong - (before.wrong if before else frozenset()):
                    return "something goes wrong", repr(sorted(now.wrong)[0])
                if before is None:
                    changed = changed or "other machines can stand here"
                elif now != before:
                    changed = changed or _told(before, now)
                if changed and enough:
                    return changed, ""
        return changed or ("" if seen == len(self.traces) else "fewer machines can stand here"), ""


def _told(before: Traced, now: Traced) -> str:
    if lacking := before.done - now.done:
        return "not done: " + " ".join(sorted(lacking)[0])
    if more := now.done - before.done:
        return "done besides: " + " ".join(sorted(more)[0])
    return "it ends otherwise"


def reviewed() -> frozenset[tuple[str, str]]:
    """Kind and place of the mistakes in the small shop that survive for a reason that was written down."""
    lines = Path(__file__).with_name("survivors.txt").read_text("utf-8").splitlines()
    told = (line.split(" | ") for line in lines if line and not line.startswith("#"))
    return frozenset((kind, where) for kind, where in told)


def answers(library: Library) -> dict[str, str]:
    """What is kept and reviewed: how each part is reached on each variant as built, and the cautions of each step."""
    return dict(_cautions(library) | _reached(library))


def _cautions(library: Library) -> dict[str, str]:
    own = (each.id for each in library.procedures.values() if not each.shared)
    acts = (act for name in own for act in expand(library, name).acts)
    return {f"cautions {act.id}": ", ".join(cautions_of(library, act.step)) for act in acts}


def _reached(library: Library) -> dict[str, str]:
    found = {}
    for family in library.families:
        space = Space(family_as_built(library, family))
        for variant in library.variants_of(family):
            bit = lowest(space.variant_mask(variant.id))
            for part in library.parts.values():
                if not part.root:
                    plan = reach(library, space, bit, part.id, verify=False)
                    found[f"reach {part.id} on {variant.id}"] = _plan(plan)
    return found


def _plan(plan: Plan) -> str:
    said = {
        "off": [act.local for act in (*plan.first, *plan.off)],
        "back": [act.local for act in plan.back],
        "set": [each.id for each in plan.settings],
        "oil": [act.local for act in plan.oiled],
        "test": list(plan.tests),
        "order": [act.local for act in acts_of(plan.items)],
        "missing": list(plan.missing),
    }
    return "; ".join(f"{word}: {', '.join(each)}" for word, each in said.items() if each)


def as_text(kept: Mapping[str, str]) -> str:
    """Answers as they are kept and read."""
    return "".join(f"{name}: {answer or 'nothing'}\n" for name, answer in kept.items())

"""What can be judged only when everything is typed: questions, alternatives, step references, circles."""

from __future__ import annotations

import graphlib
from collections.abc import Callable, Iterable, Iterator

from handwheel.machines.conditions import questions_of
from handwheel.reading.context import Context
from handwheel.reading.nearest import nearest
from handwheel.records import step_records as steps
from handwheel.records.kinds import KINDS, Record
from handwheel.records.library import Library
from handwheel.records.machine_records import QUESTIONS, Finding, Reading
from handwheel.records.places import Place

_NO_FORMS = ("missing", "absent")


def check_links(library: Library, context: Context) -> None:
    """Leave a message for each defect between records."""
    _check_questions(library, context)
    _check_readings(library, context)
    _check_groups(library, context)
    _check_branches(library, context)
    _check_step_refs(context)
    for check in _CIRCLES:
        _check_circle(library, context, *check)


def _check_questions(library: Library, context: Context) -> None:
    """A condition names a question by its id alone, so no two kinds of question may share one."""
    seen: dict[str, Record] = {}
    for plural in QUESTIONS:
        for record in library.of(plural).values():
            if record.id in seen:
                related = [(seen[record.id].place, "the other one")]
                what = f"two questions have the id '{record.id}'"
                context.say("duplicate-question", record.place, what, "an id of its own", related=related)
            seen[record.id] = record
    for feature in library.features.values():
        if bool(feature.forms) == bool(feature.derived):
            context.say(
                "no-forms", feature.place, f"feature '{feature.id}' needs forms", "either 'forms:' or 'derived:'"
            )
        for form in feature.forms:
            if form in _NO_FORMS:
                right = "'none' for never fitted; 'missing: true' on the feature for lost"
                context.say("reserved-form", feature.forms[form].place, f"'{form}' is no form", right)
        for line in feature.derived:
            for question in questions_of(line.when.condition) if line.when else ():
                if question not in context.id_sets.get("features", ()):
                    right = "features only: a finding, choice or reading is known only at a step"
                    context.say("not-a-feature", line.where("when"), f"'{question}' is not a feature", right)
    for variant in library.variants.values():
        for feature_id in variant.features:
            known = library.features.get(feature_id)  # absent where its own record could not be typed
            if known is not None and known.derived:
                what = f"'{feature_id}' follows from other features"
                context.say("derived-given", variant.where("features"), what, "no form of it here")


def _judged(library: Library) -> tuple[Finding | Reading, ...]:
    return (*library.readings.values(), *library.findings.values())


def _check_readings(library: Library, context: Context) -> None:
    for reading in library.readings.values():
        for cuts in reading.cuts.values:
            values = [cut.value for cut in cuts]
            if len(values) + 1 != len(reading.states):
                what = f"{len(values)} cuts make {len(values) + 1} states, and there are {len(reading.states)}"
                context.say("cuts-and-states", reading.where("cuts"), what, "one more state than cuts")
            if values != sorted(set(values)):
                context.say(
                    "cuts-not-rising", reading.where("cuts"), "the cuts do not rise", "from low to high, each once"
                )
    for judged in _judged(library):
        for state in judged.good:
            context.check_state(judged.id, state, judged.where("good"))


def _check_groups(library: Library, context: Context) -> None:
    for group in library.groups.values():
        if not context.index.span(group.first, group.last):
            what = f"group '{group.id}' holds no variant"
            context.say("empty-range", group.place, what, "two variants of one family, earlier first")


def forms_in_use(library: Library) -> dict[str, frozenset[str]]:
    """Feature -> forms that some machine can show; all of its forms where some variant leaves it unknown."""
    used: dict[str, set[str]] = {feature: set() for feature in library.features}
    for family in library.families:
        variants = library.variants_of(family)
        for name in {name for each in variants for name in each.features} & set(library.features):
            for variant in variants:
                used[name].update(variant.features.get(name, library.features[name].forms))
    for outsider in library.outsiders.values():
        for name, forms in outsider.forms.items():
            used.setdefault(name, set()).update(forms)
    for feature in library.features.values():
        if feature.derived:
            used[feature.id].update(line.form for line in feature.derived)
        elif feature.changes_by_work:
            used[feature.id].update(feature.forms)
    return {name: frozenset(forms) for name, forms in used.items()}


def _check_branches(library: Library, context: Context) -> None:
    used = forms_in_use(library)
    for question, named, place in context.branches:
        if question == "variant":
            _check_variant_branch(named, place, context)
            continue
        wanted = used.get(question, frozenset(context.index.states_of(question)))
        left_out = [state for state in context.index.states_of(question) if state in wanted and state not in named]
        if left_out:
            what = f"'by: {question}' has no case for {_either(left_out)}"
            context.say("case-missing", place, what, f"{left_out[0]}: with its steps, or 'nothing'")


def _check_variant_branch(named: frozenset[str], place: Place, context: Context) -> None:
    families = {context.index.family_of.get(each, "") for each in named}
    left_out = [each for family in sorted(families) for each in context.index.variants_of(family) if each not in named]
    if left_out:
        context.say(
            "case-missing", place, f"'by: variant' has no case for {_either(left_out)}", "a case for each variant"
        )


def _either(names: list[str]) -> str:
    return " or ".join(f"'{name}'" for name in names)


def step_ids(nodes: Iterable[steps.Node]) -> Iterator[str]:
    """Ids written on the steps in a list, at any depth, not through references."""
    for node in nodes:
        match node:
            case steps.Step():
                if node.id:
                    yield node.id
            case steps.By():
                for branch in node.branches:
                    yield from step_ids(branch.steps)
            case steps.OneOf():
                for each in node.alternatives:
                    yield from step_ids(each.steps)
            case steps.Under() | steps.Reach():
                yield from step_ids(node.steps)
            case steps.Repeat():
                yield from step_ids(node.steps)
                yield from step_ids(node.otherwise)
            case steps.Mirror():
                for inserted in node.after.values():
                    yield from step_ids(inserted)


def nested(nodes: Iterable[steps.Node]) -> Iterator[steps.Node]:
    """All nodes at any depth, each before what it holds."""
    for node in nodes:
        yield node
        match node:
            case steps.By():
                for branch in node.branches:
                    yield from nested(branch.steps)
            case steps.OneOf():
                for each in node.alternatives:
                    yield from nested(each.steps)
            case steps.Under() | steps.Reach():
                yield from nested(node.steps)
            case steps.Repeat():
                yield from nested(node.steps)
                yield from nested(node.otherwise)
            case steps.Mirror():
                for inserted in node.after.values():
                    yield from nested(inserted)


def _check_step_refs(context: Context) -> None:
    """References `procedure/step`; within a mirror the step is one of the mirrored procedure, and is judged there."""
    for holder, reference, place in context.step_refs:
        procedure, _, step = reference.rpartition("/")
        if not procedure and holder:
            continue
        known = context.id_sets.get("procedures", frozenset())
        if procedure not in known:
            near = nearest(procedure, context.index.ids["procedures"])
            right = f"did you mean '{near}/{step}'?" if near else "procedure/step"
            context.say("unknown-step", place, f"no procedure has the id '{procedure}'", right)


def _calls(library: Library) -> Iterator[tuple[str, str, Place]]:
    for procedure in library.procedures.values():
        for node in nested(procedure.steps):
            match node:
                case steps.Use():
                    yield procedure.id, node.use, node.place
                case steps.Ensure():
                    yield procedure.id, node.ensure, node.place
                case steps.Mirror():
                    yield procedure.id, node.mirror, node.place


def _insides(library: Library) -> Iterator[tuple[str, str, Place]]:
    for part in library.parts.values():
        if part.inside:
            yield part.id, part.inside, part.where("inside")
        for layer in part.stack:
            yield layer.part, part.id, layer.place


def _layers(library: Library) -> Iterator[tuple[str, str, Place]]:
    for finish in library.finishes.values():
        for layer in finish.layers:
            yield finish.id, layer, finish.where("layers")


def _rests(library: Library) -> Iterator[tuple[str, str, Place]]:
    for setting in library.settings.values():
        for other in setting.after:
            yield setting.id, other, setting.where("after")


def _follows(library: Library) -> Iterator[tuple[str, str, Place]]:
    for feature in library.features.values():
        for line in feature.derived:
            for question in sorted(questions_of(line.when.condition)) if line.when else ():
                yield feature.id, question, line.place


def _replaced(library: Library) -> Iterator[tuple[str, str, Place]]:
    for claim in library.of("claims").values():
        if claim.replaced_by:
            yield claim.id, claim.replaced_by, claim.where("replaced_by")


_CIRCLES: tuple[tuple[str, Callable[[Library], Iterator[tuple[str, str, Place]]]], ...] = (
    ("procedures", _calls),
    ("parts", _insides),
    ("finishes", _layers),
    ("settings", _rests),
    ("features", _follows),
    ("claims", _replaced),
)


def _check_circle(
    library: Library, context: Context, plural: str, edges: Callable[[Library], Iterator[tuple[str, str, Place]]]
) -> None:
    graph: dict[str, set[str]] = {}
    places: dict[tuple[str, str], Place] = {}
    for one, other, place in edges(library):
        graph.setdefault(one, set()).add(other)
        places.setdefault((one, other), place)
    try:
        graphlib.TopologicalSorter({key: sorted(value) for key, value in sorted(graph.items())}).prepare()
    except graphlib.CycleError as error:
        ring: list[str] = error.args[1][::-1]
        chain = " -> ".join(ring)
        what = f"these {KINDS[plural].plural.replace('_', ' ')} go round in a circle: {chain}"
        context.say("circle", places[(ring[0], ring[1])], what, "take one of these links out")

"""Machines known wholly and in part, and a procedure for each as the script shows it and as the resolver writes it."""

from __future__ import annotations

import json
import random
import subprocess
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import handwheel.pages
from handwheel.machines.machine import Known
from handwheel.machines.masks import VARIANT
from handwheel.machines.space import Space
from handwheel.machines.truth import Contradiction, Depends, settling_machines
from handwheel.machines.widen import Widen
from handwheel.pages import addresses
from handwheel.pages.beside import Onlooker, mains_of, telling
from handwheel.pages.found_data import FamilyData
from handwheel.pages.lay_out import laid_out
from handwheel.pages.phrases import minutes_words
from handwheel.pages.procedure_pages import deals_with_power, simulated
from handwheel.pages.step_html import PageOfSteps, StepWriter, macros
from handwheel.pages.work_list import minutes_of
from handwheel.procedures.existence import Existence
from handwheel.procedures.resolve import Resolver
from handwheel.procedures.resolved import Resolved

ENGINE = Path(handwheel.pages.__file__).parent / "assets" / "found-engine.js"
CODE = """
const engine = require(process.argv[1]);
const cases = JSON.parse(require("fs").readFileSync(0, "utf8"));
const family = engine(cases.family);
process.stdout.write(JSON.stringify(cases.machines.map(known => {
  const here = family.within(known);
  if (!family.any(here)) return { clash: family.clash(known) };
  return known.ask.map(each => family.procedure(cases.procedures[each], here));
})));
"""


def some_known(rng: random.Random, space: Space) -> Known:
    """What may be known of a machine that can stand here: of each feature its form, some forms, or nothing."""
    bits = [bit for bit in (rng.randrange(space.size) for _ in range(400)) if space.all >> bit & 1]
    machine = space.machine(bits[0])
    share = rng.choice((0, 0.2, 0.5, 0.8, 1))
    forms = {
        feature: frozenset({form} | {state for state in space.states(feature) if rng.random() < 0.15})
        for feature, form in machine.forms.items()
        if rng.random() < share
    }
    others = frozenset(v for v in space.states(VARIANT) if rng.random() < 0.3)
    return Known(rng.choice((None, frozenset((machine.variant,)), others | {machine.variant})), forms)


def impossible(rng: random.Random, space: Space) -> Known:
    """Forms taken at random, which no machine may show together."""
    return Known(None, {q: frozenset((rng.choice(space.states(q)),)) for q in space.questions if rng.random() < 0.7})


@dataclass(frozen=True)
class Whole:
    """Looks at machines of the whole family."""

    widen: Widen
    machines: int

    def of(self, machines: int) -> int:
        return self.widen(machines) & self.machines

    def looks(self, holds: int, come: int) -> tuple[str, ...]:
        few = telling(self.widen.narrow, holds, come)
        return settling_machines(self.widen.wide, few, self.of(holds), self.of(come))


def expected(resolver: Resolver, writer: StepWriter, data: FamilyData, known: Known, procedures: list[str]) -> Any:
    """What the resolver, the simulation and the writer of pages make of it."""
    made = []
    machines = data.space.known(known)
    for procedure in procedures:
        resolved = resolver.resolve(procedure, known)
        if isinstance(resolved.verdict.truth, Contradiction):
            return {"clash": list(resolved.verdict.truth.looks)}
        made.append(page_of(writer, data, machines, resolved))
    return made


def page_of(writer: StepWriter, data: FamilyData, machines: int, resolved: Resolved) -> Any:
    """One procedure, as `procedure_pages` makes it for a variant."""
    here = data.desk.at(addresses.page_of("procedures", resolved.procedure))
    has = Existence(data.library, data.space, machines)
    run, steps = data.desk.run(data.family, resolved.procedure), resolved.steps
    mains = mains_of(here, has)
    out_first = mains and not any(deals_with_power(step.act.step) for step in steps)
    look = Onlooker(here, run, Whole(data.widen(run.space), machines), has, mains, out_first)
    there = simulated(steps)
    page = PageOfSteps(writer, here, resolved.procedure, beside=look.beside() if there else {})
    rows, hangs = look.leaves() if there else ((), "")
    pairs = laid_out(here, data.library.procedures[resolved.procedure], steps, has)
    return {
        "out": resolved.verdict.out,
        "settled": resolved.verdict.settled,
        "looks": list(resolved.verdict.truth.looks) if isinstance(resolved.verdict.truth, Depends) else [],
        "html": str(page.items(resolved.items)),
        "count": len(steps),
        "minutes": minutes_words(minutes_of(resolved.items)),
        "simulated": there,
        "before": list(map(str, look.needs())) if there else [],
        "leaves": str(macros().state(rows, True, hangs)) if there else "",
        "facts": str(macros().facts(pairs)) if pairs else "",
    }


def shown(data: FamilyData, machines: list[Known], ask: list[list[str]]) -> Any:
    """What the script makes of it."""
    cases = {
        "family": data.shared(),
        "procedures": data.procedures,
        "machines": [
            {
                "variants": None if known.variants is None else sorted(known.variants),
                "forms": {feature: sorted(forms) for feature, forms in known.forms.items()},
                "ask": asked,
            }
            for known, asked in zip(machines, ask, strict=True)
        ],
    }
    ran = subprocess.run(["node", "-e", CODE, str(ENGINE)], input=json.dumps(cases), capture_output=True, text=True)
    assert ran.returncode == 0, ran.stderr
    return json.loads(ran.stdout)

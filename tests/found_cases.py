"""Machines known wholly and in part, and a procedure for each as the script shows it and as the resolver writes it."""

from __future__ import annotations

import json
import random
import subprocess
from pathlib import Path
from typing import Any

import handwheel.pages
from handwheel.machines.machine import Known
from handwheel.machines.masks import VARIANT
from handwheel.machines.space import Space
from handwheel.machines.truth import Contradiction, Depends
from handwheel.pages import addresses
from handwheel.pages.found_data import FamilyData
from handwheel.pages.here import Desk
from handwheel.pages.step_html import PageOfSteps, StepWriter
from handwheel.procedures.resolve import Resolver

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


def expected(resolver: Resolver, writer: StepWriter, desk: Desk, known: Known, procedures: list[str]) -> Any:
    """What the resolver and the writer of pages make of it."""
    made = []
    for procedure in procedures:
        resolved = resolver.resolve(procedure, known)
        if isinstance(resolved.verdict.truth, Contradiction):
            return {"clash": list(resolved.verdict.truth.looks)}
        page = PageOfSteps(writer, desk.at(addresses.page_of("procedures", procedure)), procedure)
        looks = list(resolved.verdict.truth.looks) if isinstance(resolved.verdict.truth, Depends) else []
        made.append(
            {
                "out": resolved.verdict.out,
                "settled": resolved.verdict.settled,
                "looks": looks,
                "html": str(page.items(resolved.items)),
                "count": len(resolved.steps),
            }
        )
    return made


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

"""Watch lists: which stretches hold for a variant, in which order, and what is skipped."""

from __future__ import annotations

from pathlib import Path

import pytest

from handwheel.pages.here import Desk
from handwheel.pages.recording_pages import recording_pages
from handwheel.pages.stretches import gaps, never_shown, stretches, stretches_in, stretches_of_steps
from handwheel.pages.watch_pages import watch_list, watch_pages
from handwheel.procedures.noted import steps_by_id
from handwheel.reading.load import load
from handwheel.reading.shipped import folders_of

DEMO = Path(__file__).parents[2] / "demo_content"


@pytest.fixture(scope="module")
def desk() -> Desk:
    return Desk(load(folders_of(DEMO)))


def test_every_stretch_is_watched_or_skipped_on_every_variant(desk: Desk) -> None:
    for variant in desk.library.variants:
        found = watch_list(desk, variant)
        both = [each.stretch for each in found.watched] + list(found.skipped)
        assert sorted(map(repr, both)) == sorted(map(repr, stretches(desk.library)))


def test_what_is_watched_follows_the_job(desk: Desk) -> None:
    spots = [each.spot for each in watch_list(desk, "skerry-11").watched]
    assert spots == sorted(spots) and len(set(spots)) > 5


def test_a_stretch_of_another_pattern_is_skipped(desk: Desk) -> None:
    def starts(variant: str) -> set[tuple[str, str]]:
        return {(each.stretch.recording, each.stretch.passage.start) for each in watch_list(desk, variant).watched}

    assert ("class-3", "04:10") in starts("skerry-11")  # the hood
    assert ("class-3", "04:10") not in starts("skerry-24")
    assert ("class-3", "12:20") in starts("skerry-24")  # the jointed lamp
    assert ("class-6", "08:20") in starts("holm-5")  # the flat hook
    assert ("class-6", "08:20") not in starts("skerry-11")


def test_a_stretch_whose_steps_the_variant_lacks_is_skipped_without_a_condition(desk: Desk) -> None:
    skipped = watch_list(desk, "skerry-17").skipped
    for each in skipped:
        assert each.steps  # what shows no step is never skipped for its steps
    shown = {shown.step for each in watch_list(desk, "skerry-17").watched for shown in each.steps}
    assert "lamp-off/link-out" not in shown


def test_steps_and_stretches_name_each_other(desk: Desk) -> None:
    of_steps = stretches_of_steps(desk.library)
    by_both = [each for each in stretches(desk.library) if each.anchor == "at-31-10" and each.recording == "class-3"]
    assert by_both[0] in of_steps["tension-back/throw-set"]
    unseen = set(never_shown(desk.library))
    assert unseen and not unseen & of_steps.keys()
    assert unseen | {name for name, step in steps_by_id(desk.library).items() if name in of_steps or step.shown} == set(
        steps_by_id(desk.library)
    )


def test_what_no_passage_covers_is_told(desk: Desk) -> None:
    recording = desk.library.of("recordings")["class-3"]
    listed = stretches_in(desk.library, "class-3")
    found = gaps(recording, listed)
    assert found[0] == ("02:30", "04:10")
    assert found[-1] == ("40:00", "41:20")


def test_the_pages_say_it(desk: Desk) -> None:
    pages = {page.path: page for page in [*watch_pages(desk), *recording_pages(desk)]}
    assert len([path for path in pages if path.endswith("/watch.html")]) == len(desk.library.variants)
    watch = pages["on/skerry-11/watch.html"].html
    assert watch.index("Take in") < watch.index("What to skip") < watch.index("nothing is written down for it")
    assert "only on" in watch
    assert 'href="../../recordings/class-3.html#at-04-10"' in watch
    told = pages["recordings/class-3.html"]
    assert "It is thin. If it binds" in told.html and 'id="at-04-10"' in told.html
    assert any("paint that binds it" in entry.text for entry in told.search)
    assert "An argument about gold paint" in pages["recordings.html"].html

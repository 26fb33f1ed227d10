"""Navigation as data, frames, and the stamp of a content folder."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.pages.frames import END, START, fill, frame_of, mark
from handwheel.pages.navigation import nav_data, nav_titles, stamp_of
from handwheel.pages.site import nav_paths
from pages.made_up_site import site

TEXTS = st.text().filter(lambda text: START not in text and END not in text)


def test_navigation_as_data() -> None:
    """Sections nest; titles are written as asked."""
    assert nav_data(site().nav, str.upper) == [{"START": "index.md"}, {"PARTS": [{"THE LAMP": "parts/lamp.md"}]}]
    assert list(nav_titles(site().nav)) == list(nav_paths(site().nav))


@given(TEXTS, TEXTS, TEXTS, st.text(), st.text())
def test_a_filled_frame_is_the_text_with_the_fields(a: str, b: str, c: str, title: str, content: str) -> None:
    """Whatever the texts and the fields are, a field with marks in it included."""
    frame = frame_of(a + mark("title") + b + mark("content") + c)
    assert fill(frame, {"title": title, "content": content}) == a + title + b + content + c


def test_a_place_without_a_field_is_an_error() -> None:
    """Nothing is left empty in silence."""
    with pytest.raises(KeyError):
        fill(frame_of(mark("title")), {})


def test_the_stamp_changes_with_the_content(tmp_path: Path) -> None:
    """A new file, a longer file and a removed file each change it; nothing else does."""
    (tmp_path / "a").mkdir()
    seen = [stamp_of([str(tmp_path)])]
    (tmp_path / "a/x.yaml").write_text("x")
    seen.append(stamp_of([str(tmp_path)]))
    (tmp_path / "a/x.yaml").write_text("xy")
    seen.append(stamp_of([str(tmp_path)]))
    assert len(set(seen)) == 3
    assert stamp_of([str(tmp_path)]) == seen[-1]
    (tmp_path / "a/x.yaml").unlink()
    assert stamp_of([str(tmp_path)]) == seen[0]

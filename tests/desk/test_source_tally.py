"""What records rest on, in numbers: counted by hand on a shop of five records."""

from __future__ import annotations

from pathlib import Path

from handwheel.desk.source_tally import tally_of
from handwheel.reading.load import load

TEXT = """
sources:
  seen: {title: A book, kind: handbook, read: seen}
  memory: {title: From memory, kind: from memory}
  idle: {title: Not cited, kind: leaflet}
blades:
  a: {name: a, thickness: 0.5 mm, width: 3 mm, sources: [{source: seen, at: p. 3}]}
  b: {name: b, thickness: 0.6 mm, width: 4 mm, sources: [memory]}
  c: {name: c, thickness: 0.7 mm, width: 5 mm}
"""


def test_counted_by_hand(tmp_path: Path) -> None:
    """One record for each standing, one that names none, and the source that nothing cites, with its place."""
    (tmp_path / "shop.yaml").write_text(TEXT, "utf-8")
    library = load([tmp_path])
    tally = tally_of(library, tuple(library.roots))
    assert sorted(count for _, count in tally.named) == [1, 1]
    assert ("from memory", 1) in tally.named
    assert tally.unnamed == (("blades", 1, 3),)
    assert [each.rpartition(": ")[2] for each in tally.unused] == ["idle"]
    assert "shop.yaml:5:" in tally.unused[0]
    assert tally.lines[0] == "1 of 3 records name no source: blades 1 of 3"
    assert tally.lines[-1].startswith("note: nothing cites the source ")


def test_unused_sources_of_the_library_are_not_told(tmp_path: Path) -> None:
    """What a library offers need not be used."""
    (tmp_path / "shop.yaml").write_text(TEXT, "utf-8")
    assert tally_of(load([tmp_path]), ()).unused == ()

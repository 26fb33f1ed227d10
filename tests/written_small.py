"""A small good shop as its owner would write it, for tests of the commands and of whole sites."""

from __future__ import annotations

from pathlib import Path

import yaml

ROOT = Path(__file__).parents[1]

SHOP = """\
families:
  plover: {name: Plover}
features:
  lamp:
    name: lamp
    ask: How is the lamp held?
    look: Behind the pillar.
    forms:
      bracket: {name: on a bracket}
      stalk: {name: on a stalk}
variants:
  plover-first: {name: Plover one, family: plover, features: {lamp: bracket}}
  plover-second: {name: Plover two, family: plover, features: {lamp: stalk}}
  plover-third: {name: Plover three, family: plover, features: {lamp: bracket}}
parts:
  head: {name: head, root: true}
  lamp-bracket: {name: folding bracket, when: {lamp: bracket}, rests: true}
  lamp-stalk: {name: threaded stalk, when: {lamp: stalk}, rests: true}
procedures:
  wipe-down:
    title: Wipe down
    shared: true
    steps:
      - {id: wipe-off, do: Wipe the old oil off with a dry rag.}
  lamp-off:
    title: Take the lamp off
    area: repair
    steps:
      - {id: cool, do: Let the lamp cool., minutes: [1, 2, 6]}
      - by: lamp
        bracket:
          - {id: bracket-off, do: Lift the folding bracket off., removes: [lamp-bracket]}
        stalk:
          - {id: stalk-off, do: Draw the threaded stalk out., removes: [lamp-stalk]}
      - use: wipe-down
      - by: lamp
        bracket:
          - {id: bracket-on, do: Set the folding bracket back., fits: [lamp-bracket]}
        stalk:
          - {id: stalk-on, do: Push the threaded stalk in., fits: [lamp-stalk]}
"""


def write_shop(folder: Path, text: str = SHOP) -> Path:
    """Write the shop into a new folder, with a configuration of the site beside it; return the folder."""
    shop = folder / "shop"
    shop.mkdir(parents=True)
    (shop / "shop.yaml").write_text(text, "utf-8")
    config = yaml.safe_load((ROOT / "mkdocs.yml").read_text("utf-8"))
    config["docs_dir"] = str(ROOT / "content")
    config["plugins"] = ["search", {"handwheel": {"folders": [str(ROOT / "content"), "shop"]}}]
    (folder / "mkdocs.yml").write_text(yaml.safe_dump(config), "utf-8")
    return shop


def files_in(folder: Path) -> dict[str, bytes]:
    """Every file under a folder, by its path in it."""
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}

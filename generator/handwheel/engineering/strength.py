"""What screws and tapped holes are made of, and how strong that is.

Values are kept as printed, in MPa and N (ksi and lbf where the source has them); `ScrewMetal` and
`HoleMetal` give them in pascals. Figures for sound new metal: an old casting may have less, never more.
"""

from __future__ import annotations

import difflib
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import TypeVar

from handwheel.engineering.basis import Basis, Standing
from handwheel.engineering.ranges import Span
from handwheel.engineering.tables import Difference, Row, Table, compare, last_place, rows_of, same
from handwheel.engineering.thread_series import ISO_COARSE, UNIFIED, nominal
from handwheel.engineering.threads import Form, root_diameter

MPA = 1e6
KSI_IN_MPA = 6.894757
SHEAR_TO_TENSION = 1 / math.sqrt(3)
"""Shear strength of a ductile metal over its tensile strength: von Mises."""


def _within(row: Row, key: str, column: str, expected: float, share: float) -> Iterator[Difference]:
    if column in row and abs(float(row[column]) / expected - 1) > share:
        yield Difference(row[key], column, row[column], f"{expected:.5g} within {share:.1%}")


def _third_digit(printed: str) -> float:
    """One unit in the third significant digit, to which ISO 898-1 and ISO 8839 print loads."""
    return float(10 ** (len(printed.partition(".")[0]) - 3))


def _three_digits(row: Row, key: str, column: str, expected: float) -> Iterator[Difference]:
    """A load rounded or cut to three digits: the sources do both."""
    printed = row.get(column)
    if printed is None:
        return
    unit = _third_digit(printed)
    if float(printed) % unit or abs(float(printed) - expected) >= unit:
        yield Difference(row[key], column, printed, f"{expected:.5g}, rounded or cut to three digits")


def _implied(row: Row, column: str, loads: str) -> Iterator[Difference]:
    """A strength against the loads of the other table: the middle one of load over stress area, to half a MPa."""
    found = sorted(float(each[loads]) / float(ISO_COARSE.row(each["size"])["As"]) for each in SCREW_LOADS.rows)
    middle = found[len(found) // 2]
    if abs(float(row[column]) - middle) > 0.5:
        yield Difference(row["class"], column, row[column], f"{middle:.1f} by its tabled loads")


_LOADS_OF = {
    ("4.8", "Sp"): "proof 4.8",
    ("8.8", "Sp"): "proof 8.8",
    ("4.8", "Rm"): "breaking 4.8",
    ("5.8", "Rm"): "breaking 5.8",
}
"""Class and column -> the loads that follow from them."""


def _class_rule(row: Row) -> Iterator[Difference]:
    """Class a.b: tensile strength at least 100 a and at most 5 % above, yield b tenths of it up to the next ten."""
    first, second = map(int, row["class"].split("."))
    tensile = float(row["Rm"])
    if not 100 * first <= tensile <= 105 * first:
        yield Difference(row["class"], "Rm", row["Rm"], f"{100 * first} to {105 * first}")
    yield from compare(row, "class", "Re", math.ceil(tensile * second / 100 - 1e-9) * 10, 0.1)
    if not 0.90 <= float(row["Sp"]) / float(row["Re"]) <= 0.94:
        yield Difference(row["class"], "Sp", row["Sp"], "0.90 to 0.94 of the yield strength")
    if float(row["Sp"]) % 5:
        yield Difference(row["class"], "Sp", row["Sp"], "a step of 5 MPa")
    for column in ("Rm", "Sp"):
        if (row["class"], column) in _LOADS_OF:
            yield from _implied(row, column, _LOADS_OF[row["class"], column])


PROPERTY_CLASSES = Table(
    "property classes of steel screws",
    "class",
    {"class": "", "Rm": "MPa", "Re": "MPa", "Sp": "MPa"},
    rows_of(
        "class Rm Re Sp",
        """
        4.6 400 240 225
        4.8 420 340 310
        5.8 520 420 380
        8.8 800 640 580
        """,
    ),
    Basis("ISO 898-1, as tabled by fastener suppliers", "mechanical properties, d to 16 mm", Standing.SEEN),
    "the meaning of the class numbers, proof stress at 0.90 to 0.94 of yield, and the tabled loads over stress area",
    (_class_rule,),
)  # fmt: skip


def _load_rule(row: Row) -> Iterator[Difference]:
    area = float(ISO_COARSE.row(row["size"])["As"])
    for column, stress in {"proof 4.8": 310, "proof 8.8": 580, "breaking 4.8": 420, "breaking 5.8": 520}.items():
        yield from _three_digits(row, "size", column, area * stress)


SCREW_LOADS = Table(
    "proof and breaking loads of steel screws",
    "size",
    {"size": "", "proof 4.8": "N", "proof 8.8": "N", "breaking 4.8": "N", "breaking 5.8": "N"},
    tuple(
        dict(zip(("size", "proof 4.8", "proof 8.8", "breaking 4.8", "breaking 5.8"), line, strict=True))
        for line in (
            ("M3", "1560", "2920", "2110", "2620"),
            ("M4", "2720", "5100", "3690", "4570"),
            ("M5", "4400", "8230", "5960", "7380"),
            ("M6", "6230", "11600", "8440", "10400"),
            ("M8", "11400", "21200", "15400", "19000"),
        )
    ),
    Basis("ISO 898-1, as tabled by fastener suppliers", "proof loads and minimum breaking loads", Standing.SEEN),
    "stress area times proof or tensile strength, rounded or cut to three digits",
    (_load_rule,),
)


BRASS_TORSION = 0.70
"""Torsional over tensile strength of the brass screws of ISO 8839, on the polar modulus of the root: an observation."""


def _brass_rule(row: Row) -> Iterator[Difference]:
    size = ISO_COARSE.row(row["size"])
    yield from _three_digits(row, "size", "breaking load", 440 * float(size["As"]))
    if "breaking torque" in row:
        modulus = math.pi / 16 * root_diameter(Form.ISO, float(size["d"]) / 1e3, float(size["P"]) / 1e3) ** 3
        torque, rounding = BRASS_TORSION * 440e6 * modulus, last_place(row["breaking torque"]) / 2
        if abs(float(row["breaking torque"]) - torque) > 0.05 * torque + rounding:
            yield Difference(row["size"], "breaking torque", row["breaking torque"], f"{torque:.3g} within 5 %")
    if "tightening" in row:
        yield from _within(row, "size", "tightening", 0.625 * float(row["breaking torque"]), 0.075)


BRASS_SCREWS = Table(
    "brass screws",
    "size",
    {"size": "", "breaking load": "N", "breaking torque": "N m", "tightening": "N m"},
    tuple(
        {k: v for k, v in zip(("size", "breaking load", "breaking torque", "tightening"), line, strict=True) if v}
        for line in (
            ("M1.6", "", "0.10", ""),
            ("M2", "", "0.21", "0.14"),
            ("M2.5", "", "0.45", "0.29"),
            ("M3", "2210", "0.8", "0.50"),
            ("M3.5", "2980", "1.3", "0.79"),
            ("M4", "3860", "1.9", "1.2"),
            ("M5", "6250", "3.8", "2.2"),
            ("M6", "8840", "", ""),
        )
    ),
    Basis("ISO 8839 (CU2, CU3), as tabled by fastener suppliers", "minimum breaking loads and torques", Standing.SEEN),
    "440 MPa times stress area; breaking torque at 0.70 of 440 MPa on the root; tightening at 0.58 to 0.67 of it",
    (_brass_rule,),
)


def _clamp_rule(row: Row) -> Iterator[Difference]:
    area = float(UNIFIED.row(row["size"])["As"])
    clamp, diameter = 0.75 * 55000 * area, nominal(row["size"].rpartition("-")[0])
    yield from _within(row, "size", "clamp", clamp, 0.006)
    for column, factor in {"torque low": 0.12, "torque high": 0.18}.items():
        torque, rounding = factor * diameter * clamp, last_place(row[column]) / 2
        if abs(float(row[column]) - torque) > 0.05 * torque + rounding:
            yield Difference(row["size"], column, row[column], f"{torque:.3g} at K {factor}, within 5 %")


MACHINE_SCREW_LOADS = Table(
    "low-carbon steel machine screws",
    "size",
    {"size": "", "clamp": "lbf", "torque low": "in lbf", "torque high": "in lbf"},
    tuple(
        dict(zip(("size", "clamp", "torque low", "torque high"), line.split(), strict=True))
        for line in (
            "2-56 152 1.6 2.3", "4-40 249 3.4 4.8", "6-32 375 6 10",
            "8-32 578 12 16", "10-32 825 20 27", "1/4-20 1312 41 57",
        )
    ),
    Basis("screw torque reference of a fastener supplier", "low-carbon steel, 'grade 2'", Standing.SEEN),
    "0.75 x 55 000 psi x stress area; torques within 5 % of K d F with K 0.12 and 0.18 (Shigley, Table 8-15)",
    (_clamp_rule,),
)  # fmt: skip


def _shear_rule(row: Row) -> Iterator[Difference]:
    """NADCA prints tens of MPa, the others single ones: what the value in ksi comes to, rounded so."""
    step = 10 if "die casting" in row["metal"] else 1
    right = round(float(row["ksi"]) * KSI_IN_MPA / step) * step
    yield from same(row, "metal", "shear", str(right))


CASTINGS = Table(
    "shear strength of castings",
    "metal",
    {"metal": "", "shear": "MPa", "ksi": "ksi"},
    tuple(
        dict(zip(("metal", "shear", "ksi"), line, strict=True))
        for line in (
            ("grey iron, class 20 (EN-GJL-150)", "179", "26"),
            ("aluminium die casting 360", "190", "28"),
            ("aluminium die casting 380", "190", "28"),
            ("aluminium die casting 413", "170", "25"),
            ("aluminium die casting C443", "130", "19"),
            ("aluminium die casting 518", "200", "29"),
            ("aluminium 356.0-T6, sand", "179", "26"),
            ("aluminium 356.0-T6, permanent mould", "221", "32"),
        )
    ),
    Basis(
        "ASTM A48 data; NADCA Product Standards, Table A-3-2; handbook tables of cast aluminium",
        "shear strength",
        Standing.SEEN,
        "another handbook prints 32 ksi for class 20 iron, so the lower stands here",
    ),
    "the same value in ksi, rounded as the source rounds",
    (_shear_rule,),
)

TABLES = (PROPERTY_CLASSES, SCREW_LOADS, BRASS_SCREWS, MACHINE_SCREW_LOADS, CASTINGS)


@dataclass(frozen=True)
class ScrewMetal:
    """What a screw is made of: yield and tensile strength [Pa], and what they rest on."""

    name: str
    yield_strength: float
    tensile: float
    basis: Basis

    @property
    def shear(self) -> float:
        """Shear strength [Pa], the tensile strength over the root of 3 (von Mises)."""
        return self.tensile * SHEAR_TO_TENSION


@dataclass(frozen=True)
class HoleMetal:
    """What a tapped hole is cut in: shear strength as a span [Pa], and what it rests on."""

    name: str
    shear: Span
    basis: Basis


def _class(name: str) -> ScrewMetal:
    row = PROPERTY_CLASSES.row(name)
    return ScrewMetal(name, float(row["Re"]) * MPA, float(row["Rm"]) * MPA, PROPERTY_CLASSES.basis)


@cache
def screw_metals() -> Mapping[str, ScrewMetal]:
    """Screw metals by name.

    Source: ISO 898-1 (property classes), ISO 8839 (brass); each entry has its own basis.

    >>> screw_metals()["8.8"].tensile
    800000000.0
    """
    brass = ScrewMetal("brass", 340 * MPA, 440 * MPA, BRASS_SCREWS.basis)
    old = Basis("old screws of unmarked steel, taken as class 4.6", "", Standing.PRACTICE)
    unmarked = ScrewMetal("unmarked steel", 240 * MPA, 400 * MPA, old)
    return {metal.name: metal for metal in (*map(_class, ("4.6", "4.8", "5.8", "8.8")), brass, unmarked)}


def _hole(name: str, low: float, high: float, source: str, locator: str, standing: Standing) -> HoleMetal:
    return HoleMetal(name, Span(low * MPA, high * MPA), Basis(source, locator, standing))


@cache
def hole_metals() -> Mapping[str, HoleMetal]:
    """Metals of tapped holes by name; the span is over alloys and over sources that disagree.

    Source: ASTM A48 data and a handbook's table (grey iron), NADCA A-3-2 (die castings); each entry has its own basis.

    >>> sorted(hole_metals())[:2]
    ['aluminium', 'brass']
    """
    return {
        metal.name: metal
        for metal in (
            _hole("grey iron", 170, 221, "ASTM A48 data; EN 1561 annex", "class 20; EN-GJL-150", Standing.PARTLY),
            _hole("aluminium", 130, 221, "NADCA Product Standards; cast 356.0-T6", "Table A-3-2", Standing.SEEN),
            _hole("zinc alloy", 214, 262, "zinc die-casting alloys no. 3 and no. 5", "", Standing.MEMORY),
            _hole("brass", 200, 254, "wrought and cast brass; 440 MPa over root 3 at the most", "", Standing.MEMORY),
            _hole("steel", 231, 242, "ISO 898-1 classes 4.6 and 4.8 over root 3", "", Standing.COMPUTED),
        )
    }  # fmt: skip


class NoSuchMetal(ValueError):  # noqa: N818 - named for what is wrong with the name
    """A metal that is not in the table; the message names those that are."""


_Metal = TypeVar("_Metal")


def _pick(metals: Mapping[str, _Metal], name: str, what: str) -> _Metal:
    if name in metals:
        return metals[name]
    near = difflib.get_close_matches(name.lower(), metals, 1, 0.6)
    hint = f"did you mean {near[0]!r}? " if near else ""
    raise NoSuchMetal(f"no {what} {name!r}; {hint}there are {', '.join(metals)}")


def screw_metal(name: str) -> ScrewMetal:
    """The screw metal of that name, with its strengths [Pa].

    Formula: none; the table is looked up.
    Source: that of `screw_metals`.

    >>> screw_metal("4.8").yield_strength
    340000000.0
    """
    return _pick(screw_metals(), name, "screw metal")


def hole_metal(name: str) -> HoleMetal:
    """The metal of a tapped hole of that name, with its shear strength [Pa].

    Formula: none; the table is looked up.
    Source: that of `hole_metals`.

    >>> hole_metal("gray iron")
    Traceback (most recent call last):
        ...
    handwheel.engineering.strength.NoSuchMetal: no hole metal 'gray iron'; did you mean 'grey iron'? there are grey iron, aluminium, zinc alloy, brass, steel
    """  # noqa: E501
    return _pick(hole_metals(), name, "hole metal")

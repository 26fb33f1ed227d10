"""The thread series a screw on an old household machine can belong to, each with what it rests on.

Tables hold the figures as printed, so that their digits can be proven; `all_threads` makes threads of them.
The special inch threads of sewing machines are from memory only: they stay unverified until the shop has
measured diameter and pitch, and then its measurement is the source.
"""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Iterator
from fractions import Fraction
from functools import cache

from handwheel.engineering.basis import Basis, Standing
from handwheel.engineering.tables import Difference, Row, Table, compare, rows_of, same
from handwheel.engineering.threads import Form, Thread
from handwheel.engineering.units import INCH


class NoSuchThread(ValueError):  # noqa: N818 - named for what is wrong with the name
    """A thread name that is in no series here; the message names the nearest."""


def nominal(size: str) -> float:
    """Major diameter of an inch size [in]: a fraction, or a number.

    Formula: D = 0.060 + 0.013 N for number N.
    Source: ASME B1.1, B18.6.3.

    >>> nominal("10"), nominal("9/64"), nominal("0")
    (0.19, 0.140625, 0.06)
    """
    return float(Fraction(size)) if "/" in size else round(0.060 + 0.013 * int(size), 6)


def size_and_count(name: str) -> tuple[str, int]:
    """The two halves of an inch thread's name.

    Formula: none; size, then threads to the inch [1/in].
    Source: ASME B1.1, designation.

    >>> size_and_count("9/64-40")
    ('9/64', 40)
    """
    size, _, count = name.partition("-")
    return size, int(count)


def _iso(row: Row) -> Iterator[Difference]:
    d, p = float(row["d"]), float(row["P"])
    yield from same(row, "size", "d", row["size"].removeprefix("M"))
    yield from compare(row, "size", "d2", d - 0.649519 * p, 0.6)
    yield from compare(row, "size", "d1", d - 1.082532 * p, 0.6)
    yield from compare(row, "size", "d3", d - 1.226869 * p, 0.6)
    yield from compare(row, "size", "As", math.pi / 4 * (d - 0.938194 * p) ** 2)


ISO_COARSE = Table(
    "ISO metric coarse",
    "size",
    {"size": "", "d": "mm", "P": "mm", "d2": "mm", "d1": "mm", "d3": "mm", "As": "mm^2"},
    rows_of(
        "size d P d2 d1 d3 As",
        """
        M1.6 1.6 0.35 1.373 1.221 1.171 1.27
        M2   2   0.4  1.740 1.567 1.509 2.07
        M2.5 2.5 0.45 2.208 2.013 1.948 3.39
        M3   3   0.5  2.675 2.459 2.387 5.03
        M3.5 3.5 0.6  3.110 2.850 2.764 6.78
        M4   4   0.7  3.545 3.242 3.141 8.78
        M5   5   0.8  4.480 4.134 4.019 14.2
        M6   6   1    5.350 4.917 4.773 20.1
        M8   8   1.25 7.188 6.647 6.466 36.6
        """,
    ),
    Basis("JIS B 0205:1997 (ISO 724); stress areas ISO 898-1", "tables, read in copies", Standing.SEEN),
    "the ISO 68-1 profile and the ISO 898-1 stress area",
    (_iso,),
)


def _unified(row: Row) -> Iterator[Difference]:
    size, count = size_and_count(row["size"])
    d, e = float(row["major"]), float(row["E"])
    yield from compare(row, "size", "major", nominal(size))
    yield from compare(row, "size", "E", d - 0.649519 / count, 0.6)
    yield from compare(row, "size", "K", d - 1.082532 / count, 0.6)
    # The published areas come from the effective diameter rounded to four decimals first.
    yield from compare(row, "size", "As", math.pi * (e / 2 - 3 / 16 * math.sqrt(3) / 2 / count) ** 2, 0.52)


UNIFIED = Table(
    "Unified, small sizes",
    "size",
    {"size": "", "series": "", "major": "in", "E": "in", "K": "in", "As": "in^2"},
    rows_of(
        "size series major E K As",
        """
        0-80   UNF 0.0600 0.0519 0.0465 0.00180
        1-64   UNC 0.0730 0.0629 0.0561 0.00263
        1-72   UNF 0.0730 0.0640 0.0580 0.00278
        2-56   UNC 0.0860 0.0744 0.0667 0.00370
        2-64   UNF 0.0860 0.0759 0.0691 0.00394
        3-48   UNC 0.0990 0.0855 0.0764 0.00487
        3-56   UNF 0.0990 0.0874 0.0797 0.00523
        4-40   UNC 0.1120 0.0958 0.0849 0.00604
        4-48   UNF 0.1120 0.0985 0.0894 0.00661
        5-40   UNC 0.1250 0.1088 0.0979 0.00796
        5-44   UNF 0.1250 0.1102 0.1004 0.00830
        6-32   UNC 0.1380 0.1177 0.1042 0.00909
        6-40   UNF 0.1380 0.1218 0.1109 0.01015
        8-32   UNC 0.1640 0.1437 0.1302 0.0140
        8-36   UNF 0.1640 0.1460 0.1339 0.01474
        10-24  UNC 0.1900 0.1629 0.1449 0.0175
        10-32  UNF 0.1900 0.1697 0.1562 0.0200
        12-24  UNC 0.2160 0.1889 0.1709 0.0242
        12-28  UNF 0.2160 0.1928 0.1773 0.0258
        1/4-20 UNC 0.2500 0.2175 0.1959 0.0318
        1/4-28 UNF 0.2500 0.2268 0.2113 0.0364
        """,
    ),
    Basis(
        "Shigley's Mechanical Engineering Design, 9th ed. (from ANSI B1.1-1974)",
        "Table 8-2",
        Standing.SEEN,
        "5-44 is 0.00830 as ASME B1.1 gives it; the book's 0.00880 is a misprint",
    ),
    "the number-size rule, the 60 degree profile and FED-STD-H28/2B formula (1a)",
    (_unified,),
)


def _ba(row: Row) -> Iterator[Difference]:
    d, p = float(row["D"]), float(row["P"])
    depth = round(0.6 * p / 0.005 + 1e-9) * 0.005
    yield from compare(row, "size", "P", 0.9 ** int(row["size"]))
    yield from compare(row, "size", "effective", d - depth, 0.1)
    yield from compare(row, "size", "minor", d - 2 * depth, 0.1)
    if abs(d - 6 * p**1.2) > 0.045:
        yield Difference(row["size"], "D", row["D"], f"{6 * p**1.2:.2f} within 0.045")


BA = Table(
    "British Association",
    "size",
    {"size": "", "P": "mm", "D": "mm", "effective": "mm", "minor": "mm"},
    rows_of(
        "size P D effective minor",
        """
        0  1.00 6.00 5.400 4.80
        1  0.90 5.30 4.760 4.22
        2  0.81 4.70 4.215 3.73
        3  0.73 4.10 3.660 3.22
        4  0.66 3.60 3.205 2.81
        5  0.59 3.20 2.845 2.49
        6  0.53 2.80 2.480 2.16
        7  0.48 2.50 2.210 1.92
        8  0.43 2.20 1.940 1.68
        9  0.39 1.90 1.665 1.43
        10 0.35 1.70 1.490 1.28
        """,
    ),
    Basis("Machinery's Handbook, 31st ed. (BS 93:1951)", "p. 2115", Standing.SEEN),
    "P = 0.9^N, the depth 0.6 P to the nearest 0.005 mm, D near 6 P^1.2",
    (_ba,),
)


def _whitworth(row: Row) -> Iterator[Difference]:
    size, count = size_and_count(row["size"])
    yield from compare(row, "size", "major", nominal(size), 0.55)
    yield from compare(row, "size", "E", nominal(size) - 0.640327 / count, 1.5)
    yield from compare(row, "size", "minor", nominal(size) - 1.280654 / count, 1.5)


BSW = Table(
    "British Standard Whitworth, small sizes",
    "size",
    {"size": "", "major": "in", "E": "in", "minor": "in"},
    rows_of(
        "size major E minor",
        """
        1/16-60 0.0625 0.0518 0.0413
        3/32-48 0.0937 0.0804 0.0670
        1/8-40  0.1250 0.1090 0.0930
        5/32-32 0.1563 0.1362 0.1162
        3/16-24 0.1875 0.1608 0.1341
        7/32-24 0.2187 0.1920 0.1654
        1/4-20  0.2500 0.2180 0.1860
        5/16-18 0.3125 0.2769 0.2414
        """,
    ),
    Basis("BS 84, as tabled by a fastener supplier", "Whitworth table", Standing.SEEN),
    "the BS 84 profile, to 0.00015 in since the sources round",
    (_whitworth,),
)

SPECIAL_INCH = Table(
    "special inch threads of sewing machines",
    "size",
    {"size": "", "recall": ""},
    rows_of(
        "size recall",
        """
        1/16-80 fair
        5/64-64 fair
        3/32-56 fair
        3/32-100 poor
        1/8-40 fair
        1/8-44 fair
        1/8-48 poor
        9/64-40 good
        11/64-32 poor
        11/64-40 good
        3/16-28 good
        3/16-32 fair
        13/64-32 poor
        7/32-32 fair
        15/64-28 good
        1/4-24 fair
        1/4-28 poor
        1/4-40 good
        9/32-20 poor
        9/32-28 fair
        5/16-24 poor
        3/8-28 poor
        """,
    ),
    Basis("special inch threads of sewing machines (the class that JIS B 0226 covered)", "", Standing.MEMORY),
    "nothing: no published table was found",
)

TABLES = (ISO_COARSE, UNIFIED, BA, BSW, SPECIAL_INCH)

_OLD_SPECIALS = (
    ("4", (36,)), ("5", (36,)), ("6", (36,)), ("7", (30, 32, 36)), ("8", (30, 40)), ("9", (24, 30, 32)),
    ("10", (28, 30)), ("12", (32,)), ("14", (20, 24)), ("16", (18, 20, 22)),
)  # fmt: skip
_MEMORY_ISO_FINE = Basis("ISO 261, fine pitches", "", Standing.MEMORY)
_OLD_METRIC = Basis("JIS B 0209-1965 coarse pitches, as listed by a tap maker", "", Standing.SEEN)
_METRIC_BESIDES = (
    ("M4.5", 4.5, 0.75, Basis("JIS B 0205:1997", "table", Standing.SEEN)),
    ("M7", 7.0, 1.0, Basis("JIS B 0205:1997", "table", Standing.SEEN)),
    ("M3x0.6", 3.0, 0.6, _OLD_METRIC),
    ("M4x0.75", 4.0, 0.75, _OLD_METRIC),
    ("M5x0.9", 5.0, 0.9, _OLD_METRIC),
    ("M3x0.35", 3.0, 0.35, _MEMORY_ISO_FINE),
    ("M4x0.5", 4.0, 0.5, _MEMORY_ISO_FINE),
    ("M5x0.5", 5.0, 0.5, _MEMORY_ISO_FINE),
    ("M6x0.75", 6.0, 0.75, _MEMORY_ISO_FINE),
    ("M8x1", 8.0, 1.0, Basis("VDI 2230:2001, as tabled in a fastener catalogue", "M8 x 1 row", Standing.SEEN)),
)
_BSF = (("3/16-32", Standing.SEEN), ("7/32-28", Standing.SEEN), ("1/4-26", Standing.SEEN), ("5/16-22", Standing.SEEN),
        ("9/32-26", Standing.MEMORY))  # fmt: skip


def _inch(name: str, form: Form, series: str, label: str, basis: Basis) -> Thread:
    size, count = size_and_count(name)
    return Thread(label, form, nominal(size) * INCH, INCH / count, series, basis)


def _metric_threads() -> Iterator[Thread]:
    for row in ISO_COARSE.rows:
        yield Thread(
            row["size"], Form.ISO, float(row["d"]) / 1e3, float(row["P"]) / 1e3, "ISO coarse", ISO_COARSE.basis
        )
    for name, d, p, basis in _METRIC_BESIDES:
        series = "old metric" if basis is _OLD_METRIC else "ISO fine" if "x" in name else "ISO coarse"
        yield Thread(name, Form.ISO, d / 1e3, p / 1e3, series, basis)
    for row in BA.rows:
        d, p = float(row["D"]) / 1e3, float(row["P"]) / 1e3
        yield Thread(f"{row['size']} BA", Form.BA, d, p, "BA", BA.basis)


def _inch_threads() -> Iterator[Thread]:
    for row in UNIFIED.rows:
        yield _inch(row["size"], Form.UNIFIED, row["series"], f"{row['size']} {row['series']}", UNIFIED.basis)
    old = Basis("list of old American machine-screw threads", "NS, special pitches", Standing.SEEN)
    for size, counts in _OLD_SPECIALS:
        for count in counts:
            yield _inch(f"{size}-{count}", Form.UNIFIED, "NS", f"{size}-{count} NS", old)
    extra_fine = Basis("ASME B1.1, extra fine", "", Standing.MEMORY)
    yield _inch("1/4-32", Form.UNIFIED, "UNEF", "1/4-32 UNEF", extra_fine)
    for row in BSW.rows:
        yield _inch(row["size"], Form.WHITWORTH, "BSW", f"{row['size']} BSW", BSW.basis)
    for name, standing in _BSF:
        yield _inch(name, Form.WHITWORTH, "BSF", f"{name} BSF", Basis("BS 84, fine series", "", standing))
    for row in SPECIAL_INCH.rows:
        yield _inch(row["size"], Form.UNIFIED, "special inch", f"SM {row['size']}", SPECIAL_INCH.basis)


@cache
def all_threads() -> tuple[Thread, ...]:
    """Every thread of every series here, by diameter and then pitch.

    Source: each thread has its own `basis`; the special inch series is from memory.

    >>> [t.name for t in all_threads() if t.series == "special inch" and t.verified]
    []
    """
    return tuple(sorted((*_metric_threads(), *_inch_threads()), key=lambda t: (t.diameter, t.pitch, t.name)))


def _plain(name: str) -> str:
    """A name as it is looked up: no blanks, one case, one sign for 'by'."""
    return re.sub(r"\s+", "", name).replace("×", "x").upper().replace("X", "x")


@cache
def _by_name() -> dict[str, Thread]:
    named = {_plain(t.name): t for t in all_threads()}
    coarse = {f"{_plain(t.name)}x{t.pitch * 1e3:g}": t for t in all_threads() if t.series == "ISO coarse"}
    return {**coarse, **named}


def thread(name: str) -> Thread:
    """The thread of that name.

    Formula: none; the series are looked up.
    Source: the thread's own `basis`.

    Raises:
        NoSuchThread: no series here has it; the message names the nearest.

    >>> print(thread("m4 x 0.7"), thread("10-32 UNF").form.title)
    M4 (ISO coarse) Unified
    >>> thread("SM 11/64-41")
    Traceback (most recent call last):
        ...
    handwheel.engineering.thread_series.NoSuchThread: 'SM 11/64-41' is in no series here; the nearest is 'SM 11/64-40'
    """
    found = _by_name().get(_plain(name))
    if found is not None:
        return found
    near = difflib.get_close_matches(_plain(name), _by_name(), 1, 0.6)
    hint = f"; the nearest is {_by_name()[near[0]].name!r}" if near else ""
    raise NoSuchThread(f"{name!r} is in no series here{hint}")


def measured_thread(name: str, form: Form, diameter: float, pitch: float, source: str) -> Thread:
    """A thread that the shop measured, by diameter and pitch [m].

    Formula: none; both are kept as measured and must lie in the ranges of `check`.
    Source: the measurement itself, as named.

    >>> measured_thread("latch stud", Form.UNIFIED, 0.00436, 0.000635, "shop, 2024-03-02, micrometer, 5 readings").verified
    True
    """  # noqa: E501
    return Thread(name, form, diameter, pitch, "measured", Basis(source, "", Standing.MEASURED))

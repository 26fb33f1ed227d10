"""`handwheel identify`: from options and asked for, in words and as JSON; its figures are those of the engine."""

from __future__ import annotations

import argparse
import io
import json
import shutil
from functools import lru_cache
from pathlib import Path
from typing import Any

import pytest

from handwheel.cli import identify as command
from handwheel.cli.main import main
from handwheel.identify.answer import identify
from handwheel.identify.evidence import Evidence, Measured, read_serial, saw
from handwheel.identify.subjects import plan_of, tables_for
from handwheel.reading.load import load
from handwheel.reading.shipped import folders_of
from handwheel.records.library import Library

DEMO = Path(__file__).parents[2] / "demo_content"
SKERRY = ["identify", "--shop", str(DEMO), "--family", "skerry"]


READ = command.library_of


@lru_cache
def _kept(shop: Path) -> Library:
    return READ(argparse.Namespace(shop=shop, library=None))


@pytest.fixture(autouse=True)
def _read_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """The demo is read once for all these tests, by the command's own function."""
    monkeypatch.setattr(command, "library_of", lambda options: _kept(options.shop))


@pytest.fixture
def told(capsys: pytest.CaptureFixture[str]) -> Any:
    """Run with options; standard output."""

    def run(*options: str) -> str:
        assert main([*SKERRY, *options]) == 0
        return capsys.readouterr().out

    return run


def test_json_is_the_engines_answer(told: Any) -> None:
    typed = "--saw finish=japan --saw lamp=hood,none --cannot-see hook --marking hand-stamp=no --serial TAD1?500"
    data = json.loads(told(*typed.split(), "--mass", "13.5", "--json"))
    library = load(folders_of(DEMO, None))
    looks = (saw("finish", "japan"), saw("lamp", "hood", "none"), saw("hook"), saw("marking:hand-stamp", "not seen"))
    evidence = Evidence(looks, (), read_serial("TAD1?500"), (Measured("mass", 13.5, 0.05),))
    right = identify(tables_for(library, "skerry"), evidence, plan_of(library))
    assert list(data["variants"].values()) == pytest.approx(list(right.posterior.variants), abs=1e-12)
    assert data["none"] == pytest.approx(right.posterior.none, abs=1e-12)
    assert data["inPlay"] == ["skerry-11"] and data["verdict"] == "settled" == right.judgement.verdict
    assert data["years"] == [1924, 1927]
    assert [each["id"] for each in data["next"]] == [each.id for each in right.next.looks]
    assert all(each["seconds"] > 0 and each["effort"] for each in data["next"])


def test_words_name_what_is_not_its_own_and_why_others_do_not_fit(told: Any) -> None:
    looks = (
        "finish=enamel bed-edge=round lamp-seat=socket lamp=link control=knee regulator=reverse winder=button"
        " winder-seat=well tension=drum"
    )
    text = told(*(word for look in looks.split() for word in ("--saw", look)))
    assert text.startswith("It is Pattern 24 (")
    assert "built 1949 to 1955; not its own: motor control." in text
    assert "motor control is likely not its own: " in text
    assert "Pattern 11 left the works with finish of the head: black gloss" in text
    assert "100 in 100" not in text


def test_castings_of_two_patterns_fit_none_or_are_contradicted(told: Any) -> None:
    looks = "finish=enamel bed-edge=double lamp-seat=slot regulator=screw bright-parts=blackened winder-seat=well"
    text = told(*(word for look in looks.split() for word in ("--saw", look)))
    assert text.startswith("It fits none of the patterns written down here")
    assert "No pattern left the works with" in text
    assert "No machine that can stand here shows all this" in text


def test_nothing_seen_is_said(told: Any) -> None:
    data = json.loads(told("--json"))
    assert data["verdict"] == "nothing seen" and data["next"][0]["id"] == "serial"
    assert data["sentence"].startswith("Nothing was seen yet: it may be any of 5 patterns")


def asked(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], typed: str) -> tuple[str, str]:
    """Output and talk after lines typed into a pipe."""
    monkeypatch.setattr("sys.stdin", io.StringIO(typed))
    assert main(SKERRY) == 0
    said = capsys.readouterr()
    return said.out, said.err


def test_asked_until_it_is_settled(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    out, talk = asked(monkeypatch, capsys, "vel 60123\nplain gloss enamel\n" + "?\n" * 40)
    assert out.startswith("It is Pattern 24 (")
    assert (
        "What is its serial number?  (a glance)\n  Where: Top of the bed, at its right edge" in talk
        and "What lies on the head?" in talk
        and "Where: " in talk
    )


def test_wrong_answers_are_explained_and_can_be_taken_back(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    typed = ("back", "?", "9", "matt or hammered metallic", "back", "look lamp", "hood or none", "look lapm", "list",
             "marking number-plate", "stop")  # fmt: skip
    out, talk = asked(monkeypatch, capsys, "\n".join([*typed, ""]))
    assert "there is no answer to take back" in talk
    assert "there is no answer 9; answers go from 1 to 4" in talk
    assert "did you mean 'lamp'?" in talk
    assert "marking hand-stamp" in talk
    assert "How is the lamp fixed?" in talk
    assert out.startswith("It is Pattern 11 (") or out.startswith("It may be Pattern 11")
    assert "finish of the head: hammered" not in out.split("What it may be")[0]


def test_contradictions_are_told_while_it_asks_and_a_second_look_counts(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A casting that does not fit: said at once, with what to look at again; the same answer again lets doubt go."""
    first = ["look bed-edge", "square", "look lamp-seat", "round socket", "look winder-seat", "well"]
    looked = [*first, "look winder-seat", "well"]
    out, talk = asked(monkeypatch, capsys, "\n".join([*first, "stop", ""]))
    clash = "No pattern left the works with seat for the winder: a round well in the top of the arm and edge of the bed"
    assert clash in talk and "Look again at " in talk and clash in out
    once = float(json.loads(_as_json(capsys, *_typed(looked[:6])))["none"])
    twice = float(json.loads(_as_json(capsys, *_typed(looked[:6]), "--saw", "winder-seat=well"))["none"])
    assert twice > once
    out, _ = asked(monkeypatch, capsys, "\n".join([*looked, "stop", ""]))
    assert f"none of these: {twice * 100:.0f} in 100" in out


def _typed(lines: list[str]) -> list[str]:
    pairs = zip(lines[::2], lines[1::2], strict=True)
    return [word for look, form in pairs for word in ("--saw", f"{look.removeprefix('look ')}={form}")]


def _as_json(capsys: pytest.CaptureFixture[str], *options: str) -> str:
    assert main([*SKERRY, *options, "--json"]) == 0
    return capsys.readouterr().out


def test_a_serial_in_no_block_is_said_in_words_and_as_data(told: Any) -> None:
    """Castings of pattern 24, and a number from no block: likely that pattern, in doubt, and the reason is told."""
    looks = ("--saw", "bed-edge=round", "--saw", "lamp-seat=socket", "--saw", "winder-seat=well", "--serial", "PC40010")
    text = told(*looks)
    assert text.startswith("It may be Pattern 24, built 1949 to 1955, or a pattern not written down (")
    assert "No pattern left the works with serial number: PC40010." in text
    assert "Pattern 24 has the serial numbers VEL50001 to VEL84200 or VEN50001 to VEN71050; PC40010 is none" in text
    data = json.loads(told(*looks, "--json"))
    assert "No pattern left the works with serial number: PC40010." in data["contradictions"]
    assert any("PC40010 is none of them" in words for words in data["whyNot"]["skerry-24"])
    assert data["stop"] == "" and data["next"]


def test_a_pattern_not_written_down_is_said_first_where_it_leads(told: Any) -> None:
    looks = ("--saw", "bed-edge=round", "--saw", "winder-seat=well", "--saw", "lamp-seat=blind")
    once, twice = told(*looks), told(*looks, "--saw", "lamp-seat=blind")
    assert once.startswith("It may be Pattern 24, built ") and "What it may be:\n  Pattern 24: " in once
    assert twice.startswith("It may be a pattern not written down (")
    assert ", or Pattern 17 or Pattern 24, built" in twice
    assert "What it may be:\n  none of these: " in twice and twice.count("none of these") == 1


def test_a_serial_of_a_known_block_with_a_doubtful_digit_cuts_the_years(told: Any) -> None:
    one = json.loads(told("--serial", "VE[LN]60123", "--saw", "bed-edge=round", "--json"))
    sure = json.loads(told("--serial", "VEL60123", "--saw", "bed-edge=round", "--json"))
    assert one["years"] == [1949, 1955] and sure["years"] == [1949, 1952]
    assert one["variants"]["skerry-24"] > 0.9 and one["contradictions"] == []


def test_a_mass_that_is_far_off_is_told_and_does_not_settle_it(told: Any) -> None:
    """Weighed with the motor on: the castings keep their say."""
    looks = ["bed-edge=round", "lamp-seat=socket", "winder-seat=well", "regulator=reverse", "finish=enamel"]
    options = [word for look in looks for word in ("--saw", look)]
    data = json.loads(told(*options, "--mass", "14", "--json"))
    assert "Pattern 24 has mass of the head 12.1 kg, and 14 kg is far from that" in data["whyNot"]["skerry-24"][0]
    assert data["verdict"] == "open" and data["variants"]["skerry-24"] > 0.4
    assert json.loads(told(*options, "--mass", "12,2 kg", "--json"))["verdict"] == "settled"


def test_it_says_when_to_stop(told: Any) -> None:
    """Settled, and nothing more to confirm; a marking that is there; years of one block."""
    looks = (
        "bed-edge=round lamp-seat=socket winder-seat=well regulator=reverse finish=enamel needle-plate=lined"
        " bright-parts=chrome hook=oscillating casting=iron"
    )
    options = [word for look in looks.split() for word in ("--saw", look)]
    text = told(*options, "--serial", "VEN60123", "--marking", "arm-word")
    assert text.startswith("It is Pattern 24 (98 in 100), built 1953 to 1955.")
    assert "Enough was seen." in text and "Look next" not in text


def test_a_serial_of_question_marks_cannot_be_seen(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    out, talk = asked(monkeypatch, capsys, "????\nstop\n")
    assert talk.count("What is its serial number?") == 1 and "What lies on the head?" in talk
    assert out.startswith("Nothing was seen yet")


def test_input_that_ends_gives_what_is_known(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    out, _ = asked(monkeypatch, capsys, "")
    assert out.startswith("Nothing was seen yet")


@pytest.mark.parametrize(
    ("options", "sentence"),
    [
        (["--family", "skery"], "did you mean 'skerry'?"),
        ([], "which family? --family is one of: skerry, holm"),
        (["--family", "skerry", "--saw", "lamp=hod"], "did you mean 'hood'?"),
        (["--family", "skerry", "--saw", "lapm=hood"], "did you mean 'lamp'?"),
        (["--family", "skerry", "--saw", "lamp"], "write FEATURE=FORM"),
        (["--family", "skerry", "--cannot-see", "winderr"], "did you mean 'winder'?"),
        (["--family", "skerry", "--marking", "hand-stampp"], "did you mean 'hand-stamp'?"),
        (["--family", "skerry", "--marking", "hand-stamp=perhaps"], "a marking is there (yes) or not (no)"),
        (["--family", "skerry", "--serial", "K#1"], "'#' is neither letter nor digit"),
        (["--family", "skerry", "--serial", "??? ??"], "no character of it could be read, so leave it out"),
        (["--family", "skerry", "--mass=-3"], "-3 kg is no mass of a head"),
        (["--family", "skerry", "--mass", "heavy"], "'heavy' is no mass; write kilograms, as 12.4"),
        (
            ["--family", "skerry", "--saw", "lamp=hood", "--saw", "lamp=clamp"],
            "two looks at 'lamp' do not agree; for this or that: lamp=hood,clamp",
        ),
        (
            ["--family", "skerry", "--saw", "lamp=hood", "--cannot-see", "lamp"],
            "'lamp' was seen, and could not be seen: say one of the two",
        ),
    ],
)
def test_a_mistake_is_said_with_the_nearest_name(
    options: list[str], sentence: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["identify", "--shop", str(DEMO), *options]) == 2
    said = capsys.readouterr()
    assert sentence in said.err and said.out == ""


def test_the_shop_says_how_often_a_pattern_is_not_written_down(tmp_path: Path) -> None:
    """Written once in the shop's record, it is the share of `fits none` before any look."""
    shop = tmp_path / "shop"
    shutil.copytree(DEMO, shop)
    file = shop / "shop.yaml"
    file.write_text(file.read_text("utf-8").replace("    rate: 34\n", "    rate: 34\n    lacks: 30\n"), "utf-8")
    tables = tables_for(load(folders_of(shop, None)), "skerry")
    assert identify(tables, Evidence()).posterior.none == pytest.approx(0.3)


def test_a_walk_with_a_serial_of_no_block_ends_settled_by_parts_and_mass(told: Any) -> None:
    """Follows the offered looks on a pattern 24 that bears a number of no block: doubt falls, and it ends."""
    own = _kept(DEMO).variants["skerry-24"].features
    seen = ("bed-edge", "lamp-seat", "winder-seat", "tension", "lamp", "drive", "winder", "control", "finish")
    options = ["--serial", "PC40010", *(word for look in seen for word in ("--saw", f"{look}={own[look][0]}"))]
    shares = []
    for _ in range(20):
        data = json.loads(told(*options, "--json"))
        shares.append(data["none"])
        if data["stop"]:
            break
        look = data["next"][0]["id"]
        options += ["--mass", "12.1"] if look == "mass" else ["--saw", f"{look}={own[look][0]}"]
    assert data["stop"] == "settled" and data["inPlay"] == ["skerry-24"]
    assert shares[0] > 0.1 and max(shares[-3:]) < 0.05
    assert "No pattern left the works with serial number: PC40010." in data["contradictions"]

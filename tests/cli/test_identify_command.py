"""`handwheel identify`: from options and asked for, in words and as JSON; its figures are those of the engine."""

from __future__ import annotations

import io
import json
import shutil
from pathlib import Path
from typing import Any

import pytest

from handwheel.cli.main import main
from handwheel.identify.answer import identify
from handwheel.identify.evidence import Evidence, Measured, read_serial, saw
from handwheel.identify.subjects import plan_of, tables_for
from handwheel.reading.load import load
from handwheel.reading.shipped import folders_of

DEMO = Path(__file__).parents[2] / "demo_content"
SKERRY = ["identify", "--shop", str(DEMO), "--family", "skerry"]


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
    assert "serial number" in talk and "What lies on the head?" in talk and "Where: " in talk


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
        (["--family", "skerry", "--mass", "-3"], "-3 kg is no mass of a head"),
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

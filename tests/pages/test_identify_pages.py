"""The Identify page's HTML and data, and the text that its state is kept in."""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path

import pytest

from handwheel.pages.here import Desk
from handwheel.pages.identify_pages import data_path, identify_assets, identify_page, page_data
from handwheel.reading.load import load
from handwheel.reading.shipped import folders_of

ROOT = Path(__file__).parents[2]
SCRIPT = ROOT / "generator/handwheel/pages/assets/identify-page.js"


@pytest.fixture(scope="module")
def desk() -> Desk:
    return Desk(load(folders_of(ROOT / "demo_content")))


def test_without_a_script_the_page_leads_to_the_key_and_every_pattern(desk: Desk) -> None:
    html = identify_page(desk).html
    assert "none runs here" in html
    for variant in desk.library.variants:
        assert f'href="variants/{variant}.html"' in html
    for family in desk.library.families:
        assert f'href="keys/{family}.html"' in html and f'src="{data_path(family)}"' in html


def test_each_family_has_its_data_as_a_script(desk: Desk) -> None:
    assets = {asset.path: asset.content.decode("ascii") for asset in identify_assets(desk)}
    assert list(assets) == [data_path(family) for family in desk.library.families]
    for family in desk.library.families:
        text = assets[data_path(family)]
        start = f"(self.handwheelIdentifyData=self.handwheelIdentifyData||{{}})[{json.dumps(family)}]="
        assert text.startswith(start)
        assert json.loads(text.removeprefix(start).rstrip(";\n")) == json.loads(json.dumps(page_data(desk, family)))


def test_every_look_has_words_a_place_and_its_pictures(desk: Desk) -> None:
    for family in desk.library.families:
        data = page_data(desk, family)
        placed = [look for place in data["places"] for look in place["looks"]]
        assert sorted(placed) == sorted(data["looks"]) and placed
        for look in data["looks"].values():
            assert look["ask"].endswith("?") and look["where"] and look["effort"]
            assert set(look["answers"]) - {"missing"} == set(look["forms"])
        lamp = desk.library.features["lamp"].forms
        drawn = {form: bool(each["figure"]) for form, each in data["looks"]["lamp"]["forms"].items()}
        assert drawn == {form: bool(record.figure) for form, record in lamp.items()}


def test_what_a_marking_does_not_tell_stands_beside_what_it_tells(desk: Desk) -> None:
    markings = page_data(desk, "skerry")["markings"]
    assert markings["number-plate"]["notTold"] == "What was fitted to it afterwards."
    assert markings["number-plate"]["trait"] == "marking:number-plate"
    assert markings["arm-word"]["trait"] == ""


@pytest.mark.skipif(shutil.which("node") is None, reason="node is not installed")
def test_a_state_is_read_as_it_was_written() -> None:
    texts = [
        "",
        "m=skerry",
        "m=skerry&f.bulb=led&f.lamp=clamp,missing&c=hook,serial&k.arm-word=yes&k.plate=no&s=K%3F1%5B38%5D&kg=12.4&n=the+green+one",
        "m=a&f.z=1&f.a=2",
        "v=x,y&m=skerry&unknown=1",
        "m=skerry&f.lamp=&k.plate=maybe",
        "m=skerry&again=lamp,bulb,lamp,hook&f.lamp=clamp&f.bulb=led",
    ]
    code = """
    const page = require(process.argv[1]);
    const texts = JSON.parse(require("fs").readFileSync(0, "utf8"));
    process.stdout.write(JSON.stringify(texts.map(text => {
      const once = page.writeState(page.readState("#" + text));
      return [once, page.writeState(page.readState(once)), page.writeState(page.readState(text), ["p", "q"])];
    })));
    """
    done = subprocess.run(
        ["node", "-e", code, str(SCRIPT)], input=json.dumps(texts), capture_output=True, text=True, check=True
    )
    found = json.loads(done.stdout)
    assert [once for once, _, _ in found] == [
        texts[0], texts[1], texts[2], "m=a&f.a=2&f.z=1", "m=skerry", "m=skerry&k.plate=yes",
        "m=skerry&f.bulb=led&f.lamp=clamp&again=bulb,lamp",
    ]  # fmt: skip
    assert all(once == twice for once, twice, _ in found)
    assert found[1][2] == "m=skerry&v=p,q"

"""`mkdocs.yml`: each mistake is told before any other work, with its line and what would be right."""

from __future__ import annotations

from pathlib import Path

import pytest

from handwheel.cli.main import UNUSABLE, main
from handwheel.desk.new_shop import Answers, make_shop
from handwheel.desk.site_config import judge_config
from handwheel.reading.messages import Messages


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A new shop's folder, as the place where commands are run."""
    make_shop(tmp_path / "bench", Answers(name="Bench"))
    monkeypatch.chdir(tmp_path / "bench")
    return tmp_path / "bench"


def said_of(path: Path) -> list[tuple[str, str, str]]:
    """`line: what stands there first`, what is wrong, and what would be right."""
    messages = Messages()
    judge_config(path, messages)
    assert all(each.place.file == path.name and each.level == "error" for each in messages)
    return [(messages.line(each.place)[each.place.column - 1 :], each.what, each.right) for each in messages]


def test_a_new_shops_configuration_is_sound(shop: Path) -> None:
    """And so is that of the demonstration."""
    assert said_of(Path("mkdocs.yml")) == []
    root = Messages()
    judge_config(Path(__file__).parents[2] / "mkdocs.yml", root)
    assert list(root) == []


@pytest.mark.parametrize(
    ("old", "new", "stands", "what", "right"),
    [
        ("site_name", "site_nam", "site_nam:", "'site_nam' is no key of it", "did you mean 'site_name'?"),
        (
            "site_name",
            "site_author: me\n# ",
            "site_author",
            "'site_name' is missing",
            "a line such as 'site_name: Bench notes'",
        ),
        ("docs_dir", "docs_dirr", "docs_dirr:", "'docs_dirr' is no key of it", "did you mean 'docs_dir'?"),
        ("extra_css:", "extra_cs:", "extra_cs:", "'extra_cs' is no key of it", "did you mean 'extra_css'?"),
        ("material\n", "materiel\n", "name: materiel", "no theme is called 'materiel'", "did you mean 'material'?"),
        ("- search", "- searc", "searc", "no plugin is called 'searc'", "did you mean 'search'?"),
        ("- handwheel:", "- handweel:", "handweel:", "no plugin is called", "did you mean 'handwheel'?"),
        ("docs_dir: shop", "docs_dir: shp", "docs_dir:", "'docs_dir' names the folder 'shp'", "did you mean 'shop'?"),
        ("shop: shop", "shop: shp", "shop: shp", "'shop' names the folder 'shp'", "did you mean 'shop'?"),
        ("shop: shop", "shp: shop", "shp: shop", "'shp' is no key of it", "did you mean 'shop'?"),
        ("urls: false", "urls: maybe", "use_directory_urls", "has a value of the wrong kind", "false"),
        ("# site_url", "site_url: notes #", "site_url: notes", "The URL isn't valid", "a whole address, such as"),
        ("- toc:", "- tock:", "tock:", "no extension is called 'tock'", "did you mean 'toc'?"),
        ("title: On", "titel: On", "titel:", "the extension 'toc' has no option 'titel'", ""),
        (
            "  - handwheel:\n      shop: shop",
            "  # none",
            "plugins:",
            "the plugin 'handwheel' is not in it",
            "'- handwheel: {shop: shop}' under",
        ),
        ("  font: false", "  font: false\n  font: 1", "font: 1", "'font' stands twice", "one of the two"),
        ("theme:", "theme: {", "{", "'{' is not closed", "'}' at the end"),
        ("  palette:", "  palette: x:", ":", "a colon and a space inside a text", "the whole text in quotes"),
    ],
)
def test_one_mistake_one_message(shop: Path, old: str, new: str, stands: str, what: str, right: str) -> None:
    """At the place where it was made."""
    path = Path("mkdocs.yml")
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), "utf-8")
    ((at, told, wanted),) = said_of(path)
    assert at.startswith(stands) and what in told and wanted.startswith(right[:20]) and right in wanted


@pytest.mark.parametrize("data", [b"", b"- a\n", b"\xff\xfea", b"site_name: \x00"])
def test_what_is_no_configuration(shop: Path, data: bytes) -> None:
    """Empty, a list, another encoding, a control character."""
    Path("mkdocs.yml").write_bytes(data)
    assert said_of(Path("mkdocs.yml"))


@pytest.mark.parametrize("command", ["build", "publish www", "publish --no-place", "serve"])
def test_it_is_read_before_all_else(shop: Path, command: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Though the content cannot be read either: no stage of the work is begun."""
    Path("mkdocs.yml").write_text("site_nam: x\n", "utf-8")
    Path("shop/work.yaml").write_text("procedures: [", "utf-8")
    assert main(command.split()) == UNUSABLE
    said = capsys.readouterr().err
    assert "mkdocs.yml:1:1: error: 'site_nam' is no key of it" in said and "work.yaml" not in said
    assert not Path("site").exists() and not Path("www").exists()

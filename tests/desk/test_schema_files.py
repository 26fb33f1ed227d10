"""The schema as a file, and the first line of content files."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.cli.main import main
from handwheel.desk.schema_files import SCHEMA_FILE, stale, with_first_line, write_schema
from handwheel.reading.schema import schema
from written_small import ROOT, SHOP, files_in

LINE = "# yaml-language-server: $schema=content.schema.json"


def test_the_project_s_own_files_are_fresh() -> None:
    """To make them so: handwheel schema --write content demo_content."""
    assert [path for path, _ in stale([ROOT / "content", ROOT / "demo_content"])] == []


def test_it_is_written_once_and_named_by_a_relative_path(tmp_path: Path) -> None:
    (tmp_path / "one/deep").mkdir(parents=True)
    (tmp_path / "two").mkdir()
    (tmp_path / "one/deep/a.yaml").write_text(SHOP)
    (tmp_path / "two/b.yml").write_text("# yaml-language-server: $schema=elsewhere.json\r\nparts:\r\n", newline="")
    folders = [tmp_path / "one", tmp_path / "two"]
    assert len(write_schema(folders)) == 3
    assert (tmp_path / "one/deep/a.yaml").read_text() == f"# yaml-language-server: $schema=../{SCHEMA_FILE}\n{SHOP}"
    line = f"# yaml-language-server: $schema=../one/{SCHEMA_FILE}\r\n"
    assert (tmp_path / "two/b.yml").read_bytes() == f"{line}parts:\r\n".encode()
    assert json.loads((tmp_path / "one" / SCHEMA_FILE).read_text("utf-8")) == schema()
    before = files_in(tmp_path)
    assert write_schema(folders) == [] and files_in(tmp_path) == before


@given(text=st.text(max_size=80))
def test_all_else_in_a_file_stays(text: str) -> None:
    """Twice is once; without the line the text is what it was."""
    made = with_first_line(text, LINE)
    assert with_first_line(made, LINE) == made
    bom = text.startswith("\ufeff")
    assert made.removeprefix("\ufeff").startswith(LINE) and made.endswith(text[bom:])


def test_the_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["schema"]) == 0
    assert json.loads(capsys.readouterr().out) == schema()
    assert main(["schema", "--write", str(tmp_path)]) == 0
    assert (tmp_path / SCHEMA_FILE).is_file()
    assert main(["schema", "--write", str(tmp_path / "nowhere")]) == 2
    assert "is no folder" in capsys.readouterr().err

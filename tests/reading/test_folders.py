"""Layers: the same files in the same order from any disk, and no way out of the folder."""

from __future__ import annotations

import os
import random
import sys
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handwheel.reading.folders import inside, layers
from handwheel.reading.messages import Messages

NAMES = ["lamp.yaml", "a/hook.yml", "a/b/Work.YAML", "a-b.yaml", "a.b/c.yaml", "ä.yaml", "Z.yaml"]


def made(root: Path, names: list[str]) -> Path:
    for name in names:
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        (root / name).write_text("")
    return root


def told(messages: Messages) -> dict[str, str]:
    return {message.place.file: message.code for message in messages}


@pytest.mark.parametrize("seed", range(4))
def test_order_of_creation_does_not_matter(tmp_path: Path, seed: int) -> None:
    shuffled = random.Random(seed).sample(NAMES, len(NAMES))
    (layer,) = layers([made(tmp_path / "shop", shuffled)], Messages())
    assert [file.relative for file in layer.files] == sorted(NAMES)
    assert [file.shown for file in layer.files] == [f"shop/{name}" for name in sorted(NAMES)]


def test_order_of_the_disk_does_not_matter(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    root = made(tmp_path / "shop", NAMES)
    before = layers([root], Messages())
    stock = os.scandir

    class Reversed:
        def __init__(self, folder: Path) -> None:
            with stock(folder) as entries:
                self.entries = sorted(entries, key=lambda entry: entry.name, reverse=True)

        def __enter__(self) -> list[os.DirEntry[str]]:
            return self.entries

        def __exit__(self, *_: object) -> None:
            return

    monkeypatch.setattr("handwheel.reading.folders.os.scandir", Reversed)
    assert layers([root], Messages()) == before


def test_hidden_and_other_files_are_passed_over(tmp_path: Path) -> None:
    made(tmp_path, ["a.yaml", ".b.yaml", ".git/c.yaml", "d.txt", "e.yaml.bak", "yaml", "f/.g.yml"])
    messages = Messages()
    (layer,) = layers([tmp_path], messages)
    assert [file.relative for file in layer.files] == ["a.yaml"] and not messages.all()


def test_layers_keep_their_order_and_get_names_of_their_own(tmp_path: Path) -> None:
    folders = [made(tmp_path / name, ["x.yaml"]) for name in ("z/content", "b/content", "a")]
    found = layers(folders, Messages())
    assert [(layer.name, layer.root) for layer in found] == list(
        zip(["content", "content~2", "a"], folders, strict=True)
    )
    assert [file.shown for layer in found for file in layer.files] == ["content/x.yaml", "content~2/x.yaml", "a/x.yaml"]


def test_missing_folder_and_file_for_a_folder(tmp_path: Path) -> None:
    made(tmp_path, ["file"])
    messages = Messages()
    found = layers([tmp_path / "gone", tmp_path / "file", Path("nul\0")], messages)
    assert [layer.files for layer in found] == [(), (), ()]
    assert told(messages) == {"gone": "missing-folder", "file": "missing-folder", "nul\\x00": "missing-folder"}


@pytest.mark.parametrize(("one", "other"), [("a", "a"), ("a", "a/b"), ("a/b", "a"), ("a", "a/../a")])
def test_folder_given_twice_or_within_another(tmp_path: Path, one: str, other: str) -> None:
    made(tmp_path, ["a/b/x.yaml"])
    messages = Messages()
    layers([tmp_path / one, tmp_path / other], messages)
    assert [message.code for message in messages] == ["folder-in-folder"]


def test_links(tmp_path: Path) -> None:
    made(tmp_path, ["out/secret.yaml", "shop/a.yaml", "shop/sub/b.yaml"])
    shop = tmp_path / "shop"
    (shop / "out.yaml").symlink_to(tmp_path / "out/secret.yaml")
    (shop / "out-folder").symlink_to(tmp_path / "out")
    (shop / "up").symlink_to("..")
    (shop / "same.yaml").symlink_to("a.yaml")
    (shop / "again").symlink_to("sub")
    (shop / "nothing.yaml").symlink_to("gone.yaml")
    (shop / "round.yaml").symlink_to("round.yaml")
    messages = Messages()
    (layer,) = layers([shop], messages)
    assert [file.relative for file in layer.files] == ["a.yaml", "sub/b.yaml"]
    assert told(messages) == {
        "shop/out.yaml": "link-leads-out",
        "shop/out-folder": "link-leads-out",
        "shop/up": "link-leads-out",
        "shop/same.yaml": "link-inside",
        "shop/again": "link-inside",
        "shop/nothing.yaml": "broken-link",
        "shop/round.yaml": "link-leads-out",
    }
    assert {m.place.file for m in messages if m.level == "warning"} == {"shop/same.yaml", "shop/again"}


def test_root_may_be_a_link(tmp_path: Path) -> None:
    made(tmp_path, ["shop/a.yaml"])
    (tmp_path / "link").symlink_to("shop")
    messages = Messages()
    (layer,) = layers([tmp_path / "link"], messages)
    assert [file.relative for file in layer.files] == ["a.yaml"] and not messages.all()


def test_what_has_a_files_name_and_is_none(tmp_path: Path) -> None:
    made(tmp_path, ["shop/folder.yaml/x.yaml"])
    os.mkfifo(tmp_path / "shop/pipe.yml")
    messages = Messages()
    (layer,) = layers([tmp_path / "shop"], messages)
    assert layer.files == ()
    assert told(messages) == {"shop/folder.yaml": "folder-named-as-file", "shop/pipe.yml": "not-a-file"}


def test_folder_that_may_not_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    made(tmp_path, ["shop/a.yaml", "shop/shut/b.yaml"])
    stock = os.scandir

    def refusing(folder: Path) -> object:
        if folder.name == "shut":
            raise PermissionError(13, "Permission denied")
        return stock(folder)

    monkeypatch.setattr("handwheel.reading.folders.os.scandir", refusing)
    messages = Messages()
    (layer,) = layers([tmp_path / "shop"], messages)
    assert [file.relative for file in layer.files] == ["a.yaml"]
    assert told(messages) == {"shop/shut": "unreadable-folder"}


def test_odd_names_are_shown_as_escapes(tmp_path: Path) -> None:
    made(tmp_path, ["shop/a\n.yaml", "shop/b\u202e.yaml", "shop/ö.yaml"])
    (tmp_path / os.fsdecode(b"shop/c\xff.yaml")).write_text("")
    (layer,) = layers([tmp_path / "shop"], Messages())
    shown = {file.shown for file in layer.files}
    assert shown == {"shop/a\\n.yaml", "shop/b\\u202e.yaml", "shop/ö.yaml", "shop/c\\udcff.yaml"}
    assert all(file.path.exists() for file in layer.files)


def test_very_deep_folders(tmp_path: Path) -> None:
    """More levels than Python may call functions within each other."""
    levels = sys.getrecursionlimit() + 50
    folders = [f"{tmp_path}{'/d' * depth}" for depth in range(1, levels + 1)]
    try:
        for folder in folders:
            Path(folder).mkdir()
        Path(folders[-1], "x.yaml").write_text("")
        messages = Messages()
        (layer,) = layers([tmp_path], messages)
        assert [file.relative for file in layer.files] == ["d/" * levels + "x.yaml"] and not messages.all()
    finally:  # the stock remover calls itself once a level, and would fail for every later run of the tests
        Path(folders[-1], "x.yaml").unlink(missing_ok=True)
        for folder in reversed(folders):
            Path(folder).rmdir()


# Files that content names


@pytest.mark.parametrize("name", ["a.png", "pictures/lamp.svg", "a b/ü.png", "x/./y.png", "..a/b..png"])
def test_names_that_stay_inside(tmp_path: Path, name: str) -> None:
    assert inside(tmp_path, name) == tmp_path / name


@pytest.mark.parametrize(
    "name",
    [
        "",
        ".",
        "/etc/passwd",
        "//host/share",
        "..",
        "../x.png",
        "a/../../x.png",
        "a/../b.png",
        "C:/x.png",
        "c:x.png",
        "a\\b.png",
        "..\\x.png",
        "\\\\host\\x",
        "a\0.png",
        "a\n.png",
        "x.png:stream",
        "\ud800.png",
    ],
)
def test_names_that_could_lead_out(tmp_path: Path, name: str) -> None:
    assert inside(tmp_path, name) is None


def test_links_that_lead_out_are_refused(tmp_path: Path) -> None:
    made(tmp_path, ["out/x.png", "shop/y.png"])
    shop = tmp_path / "shop"
    (shop / "x.png").symlink_to(tmp_path / "out/x.png")
    (shop / "out").symlink_to(tmp_path / "out")
    (shop / "round").symlink_to("round")
    (shop / "z.png").symlink_to("y.png")
    assert [inside(shop, name) for name in ("x.png", "out/x.png", "round/x.png")] == [None] * 3
    assert inside(shop, "z.png") == shop / "z.png"


@settings(deadline=5_000)
@given(
    st.lists(st.sampled_from(["..", ".", "/", "\\", "a", "C:", "\0", "~", " ", "%2e%2e", "ü"]), max_size=8).map("".join)
)
def test_no_name_leads_out(name: str) -> None:
    root = Path("/nowhere/root")
    path = inside(root, name)
    assert path is None or os.path.normpath(path).startswith("/nowhere/root/")

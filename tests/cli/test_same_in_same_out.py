"""Same in, same out: a site is identical to the byte, compressed files included, wherever and whenever it is built."""

from __future__ import annotations

import gzip
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from PIL import Image

from handwheel.desk.new_shop import Answers, make_shop
from written_small import SHOP, files_in

BACKWARD = '''\
"""Every folder is listed in another order than the system gives."""
import os

listdir, scandir = os.listdir, os.scandir


class Backward:
    def __init__(self, *given):
        with scandir(*given) as found:
            self.found = iter(sorted(found, key=lambda each: each.name[::-1], reverse=True))

    def __iter__(self):
        return self.found

    def __next__(self):
        return next(self.found)

    def __enter__(self):
        return self

    def __exit__(self, *_):
        pass

    def close(self):
        pass


os.listdir = lambda *given: sorted(listdir(*given), key=lambda each: each[::-1], reverse=True)
os.scandir = Backward
'''
DAY = {"GIT_AUTHOR_DATE": "2026-03-11T10:00:00+0100", "GIT_COMMITTER_DATE": "2026-03-11T10:00:00+0100"}
HERE = {"TZ": "UTC", "LC_ALL": "C.UTF-8", "PYTHONHASHSEED": "1"}
THERE = {"TZ": "Pacific/Kiritimati", "LC_ALL": "POSIX", "PYTHONHASHSEED": "4242", "SOURCE_DATE_EPOCH": "1999999999"}
PARTS = {
    "figures.yaml": "figures:\n  front: {file: a/front.svg, alt: A lamp.}\n  side: {file: a/side.png, alt: A side.}\n",
    "a/b.yaml": "tools:\n  own-one: {name: one}\n",
    "z.yaml": "tools:\n  own-two: {name: two}\n",
}


def shop(folder: Path, backward: bool) -> Path:
    """A shop with a picture, an address and a history; its files are made in the one order or the other."""
    make_shop(folder, Answers(name="Bench"))
    for name in ("machines.yaml", "work.yaml"):
        (folder / "shop" / name).unlink()
    config = folder / "mkdocs.yml"
    config.write_text(config.read_text("utf-8").replace("# site_url", "site_url"), "utf-8")
    for name in sorted(PARTS, reverse=backward):
        (folder / "shop" / name).parent.mkdir(exist_ok=True)
        (folder / "shop" / name).write_text(PARTS[name], "utf-8")
    (folder / "shop/small.yaml").write_text(
        SHOP.replace("head: {name: head, root: true", "head: {name: head, root: true, figure: side"), "utf-8"
    )
    drawing = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 4"><path d="M0 0h4"/></svg>'
    (folder / "shop/a/front.svg").write_text(drawing, "utf-8")
    Image.new("RGB", (40, 30), (200, 10, 10)).save(folder / "shop/a/side.png")
    person = ["-c", "user.name=x", "-c", "user.email=x@example.org"]
    for command in (["init", "-q"], ["add", "."], [*person, "commit", "-q", "-m", "x"]):
        subprocess.run(["git", *command], cwd=folder, check=True, env=os.environ | DAY)
    return folder


def built(folder: Path, setting: dict[str, str], path: str = "") -> dict[str, bytes]:
    """All files of the site, built in a process of its own in this setting."""
    env = {key: value for key, value in os.environ.items() if key not in (*HERE, *THERE, "LANG", "LANGUAGE")}
    env |= setting | {"PYTHONPATH": path, "NO_MKDOCS_2_WARNING": "1"}
    command = [sys.executable, "-m", "handwheel", "build"]
    done = subprocess.run(command, cwd=folder, env=env, capture_output=True, text=True, timeout=300, check=False)
    assert done.returncode == 0, done.stderr
    return files_in(folder / "site")


@pytest.mark.skipif(not shutil.which("git"), reason="no git here")
def test_two_builds_are_identical_to_the_byte(tmp_path: Path) -> None:
    """Under another time zone, locale, hash seed, order of files, day of building and folder."""
    (tmp_path / "hook").mkdir()
    (tmp_path / "hook/sitecustomize.py").write_text(BACKWARD, "utf-8")
    one = built(shop(tmp_path / "bench", backward=False), HERE)
    other = built(shop(tmp_path / "quite another/place/for it", backward=True), THERE, str(tmp_path / "hook"))
    assert one.keys() == other.keys() and len(one) > 100
    assert [name for name, content in one.items() if other[name] != content] == []
    days = set(re.findall(rb"<lastmod>(.*?)</lastmod>", gzip.decompress(one["sitemap.xml.gz"])))
    assert days and all(re.fullmatch(rb"20\d\d-\d\d-\d\d", day) for day in days)
    assert "figures/side.png" in one and b"Last changed" in one["index.html"]

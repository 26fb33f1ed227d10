"""Pictures of a shop: nothing in them but what is seen, no wider than a page, and refused in words otherwise.

Exif 2.32 (CIPA DC-008, ISO 12234-1): GPS info IFD in tag 0x8825, orientation in tag 0x0112.
"""

from __future__ import annotations

import io
import shutil
import struct
import zlib
from pathlib import Path

import pytest
from PIL import Image, PngImagePlugin

from handwheel.checks.rules import figure_unusable
from handwheel.pages.build import make_site
from handwheel.reading.load import load
from handwheel.reading.pictures import WIDEST, PictureError, made_anew

PLANTED = b"PLANTED-PLACE"


def drawn(width: int = 40, height: int = 20, mode: str = "RGB") -> Image.Image:
    image = Image.new("RGB", (width, height), "white")
    image.paste((200, 30, 30), (0, 0, width // 2, height // 2))
    return image.convert(mode)


def exif(orientation: int = 1) -> Image.Exif:
    made = Image.Exif()
    made[0x0112] = orientation
    made[0x010E] = PLANTED.decode()
    made.get_ifd(0x8825).update({1: "N", 2: (47.0, 22.0, 1.5), 3: "E", 4: (8.0, 32.0, 2.5), 29: PLANTED.decode()})
    return made


def saved(path: Path, image: Image.Image, **given: object) -> Path:
    info = PngImagePlugin.PngInfo()
    info.add_text("Comment", PLANTED.decode())
    if path.suffix == ".png":
        given["pnginfo"] = info
    if path.suffix == ".jpg":
        given["comment"] = PLANTED
    image.save(path, exif=exif(), xmp=b"<x>" + PLANTED + b"</x>", **given)
    return path


@pytest.mark.parametrize("ending", [".jpg", ".png", ".webp"])
def test_where_it_was_taken_is_gone(tmp_path: Path, ending: str) -> None:
    path = saved(tmp_path / f"lamp{ending}", drawn())
    with Image.open(path) as before:
        assert before.getexif().get_ifd(0x8825)
    assert PLANTED in path.read_bytes()
    made = made_anew(path).content
    with Image.open(io.BytesIO(made)) as after:
        assert not after.getexif() and not after.getexif().get_ifd(0x8825)
        assert not {"exif", "xmp", "comment", "Comment", "icc_profile"} & set(after.info)
        assert after.convert("RGB").getpixel((2, 2))[0] > 150
    assert PLANTED not in made


def test_a_picture_in_png_loses_no_point(tmp_path: Path) -> None:
    for mode in ("1", "L", "LA", "P", "RGB", "RGBA"):
        path = saved(tmp_path / f"{mode}.png", drawn(mode=mode))
        with Image.open(path) as before, Image.open(io.BytesIO(made_anew(path).content)) as after:
            assert before.convert("RGBA").tobytes() == after.convert("RGBA").tobytes(), mode


def test_it_is_turned_upright(tmp_path: Path) -> None:
    """Orientation 6: the top of the scene is at the right side of the stored rows."""
    path = tmp_path / "turned.jpg"
    drawn(40, 20).save(path, exif=exif(6))
    made = made_anew(path)
    assert (made.width, made.height) == (20, 40)


def test_it_is_no_wider_than_a_page_shows(tmp_path: Path) -> None:
    path = saved(tmp_path / "wide.jpg", drawn(4000, 1000))
    made = made_anew(path)
    assert (made.width, made.height) == (WIDEST, WIDEST // 4)
    with Image.open(io.BytesIO(made.content)) as after:
        assert after.size == (made.width, made.height)


def test_the_same_file_gives_the_same_bytes(tmp_path: Path) -> None:
    for ending in (".jpg", ".png", ".webp"):
        first = saved(tmp_path / f"first{ending}", drawn(2000, 30))
        second = Path(shutil.copy(first, tmp_path / f"second{ending}"))
        assert made_anew(first).content == made_anew(second).content


def bomb(side: int) -> bytes:
    """A PNG that claims to be side by side points, in a few bytes (PNG, W3C Recommendation, third edition, 11.2)."""

    def chunk(name: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    head = struct.pack(">IIBBBBB", side, side, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"\0" * 100)) + chunk(b"IEND", b"")
    )


def bad_files() -> dict[str, tuple[str, bytes]]:
    whole = io.BytesIO()
    drawn(300, 300).save(whole, "PNG")
    gif = io.BytesIO()
    drawn().save(gif, "GIF")
    jpeg = io.BytesIO()
    drawn().save(jpeg, "JPEG")
    return {
        "empty": ("a.png", b""),
        "text": ("a.jpg", b"<html>no picture</html>"),
        "cut short": ("a.png", whole.getvalue()[:-200]),
        "claims much": ("a.png", bomb(10_000)),
        "claims far too much": ("a.png", bomb(60_000)),
        "another format": ("a.png", gif.getvalue()),
        "under a wrong name": ("a.png", jpeg.getvalue()),
        "svg under a picture's name": ("a.png", b"<svg xmlns='http://www.w3.org/2000/svg'><script/></svg>"),
        "huge": ("a.jpg", b"\xff" * 20_000_001),
        "drawing with a script": ("a.svg", b"<svg xmlns='http://www.w3.org/2000/svg'><script>1</script></svg>"),
        "drawing that is not whole": ("a.svg", b"<svg><g></svg>"),
        "drawing in another encoding": ("a.svg", "<svg><text>\u00e9</text></svg>".encode("latin-1")),
        "huge drawing": ("a.svg", b"<svg>" + b" " * 200_001 + b"</svg>"),
        "another ending": ("a.gif", gif.getvalue()),
    }


@pytest.mark.parametrize("name", bad_files())
def test_what_cannot_be_shown_is_told_with_its_place(tmp_path: Path, name: str) -> None:
    file, data = bad_files()[name]
    (tmp_path / file).write_bytes(data)
    (tmp_path / "shop.yaml").write_text(f"figures:\n  front: {{alt: A lamp on a bracket., file: {file}}}\n", "utf-8")
    (found,) = figure_unusable.find(load([tmp_path]))
    assert found.place.line == 2 and f"'{file}' cannot be shown" in found.what


def test_words_for_those_who_do_not_see_it_are_wanted(tmp_path: Path) -> None:
    (tmp_path / "shop.yaml").write_text("figures: {front: {file: a.png}}\n", "utf-8")
    with pytest.raises(Exception, match="'alt:' is missing"):
        load([tmp_path])


def test_a_picture_that_is_broken_by_itself_never_reaches_the_site(tmp_path: Path) -> None:
    path = tmp_path / "a.png"
    path.write_bytes(bomb(9_000))
    with pytest.raises(PictureError, match=r"9,000 by 9,000"):
        made_anew(path)


def test_it_stands_in_the_site_under_its_id_with_its_words(tmp_path: Path) -> None:
    (tmp_path / "shop.yaml").write_text(
        "families: {plover: {name: Plover}}\n"
        'figures: {front: {file: "My Lamp.png", alt: A lamp on a bracket "here"., caption: Lamp}}\n'
        "parts: {head: {root: true, figure: front}}\n",
        "utf-8",
    )
    saved(tmp_path / "My Lamp.png", drawn())
    site = make_site([tmp_path])
    assert [each.content for each in site.assets if each.path == "figures/front.png"] == [
        made_anew(tmp_path / "My Lamp.png").content
    ]
    (page,) = (each.html for each in site.pages if each.path == "parts/head.html")
    assert '<img src="../figures/front.png" alt="A lamp on a bracket &#34;here&#34;." width="40" height="20"' in page

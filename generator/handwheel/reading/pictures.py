"""Pictures that a shop adds: judged before they are read, then made anew with nothing but what is seen.

A picture out of a camera carries where and when it was taken and on what (Exif 2.32, CIPA DC-008: GPS IFD, tag
0x8825). The new one is made of its pixels alone, turned upright, and no wider than a page shows.
"""

from __future__ import annotations

import io
import warnings
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PIL import Image

ENDINGS = {".png": "PNG", ".jpg": "JPEG", ".jpeg": "JPEG", ".webp": "WEBP"}
MOST_BYTES = 20_000_000
MOST_PIXELS = 50_000_000
"""More than any hand-held camera's; a small file can claim far more and fill the memory."""
WIDEST = 1600
_MODES = {"PNG": ("1", "L", "LA", "P", "RGB", "RGBA"), "JPEG": ("L", "RGB"), "WEBP": ("RGB", "RGBA")}


class PictureError(ValueError):
    """The file cannot be used as a picture; the message says why."""


@dataclass(frozen=True)
class Picture:
    """A picture as it goes into the site."""

    content: bytes
    width: int
    height: int


def is_picture(path: Path) -> bool:
    """Whether a file's name is that of a picture of pixels."""
    return path.suffix.lower() in ENDINGS


def made_anew(path: Path) -> Picture:
    """The picture, sized and stripped; the same bytes for the same file.

    Raises:
        PictureError: the file is no picture, is broken, or is too big.
    """
    try:
        stat = path.stat()
    except OSError as error:
        raise PictureError(f"it cannot be read: {error.strerror}") from None
    return _made(path, stat.st_mtime_ns, stat.st_size)


@lru_cache(maxsize=256)
def _made(path: Path, _: int, size: int) -> Picture:
    if size > MOST_BYTES:
        raise PictureError(f"it has {size:,} bytes, and no more than {MOST_BYTES:,} are read")
    from PIL import Image, UnidentifiedImageError  # noqa: PLC0415 - takes long, and few shops have such pictures

    wanted = ENDINGS[path.suffix.lower()]
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            with Image.open(path, formats=(*_MODES,)) as opened:
                return _from(opened, wanted)
    except PictureError:
        raise
    except UnidentifiedImageError:
        raise PictureError("it is no picture in PNG, JPEG or WebP") from None
    except Exception as error:  # decoders raise whatever they please for broken files
        raise PictureError(f"it is broken: {str(error).lower() or type(error).__name__}") from None


def _from(opened: Image.Image, wanted: str) -> Picture:
    if opened.format != wanted:
        raise PictureError(f"its name says {wanted}, and it is {opened.format}")
    if opened.width * opened.height > MOST_PIXELS:
        raise PictureError(
            f"it has {opened.width:,} by {opened.height:,} points; no more than {MOST_PIXELS:,} are read"
        )
    from PIL import ImageOps  # noqa: PLC0415 - as above

    opened.load()
    upright = ImageOps.exif_transpose(opened)
    return _written(_sized(_plain(upright, wanted)), wanted)


def _plain(image: Image.Image, wanted: str) -> Image.Image:
    """Pixels in a mode that the format has; a profile of colours is left out with all else that is not seen."""
    if image.mode == "P" and wanted == "PNG":
        image = image.convert("RGBA" if "transparency" in image.info else "RGB")
    if image.mode not in _MODES[wanted]:
        image = image.convert("RGBA" if image.has_transparency_data and wanted != "JPEG" else "RGB")
    from PIL import Image  # noqa: PLC0415 - as above

    bare = Image.new(image.mode, image.size)
    bare.paste(image)
    return bare


def _sized(image: Image.Image) -> Image.Image:
    if image.width <= WIDEST:
        return image
    from PIL import Image  # noqa: PLC0415 - as above

    height = max(1, round(image.height * WIDEST / image.width))
    return image.convert("L" if image.mode == "1" else image.mode).resize((WIDEST, height), Image.Resampling.LANCZOS)


def _written(image: Image.Image, wanted: str) -> Picture:
    out = io.BytesIO()
    match wanted:
        case "PNG":
            image.save(out, "PNG", compress_level=9)
        case "JPEG":
            image.save(out, "JPEG", quality=85, optimize=True, progressive=False)
        case _:
            image.save(out, "WEBP", quality=85, method=4, exact=True)
    return Picture(out.getvalue(), image.width, image.height)

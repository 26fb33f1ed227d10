"""Line drawings: put into the page itself, so that nothing but lines and words may be in them."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree

MOST_BYTES = 200_000
_ALLOWED = frozenset(
    ("svg", "g", "path", "line", "polyline", "polygon", "circle", "ellipse", "rect", "text", "tspan", "title", "desc")
)
_HARMFUL = re.compile(r"[\s/'\"]on\w+\s*=|javascript:|href\s*=\s*['\"](?!#)|url\(|<!|&#|style\s*=", re.IGNORECASE)


def is_plain_drawing(text: str) -> bool:
    """Whether a drawing holds lines and words only: no script, no style, no handler, no address; and is whole."""
    names = re.findall(r"<\s*/?\s*([A-Za-z][\w:-]*)", text)
    if "<svg" not in text or any(name not in _ALLOWED for name in names) or _HARMFUL.search(text):
        return False
    try:  # nothing declares an entity, since `<!` is refused before
        return ElementTree.fromstring(text).tag.rpartition("}")[2] == "svg"
    except ElementTree.ParseError:
        return False


def drawing_of(path: Path) -> str | None:
    """The drawing in a file, from its `<svg`; None where it cannot be put into a page."""
    if path.stat().st_size > MOST_BYTES:
        return None
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except (OSError, UnicodeDecodeError):
        return None
    return text[text.index("<svg") :].strip() if is_plain_drawing(text) else None

"""A content security policy for a finished page: nothing runs or loads but the site's own files.

Published source: Content Security Policy Level 3 (W3C). It stands in a `meta` element, since a folder of files sets no
header; there the directives `frame-ancestors`, `sandbox` and `report-uri` have no effect, so they are left out.
"""

from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Iterable
from hashlib import sha256

_INLINE = re.compile(r"<script(?![^>]*\b(?:src|type)\s*=)[^>]*>(.*?)</script\s*>", re.DOTALL | re.IGNORECASE)
_CHARSET = re.compile(r"<meta\s+charset=[^>]*>", re.IGNORECASE)
_POLICY = (
    "default-src 'none'",
    "style-src 'self'",
    "img-src 'self' data:",  # the theme's style sheet holds its icons
    "font-src 'self'",
    "media-src 'self'",
    "connect-src 'self'",
    "worker-src 'self'",
    "base-uri 'none'",
    "form-action 'none'",
)


def policy(inline: Iterable[str] = ()) -> str:
    """The policy that lets these inline scripts run, to the letter, and no other.

    >>> policy(["x=1"]).partition("; ")[0]
    "script-src 'self' 'sha256-HyBrEcI+KMwlDe1/wAmNOCOoRnpUNA8axOU1y4VEST8='"
    """
    hashes = (f" 'sha256-{b64encode(sha256(each.encode()).digest()).decode()}'" for each in dict.fromkeys(inline))
    return "; ".join((f"script-src 'self'{''.join(hashes)}", *_POLICY))


def inline_scripts(frame: str) -> list[str]:
    """The scripts that a frame carries in itself; data blocks, which never run, are none."""
    return _INLINE.findall(frame)


def with_policy(page: str, content: str = "") -> str:
    """The page with a policy in its head. Scripts of the frame may run; one in `content`, our part, never may."""
    frame = page.replace(content, "") if content else page
    element = f'<meta http-equiv="Content-Security-Policy" content="{policy(inline_scripts(frame))}">'
    return _CHARSET.sub(lambda found: f"{found[0]}{element}", page, count=1)

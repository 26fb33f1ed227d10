"""Links to other hosts: asked for on request only, with patience, and remembered for some days."""

from __future__ import annotations

import json
import time
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urldefrag

import requests

from handwheel.desk.site_links import BadLink, BuiltSite, is_outside
from handwheel.desk.whole_files import write_whole
from handwheel.reading.messages import Messages
from handwheel.reading.nodes import read_text_as_nodes
from handwheel.reading.plain import plain
from handwheel.reading.reporters import as_text
from handwheel.records.errors import HandwheelError

_DAY = 86400.0
_FINE = "fine"
_TOO_MANY, _NO_HEAD = 429, (403, 405, 501)
_WRONG, _SERVER_WRONG = 400, 500


@dataclass(frozen=True)
class Outside:
    """How to ask."""

    cache: Path | None = None
    """Where answers are remembered; only good ones are."""
    days: float = 7.0
    timeout: float = 20.0
    tries: int = 3
    pause: float = 2.0
    """Seconds before the second try; doubled before each further one."""
    accepted: Mapping[str, str] = field(default_factory=dict)
    """Address -> why it is accepted that it does not answer."""


@dataclass(frozen=True)
class OutsideAnswer:
    """What was found."""

    lines: tuple[str, ...]
    bad: tuple[BadLink, ...]


def accepted_in(file: Path) -> dict[str, str]:
    """The list of accepted failures: a YAML mapping, address -> reason.

    Raises:
        HandwheelError: it is not such a list, or a reason is missing.
    """
    messages = Messages()
    root = read_text_as_nodes(file.read_text("utf-8"), file.name, messages)
    if len(messages):
        raise HandwheelError(as_text(messages))
    read = {} if root is None else plain(root)
    if not isinstance(read, dict):
        raise HandwheelError(f"{file}: a list of 'address: reason' is meant")
    for address, why in read.items():
        if not isinstance(why, str) or not why.strip():
            raise HandwheelError(f"{file}: no reason is given why '{address}' is accepted")
    return {str(address): why for address, why in read.items()}


def outside_links(site: BuiltSite, how: Outside, sources: Mapping[str, str]) -> OutsideAnswer:
    """Ask for every address once, in order; what is accepted is told with its reason."""
    links = [each for each in site.links if is_outside(each.target)]
    addresses = dict.fromkeys(sorted(urldefrag(each.target).url for each in links))
    known = _remembered(how)
    told = {each: _FINE if each in known else _asked(each, how) for each in addresses}
    _remember(how, known | {each: time.time() for each, what in told.items() if what == _FINE and each not in known})
    wrong = [(each, told[urldefrag(each.target).url]) for each in links]
    failed = {each for each, what in told.items() if what != _FINE}
    bad = tuple(
        sorted(
            {
                BadLink(each.page, each.line, each.target, what, sources.get(each.page, ""), "outside")
                for each, what in wrong
                if what != _FINE and urldefrag(each.target).url not in how.accepted
            }
        )
    )
    lines = [f"{len(told)} addresses, {len(failed)} do not answer, {len(set(told) & known.keys())} answered before"]
    lines += [f"accepted: {each}: {told[each]}: {how.accepted[each]}" for each in sorted(failed & how.accepted.keys())]
    lines += [f"accepted for nothing: {each}" for each in how.accepted if each not in failed]
    return OutsideAnswer((*lines, *(each.sentence for each in bad)), bad)


def _asked(address: str, how: Outside) -> str:
    """What is wrong with an address after all tries; `fine` where it answers."""
    what = ""
    for number in range(max(how.tries, 1)):
        if number:
            time.sleep(how.pause * 2 ** (number - 1))
        what, final = _once(f"https:{address}" if address.startswith("//") else address, how.timeout)
        if final:
            break
    return what


def _once(address: str, timeout: float) -> tuple[str, bool]:
    """What one request says, and whether asking again cannot change it."""
    try:
        status = requests.head(address, timeout=timeout, allow_redirects=True).status_code
        if status in _NO_HEAD:
            with requests.get(address, timeout=timeout, stream=True) as answer:
                status = answer.status_code
    except requests.RequestException as error:
        return type(error).__name__, False
    if status < _WRONG:
        return _FINE, True
    return f"answers {status}", status < _SERVER_WRONG and status != _TOO_MANY


def _remembered(how: Outside) -> dict[str, float]:
    """Addresses that answered not long ago; a cache that cannot be read is none."""
    try:
        read = json.loads(how.cache.read_text("utf-8")) if how.cache else {}
        fresh = time.time() - how.days * _DAY
        return {str(each): float(when) for each, when in read.items() if float(when) > fresh}
    except (OSError, ValueError, AttributeError, TypeError):
        return {}


def _remember(how: Outside, known: Mapping[str, float]) -> None:
    if how.cache:
        how.cache.parent.mkdir(parents=True, exist_ok=True)
        write_whole(how.cache, json.dumps(known, indent=1, sort_keys=True) + "\n")

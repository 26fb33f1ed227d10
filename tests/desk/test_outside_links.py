"""Links to other hosts, against a server of our own: patience, the cache with its age, what is accepted and why."""

from __future__ import annotations

import json
import threading
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest

from handwheel.desk.outside_links import Outside, accepted_in, outside_links
from handwheel.desk.site_links import BuiltSite
from handwheel.records.errors import HandwheelError


@dataclass
class Host:
    """A host that answers as its addresses say."""

    address: str
    asked: Counter[str] = field(default_factory=Counter)


@pytest.fixture
def host() -> Iterator[Host]:
    """`/ok`, `/404`, `/flaky` (fine at the second try), `/no-head` (answers GET only), `/slow` (never in time)."""

    class Handler(BaseHTTPRequestHandler):
        def do_HEAD(self) -> None:
            made.asked[f"{self.command} {self.path}"] += 1
            flaky = 503 if made.asked[f"{self.command} {self.path}"] < 2 else 200
            if self.path == "/slow":
                time.sleep(1)
            no_head = 405 if self.command == "HEAD" else 200
            self.send_response({"/404": 404, "/flaky": flaky, "/no-head": no_head}.get(self.path, 200))
            self.send_header("Content-Length", "0")
            self.end_headers()

        do_GET = do_HEAD  # noqa: N815 - the base class calls it so

        def log_message(self, *_: object) -> None:
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    made = Host(f"http://127.0.0.1:{server.server_port}")
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield made
    server.shutdown()
    server.server_close()


def site(folder: Path, *addresses: str) -> BuiltSite:
    """One page with links to the addresses."""
    (folder / "index.html").write_text("\n".join(f'<a href="{each}">x</a>' for each in addresses))
    return BuiltSite(folder)


def how(**given: object) -> Outside:
    """Not too patient, so that the tests end."""
    return Outside(**({"timeout": 0.4, "tries": 2, "pause": 0.01} | given))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("path", "what"),
    [("ok", ""), ("flaky", ""), ("no-head", ""), ("ok#part", ""), ("404", "answers 404"), ("slow", "ReadTimeout")],
)
def test_answers(tmp_path: Path, host: Host, path: str, what: str) -> None:
    """Fine, fine at last, fine when asked otherwise, or not."""
    answer = outside_links(site(tmp_path, f"{host.address}/{path}"), how(), {"index.html": "shop.yaml:7"})
    assert [each.what for each in answer.bad] == ([what] if what else [])
    assert all(each.source == "shop.yaml:7" and each.line == 1 for each in answer.bad)


def test_a_missing_page_is_asked_for_once(tmp_path: Path, host: Host) -> None:
    """Asking again cannot change it; each address is asked for once however often it is named."""
    outside_links(site(tmp_path, *[f"{host.address}/404#{each}" for each in range(3)]), how(tries=5), {})
    assert host.asked == {"HEAD /404": 1}


def test_cache_holds_good_answers_for_some_days(tmp_path: Path, host: Host) -> None:
    """A good one is not asked for again until it is old; a bad one always is."""
    made = site(tmp_path, f"{host.address}/ok", f"{host.address}/404")
    asking = how(cache=tmp_path / "cache.json", days=2)
    outside_links(made, asking, {})
    outside_links(made, asking, {})
    assert host.asked == {"HEAD /ok": 1, "HEAD /404": 2}
    assert asking.cache
    old = {each: when - 3 * 86400 for each, when in json.loads(asking.cache.read_text()).items()}
    asking.cache.write_text(json.dumps(old))
    outside_links(made, asking, {})
    assert host.asked["HEAD /ok"] == 2
    asking.cache.write_text("damaged")
    assert len(outside_links(made, asking, {}).bad) == 1 and host.asked["HEAD /ok"] == 3


def test_accepted_with_a_reason(tmp_path: Path, host: Host) -> None:
    """It does not stop publishing and is told; what is accepted for nothing is told, too."""
    listed = tmp_path / "links.yaml"
    listed.write_text(f"{host.address}/404: The library moved, its copy is on shelf 2.\n{host.address}/ok: No need.\n")
    made = site(tmp_path, f"{host.address}/ok", f"{host.address}/404")
    answer = outside_links(made, how(accepted=accepted_in(listed)), {})
    assert answer.bad == ()
    assert f"accepted: {host.address}/404: answers 404: The library moved, its copy is on shelf 2." in answer.lines
    assert f"accepted for nothing: {host.address}/ok" in answer.lines


@pytest.mark.parametrize("text", ["- a\n- b\n", "http://x.invalid/: \n", "a: [b]\n", "a: {b\n"])
def test_list_that_is_none(tmp_path: Path, text: str) -> None:
    """A clear error, never a list that accepts by chance."""
    (tmp_path / "links.yaml").write_text(text)
    with pytest.raises(HandwheelError, match=r"links\.yaml"):
        accepted_in(tmp_path / "links.yaml")

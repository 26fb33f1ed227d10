"""Fixtures of the browser tests."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from browser.harness import CHROMIUM, FLAGS, ROOT, build, served, watch


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """Debian's browser, headless."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS, headless=True)
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def guide(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The built style guide."""
    return build(tmp_path_factory.mktemp("guide") / "work", "browser.style_guide:make_site")


@pytest.fixture(scope="session")
def guide_url(guide: Path) -> Iterator[str]:
    """The style guide, served from a sub-path, as a shop's own server may do."""
    with served(guide.parent) as root:
        yield f"{root}/{guide.name}"


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo, built by the command that a person uses."""
    folder = tmp_path_factory.mktemp("demo") / "site"
    command = [str(Path(sys.executable).with_name("handwheel")), "build", "demo_content", "--to", str(folder)]
    subprocess.run(command, cwd=ROOT, check=True, capture_output=True)
    return folder


@pytest.fixture(scope="session")
def demo_url(demo: Path) -> Iterator[str]:
    """The demo, served."""
    with served(demo) as root:
        yield root


@pytest.fixture
def page(chromium: Browser) -> Iterator[Page]:
    """A new page; any request to another host, and any error in a script, fails the test."""
    context = chromium.new_context(viewport={"width": 1280, "height": 900})
    strangers = watch(context)
    errors: list[str] = []
    made = context.new_page()
    made.on("pageerror", lambda error: errors.append(str(error)))
    yield made
    context.close()
    assert strangers == []
    assert errors == []

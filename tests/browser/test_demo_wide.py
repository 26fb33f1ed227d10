"""One page of each kind of the demo on a wide screen, in the dark; a file of its own, to run beside the phone's."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page

from browser.test_demo import VIEWS, findings, kinds

pytestmark = pytest.mark.browser


def test_each_kind_of_page_on_the_bench(page: Page, demo: Path, demo_url: str) -> None:
    """No finding at WCAG 2.2 AA, no sideways scrolling, no target under 44 pixels, no other host asked."""
    assert findings(page, kinds(demo), demo_url, *VIEWS[1]) == {}

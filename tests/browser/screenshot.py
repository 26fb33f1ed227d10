"""A picture of a procedure at the bench, for the README.

Run: `python tests/browser/screenshot.py SITE PICTURE [PAGE]`.
"""

from __future__ import annotations

import sys
from pathlib import Path

from playwright.sync_api import sync_playwright

sys.path.insert(0, str(Path(__file__).parents[1]))

from browser.harness import CHROMIUM, FLAGS, served


def largest(site: Path) -> str:
    """The procedure page with most on it, of those with at most a dozen steps."""
    pages = [path for path in (site / "on").rglob("*.html") if not path.name.startswith("job-")]
    small = [path for path in pages if path.read_text("utf-8").count('class="hw-step"') <= 12]
    return max(small, key=lambda path: path.stat().st_size).relative_to(site).as_posix()


def take(site: Path, picture: Path, page: str) -> None:
    """Open the page in a window of a bench screen, tick its first step, and keep what is seen."""
    picture.parent.mkdir(parents=True, exist_ok=True)
    with served(site) as root, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        seen = browser.new_page(viewport={"width": 1180, "height": 900}, color_scheme="light")
        seen.goto(f"{root}/{page}")
        seen.get_by_role("checkbox").first.check()
        seen.evaluate("scrollTo(0, 0)")
        seen.screenshot(path=picture)
        browser.close()


if __name__ == "__main__":
    built = Path(sys.argv[1])
    take(built, Path(sys.argv[2]), sys.argv[3] if len(sys.argv) > 3 else largest(built))

"""Side by side: N procedure pages of 20 steps, stock against finished pages. Run: `python bench/pages.py`.

The stock side is MkDocs with the same theme and search on the same words as Markdown files
that are out of the navigation. Each build runs in a process of its own.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import made_up

HERE = Path(__file__).parent
COMMON = """site_name: Bench
docs_dir: docs
use_directory_urls: false
theme: {name: material, font: false, features: [navigation.prune]}
"""
STOCK = COMMON + "not_in_nav: /variants/\nnav: [index.md]\nplugins: [search]\n"
OURS = COMMON + "plugins:\n  - search\n  - handwheel: {folders: [], make: 'made_up:make_site'}\n"


def prepare(folder: Path, pages: int, config: str, files: bool) -> None:
    """Write the configuration, and the Markdown files if they are wanted."""
    (folder / "docs").mkdir(parents=True)
    (folder / "mkdocs.yml").write_text(config)
    (folder / "docs/index.md").write_text("# Home\n\nFind a machine.\n")
    for n in range(pages if files else 0):
        path = folder / f"docs/variants/v{n // made_up.EVERY}/p{n % made_up.EVERY}.md"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(made_up.markdown(n))


def build(folder: Path, pages: int) -> float:
    """Seconds of one build, from start to exit of the process."""
    start = time.perf_counter()
    env = os.environ | {"PYTHONPATH": str(HERE), "PAGES": str(pages), "NO_MKDOCS_2_WARNING": "1"}
    subprocess.run([sys.executable, "-m", "mkdocs", "build", "-q"], cwd=folder, env=env, check=True)
    return time.perf_counter() - start


def kilobytes(folder: Path) -> float:
    """Mean size of a built procedure page."""
    sizes = [path.stat().st_size for path in (folder / "site/variants").rglob("*.html")]
    return sum(sizes) / len(sizes) / 1000


def timed(pages: int, config: str, files: bool, repeat: int) -> tuple[float, float]:
    """The best of some builds, and the size of a page."""
    with tempfile.TemporaryDirectory() as temporary:
        folder = Path(temporary, "work")
        prepare(folder, pages, config, files)
        return min(build(folder, pages) for _ in range(repeat)), kilobytes(folder)


def side_by_side(pages: int, repeat: int) -> None:
    """Print both, whole processes from start to exit."""
    both = {"stock": timed(pages, STOCK, True, repeat), "ours": timed(pages, OURS, False, repeat)}
    for name, (seconds, size) in both.items():
        each = 1000 * seconds / pages
        print(f"{name:6} {pages} pages {seconds:7.2f} s {each:6.2f} ms a page {size:6.1f} kB a page")
    print(f"ours takes {both['ours'][0] / both['stock'][0]:.3f} of stock")


def growth(few: int, many: int, repeat: int) -> None:
    """Print the time a page at two sizes, less the time of a site of one page, which would flatter the larger."""
    start = timed(1, OURS, False, repeat)[0]
    print(f"start  {start:.2f} s, a site of one page")
    each = [1000 * (timed(pages, OURS, False, repeat)[0] - start) / pages for pages in (few, many)]
    for pages, milliseconds in zip((few, many), each, strict=True):
        print(f"ours   {pages} pages {milliseconds:.3f} ms a page after the start")
    print(f"growth {each[1] / each[0]:.2f}")


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--pages", type=int, default=1000)
    parser.add_argument("--growth", type=int, nargs=2, default=[400, 4000], help="two numbers of pages")
    parser.add_argument("--repeat", type=int, default=3, help="builds of each kind; the fastest counts")
    asked = parser.parse_args()
    side_by_side(asked.pages, asked.repeat)
    growth(*asked.growth, asked.repeat)


if __name__ == "__main__":
    main()

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
theme: {name: material, font: false, features: [navigation.prune]%s}
"""
STOCK = COMMON % "" + "not_in_nav: /variants/\nnav: [index.md]\nplugins: [search]\n"
OURS = COMMON % f", custom_dir: {HERE.parent / 'generator/handwheel/pages/templates/theme'}" + (
    "plugins:\n  - search\n  - handwheel: {folders: [], make: 'made_up:make_site'}\n"
)


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


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--pages", type=int, default=1000)
    parser.add_argument("--growth", type=int, nargs="*", default=[400, 4000], help="page counts for the growth figure")
    parser.add_argument("--repeat", type=int, default=2)
    asked = parser.parse_args()
    stock, stock_kb = timed(asked.pages, STOCK, True, asked.repeat)
    ours, ours_kb = timed(asked.pages, OURS, False, asked.repeat)
    for name, seconds, size in (("stock", stock, stock_kb), ("ours", ours, ours_kb)):
        each_ms = 1000 * seconds / asked.pages
        print(f"{name:6} {asked.pages} pages {seconds:7.2f} s {each_ms:6.2f} ms a page {size:6.1f} kB a page")
    print(f"ours takes {ours / stock:.3f} of stock")
    each = {n: timed(n, OURS, False, asked.repeat)[0] / n for n in asked.growth}
    for n, seconds in each.items():
        print(f"ours   {n} pages {1000 * seconds:.2f} ms a page")
    if len(each) > 1:
        print(f"growth {each[asked.growth[-1]] / each[asked.growth[0]]:.2f}")


if __name__ == "__main__":
    main()

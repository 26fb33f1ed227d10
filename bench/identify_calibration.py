"""Is the engine as sure as it should be? Simulated machines, one table for each way in which it may be misled.

Run: `python bench/identify_calibration.py` (MACHINES=200 a row; some minutes).
"""

from __future__ import annotations

import os

from handwheel.identify.calibration import example_subjects, measured_sheets, sheet_text

if __name__ == "__main__":
    machines = int(os.environ.get("MACHINES", "200"))
    for sheet, scores in measured_sheets(example_subjects(), machines):
        print(sheet_text(sheet, scores), end="\n\n", flush=True)

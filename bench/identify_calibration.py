"""Is the engine as sure as it should be? Simulated machines, one table for each way in which it may be misled.

Run: `python bench/identify_calibration.py` (MACHINES=200 a row; a quarter of an hour on an idle machine). With
FAMILIES=tuning the families are those on which rates were chosen; what is reported is measured on others. ONLY=taken
measures the tables with that word in their title.
"""

from __future__ import annotations

import os

from handwheel.identify.calibration import SHEETS, TUNING, example_subjects, measured_sheets
from handwheel.identify.calibration_text import sheet_text

if __name__ == "__main__":
    machines = int(os.environ.get("MACHINES", "200"))
    subjects = example_subjects(first=TUNING if os.environ.get("FAMILIES") == "tuning" else 0)
    only = os.environ.get("ONLY", "").casefold()
    chosen = [sheet for sheet in SHEETS if only in sheet.title.casefold()]
    for sheet, scores in measured_sheets(subjects, machines, sheets=chosen):
        print(sheet_text(sheet, scores), end="\n\n", flush=True)

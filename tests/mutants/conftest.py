"""The simulator that takes one machine at a time lies beside the tests of the one that takes all at once."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "procedures"))

"""Floor 3: YAML text to records, and every message about what was written."""

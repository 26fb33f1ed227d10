"""Floor 1: published formulas as pure functions, SI inside. Knows no YAML and no machine."""

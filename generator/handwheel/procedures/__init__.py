"""Floor 4: resolve, simulate, plan and compare procedures."""

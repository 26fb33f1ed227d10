"""The simulated machine: every job run on every machine that can stand here, all at once."""

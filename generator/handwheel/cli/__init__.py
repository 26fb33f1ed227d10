"""Floor 8: a file a command, no logic."""

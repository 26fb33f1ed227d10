"""Floor 7: what changes a shop's files or the outside."""

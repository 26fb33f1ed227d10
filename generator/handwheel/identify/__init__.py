"""Floor 4: which machine is it, what on it is not original, and what to look at next."""

"""Floor 5: one rule, one file, one docstring that becomes its page."""

"""Floor 1: features, forms, conditions, and the one definition of the machines that can stand here."""

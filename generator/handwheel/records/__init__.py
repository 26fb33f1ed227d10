"""Floor 2: typed, immutable records and the linked library of them."""

"""Every value of the library recomputed against what it rests on: agrees, differs by so much, or cannot be checked."""

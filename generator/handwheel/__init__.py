"""handwheel: a static-site generator for a restoration knowledge base, keyed by variant."""

__version__ = "0.1.0"

"""The base of all errors that a person can mend; commands print them without a traceback."""

from __future__ import annotations


class HandwheelError(Exception):
    """Something written or asked for is wrong; the text says where, what, and one way out."""

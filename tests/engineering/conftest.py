"""No deadline for single examples: the first unit outside the table loads Pint, which takes most of a second."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("engineering", deadline=None)
settings.load_profile("engineering")

"""One at a time: a lock on a file, which the system gives back when its holder ends, however it ends."""

from __future__ import annotations

import fcntl
import os
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from handwheel.records.errors import HandwheelError

_PAUSE = 0.1


@contextmanager
def alone(lock: Path, wait: float = 0) -> Iterator[None]:
    """Hold the lock meanwhile.

    Raises:
        HandwheelError: another one holds it still after so many seconds.
    """
    handle = os.open(lock, os.O_RDWR | os.O_CREAT, 0o644)
    try:
        _take(handle, lock, time.monotonic() + wait)
        yield
    finally:
        os.close(handle)


def _take(handle: int, lock: Path, until: float) -> None:
    while True:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            if time.monotonic() >= until:
                told = (
                    f"another publishing is under way ({lock} is held); nothing was changed, wait with --wait SECONDS"
                )
                raise HandwheelError(told) from None
            time.sleep(_PAUSE)
        else:
            return

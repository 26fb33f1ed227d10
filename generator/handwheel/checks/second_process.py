"""Pieces of work shared with a second process, each done by whichever of the two comes to it first.

What the second process did not do, or cannot tell of, is simply not among its answers: the first does it then. So
nothing depends on whether there is a second one; where a system cannot fork, or has one processor, there is none.
"""

from __future__ import annotations

import os
import pickle
import signal
import sys
import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any, NoReturn

MOST = 2_000
"""Pieces that are shared; what is beyond them is left to the first process. A pipe takes 4,096 bytes at once."""

_WIDE = 2
"""Bytes of a number."""


class SecondProcess:
    """A copy of this process that takes pieces of work, by number, off a queue that both read."""

    def __init__(self, order: Sequence[int], work: Callable[[int], Any]) -> None:
        """Start it.

        Args:
            order: Numbers of the pieces, the longest first.
            work: What the second process does for each; its answer must be small and can be pickled.
        """
        self._queue, filled = os.pipe()
        os.write(filled, b"".join(number.to_bytes(_WIDE, "big") for number in order[:MOST]))
        os.close(filled)
        self._answers, told = os.pipe()
        parent = os.getpid()
        self._child = os.fork()
        if not self._child:
            os.close(self._answers)
            _serve(self.taken(), parent, told, work)
        os.close(told)

    def taken(self) -> Iterator[int]:
        """Numbers that this process takes off the queue, until it is empty."""
        while number := os.read(self._queue, _WIDE):
            yield int.from_bytes(number, "big")

    def answers(self) -> Mapping[int, Any]:
        """Waits for the second process; its answers by number, and none at all if anything went wrong in it."""
        with os.fdopen(os.dup(self._answers), "rb") as told:
            data = told.read()
        _, status = os.waitpid(self._child, 0)
        self._child = 0
        return pickle.loads(data) if status == 0 else {}

    def close(self) -> None:
        """Ends the second process if nobody waited for it."""
        if self._child:
            os.kill(self._child, signal.SIGKILL)
            os.waitpid(self._child, 0)
            self._child = 0
        os.close(self._queue)
        os.close(self._answers)


def _serve(numbers: Iterator[int], parent: int, told: int, work: Callable[[int], Any]) -> NoReturn:
    """Ends without a word to anybody but the parent: no handler of this copy runs, no buffer is written twice."""
    status = 1
    try:
        answers = {}
        while os.getppid() == parent and (number := next(numbers, None)) is not None:
            answers[number] = work(number)
        with os.fdopen(told, "wb") as file:
            pickle.dump(answers, file)
        status = 0
    finally:
        os._exit(status)


def second_process(order: Sequence[int], work: Callable[[int], Any]) -> SecondProcess | None:
    """A second process, if there is more than one piece and the system has room for it."""
    if len(order) < 2 or not room():
        return None
    try:
        return SecondProcess(order, work)
    except OSError:
        return None


def room() -> bool:
    """Whether this process may be copied, and the copy would have a processor of its own."""
    if sys.platform != "linux":  # elsewhere a copy is slow, or not to be trusted
        return False
    return len(os.sched_getaffinity(0)) > 1 and threading.active_count() == 1

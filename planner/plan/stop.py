"""Being asked to stop: Ctrl-C as a wish, not as an error that tears a plan apart.

The first Ctrl-C lets the planning end with the best plan so far; a second one ends the program at once.
"""

from __future__ import annotations

import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType


class Stop:
    """Whether somebody asked to stop, and what to call when it happens."""

    def __init__(self) -> None:
        self.asked = False
        self._call: Callable[[], None] | None = None

    def ask(self) -> None:
        """Stop as soon as may be."""
        self.asked = True
        if self._call is not None:
            self._call()

    @contextmanager
    def calling(self, call: Callable[[], None]) -> Iterator[None]:
        """While this holds, `call` is how a running search is told."""
        self._call = call
        try:
            yield
        finally:
            self._call = None


@contextmanager
def ctrl_c_asks(stop: Stop) -> Iterator[None]:
    """Within this, the first Ctrl-C asks `stop`; the second one is an ordinary KeyboardInterrupt."""

    def asked(number: int, frame: FrameType | None) -> None:
        if stop.asked:
            signal.default_int_handler(number, frame)
        stop.ask()

    try:
        before = signal.signal(signal.SIGINT, asked)
    except ValueError:  # not the main thread: there is no Ctrl-C to catch
        yield
        return
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)

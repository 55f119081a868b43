"""How much a search may still do: a limit in counted work, the same on every machine, and a wish to stop."""

from __future__ import annotations

from planner.plan.stop import Stop

FOREVER = float("inf")


class Effort:
    """Work that is left; a unit is about a second of one core.

    Work is counted from sizes and the solvers' own counters, never from a clock, so that the same question
    is cut at the same place everywhere. Ctrl-C ends it at once.
    """

    def __init__(self, work: float = FOREVER, stop: Stop | None = None) -> None:
        self.left, self.stop = work, stop
        self.was_cut = False

    def spend(self, work: float) -> None:
        """Counts work that was done."""
        self.left -= work

    @property
    def stopped(self) -> bool:
        """Whether Ctrl-C ended it."""
        return self.stop is not None and self.stop.asked

    @property
    def over(self) -> bool:
        """Whether nothing more is to be tried; remembered, as what is found then is not all there is."""
        found = self.left <= 0 or self.stopped
        self.was_cut |= found
        return found

"""What logged practice is expected to have gained: planner.need.gain for many players side by side.

Conventions: S players, N combinations, levels in notches from the goal. A turn takes five minutes of the
clock. The lasting part's fading over a term (6 %) is left out. Needs numpy.
"""

from __future__ import annotations

import numpy as np

from planner.need.covariance import fresh_in_time
from planner.need.gain import HORIZON_DAYS, MOST_DAYS, RATE, REACH
from planner.need.parts import GAIN, NOISE
from planner.simulate.learners import Array, Codes


class Gained:
    """The prior mean of every combination: first guess, own gains, and what every practised day gives to all.

    Between the last practised day and the next no prior mean rises. Someone plays on every practice day, so
    that all days from the first one on count, a missed week at most once.
    """

    def __init__(self, guesses: Array) -> None:
        self.guesses = guesses
        self.own = np.zeros_like(guesses)
        self.kept = float(fresh_in_time(np.array(HORIZON_DAYS)))
        self.everything = 0.0
        self._today = np.zeros_like(guesses)
        self._last: int | None = None

    def prior(self) -> Array:
        """Prior means of this morning, (S, N)."""
        total: Array = self.kept * self.own + self.everything
        prior: Array = self.guesses + np.minimum(total, np.maximum(0.0, REACH - self.guesses))
        return prior

    def take(self, chosen: Codes, tempo: Array, margin: Array) -> None:
        """A turn of one combination each; `margin` over the tempo as heard, in units of the noise."""
        site = (np.arange(len(chosen)), chosen)
        level = self.guesses[site] + self.own[site] + self.everything
        expected = np.where(margin > 0, np.maximum(margin, (level - tempo) / NOISE), 0.0)
        challenge = expected * np.exp((1 - expected**2) / 2)
        self._today[site] += challenge * np.maximum(0.0, REACH - level) * (1 - np.exp(-RATE))

    def sleep(self, day: int) -> None:
        """The practised day is over: its gains count from tomorrow."""
        self.own += self._today
        self._today[:] = 0.0
        if self._last is not None:
            self.everything += GAIN / 7 * min(day - self._last, MOST_DAYS)
        self._last = day

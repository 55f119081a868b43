"""What logged practice is expected to have gained: planner.need.gain for many players side by side.

Conventions: S players, N combinations, levels in notches from the goal. A turn takes five minutes of the
clock. The lasting part's fading over a term (6 %) is left out. Needs numpy.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from planner.need.covariance import fresh_in_time
from planner.need.gain import HORIZON_DAYS, RATE, REACH, SHARED
from planner.need.parts import NOISE

Array = NDArray[np.float64]
Codes = NDArray[np.int64]


class Gained:
    """The prior mean of every combination: first guess, own gains, a little of everybody else's."""

    def __init__(self, guesses: Array) -> None:
        self.guesses = guesses
        self.own = np.zeros_like(guesses)
        self.kept = float(fresh_in_time(np.array(HORIZON_DAYS)))
        self._today = np.zeros_like(guesses)

    def prior(self) -> Array:
        """Prior means of this morning, (S, N)."""
        total: Array = self.kept * (self.own + SHARED * self.own.sum(axis=1, keepdims=True))
        prior: Array = self.guesses + np.minimum(total, np.maximum(0.0, REACH - self.guesses))
        return prior

    def take(self, chosen: Codes, tempo: Array, margin: Array) -> None:
        """A turn of one combination each; `margin` over the tempo as heard, in units of the noise."""
        site = (np.arange(len(chosen)), chosen)
        level = self.guesses[site] + self.own[site] + SHARED * self.own.sum(axis=1)
        expected = np.where(margin > 0, np.maximum(margin, (level - tempo) / NOISE), 0.0)
        challenge = expected * np.exp((1 - expected**2) / 2)
        self._today[site] += challenge * np.maximum(0.0, REACH - level) * (1 - np.exp(-RATE))

    def sleep(self) -> None:
        """The day is over: its gains count from tomorrow."""
        self.own += self._today
        self._today[:] = 0.0

"""Learners B and C: one fast state for everything, a middle and a slow one for each combination, in notches.

One fast state and many slow ones in parallel, all moved by the same error, after Lee & Schweighofer, Journal
of Neuroscience 29 (2009); rates a trial of the fast and the middle state are those of Smith et al. (2006).
That spacing and interleaving both help by what is forgotten between trials is Kim, Oh & Schweighofer (2015):
what the middle state lost, the slow one learns. Its rates, rests and nights are assumptions. C is B with
nights that take a fortieth, so that half is gone after 251 days: between the half-lives of Tatel & Ackerman
(2025). Conventions as in learners.py. Needs numpy.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.simulate.learners import Array, Codes


@dataclass(frozen=True, slots=True)
class StatesModel:
    """Constants of learners B and C: what a trial keeps and gains, what rests, other turns and nights keep.

    `trials` make a turn and `rest_trials` follow it; `middle_away` is what another combination's turn
    leaves of the middle state. At the `ceiling` the error is nothing, at the `bottom` nothing is known
    (notches from the goal, before costs).
    """

    fast_kept: float = 0.59
    fast_gain: float = 0.21
    middle_kept: float = 0.992
    middle_gain: float = 0.02
    slow_kept: float = 0.9995
    slow_gain: float = 0.008
    trials: int = 12
    rest_trials: int = 6
    middle_away: float = 0.95
    night_middle: float = 0.8
    night_slow: float = 0.985
    bottom: float = -14.0
    ceiling: float = 14.0

    @property
    def reach(self) -> float:
        """Notches from the bottom to the ceiling."""
        return self.ceiling - self.bottom


BY_STATES = StatesModel()
SLOW_TO_FORGET = StatesModel(night_middle=0.8**0.025, night_slow=0.985**0.025)


class States:
    """The fast state (S,), the middle and the slow ones (S, N), in notches above the bottom."""

    def __init__(self, cost: Array, model: StatesModel = BY_STATES) -> None:
        self.cost, self.model = cost, model
        self.fast: Array = np.zeros(len(cost))
        self.middle: Array = np.zeros(cost.shape)
        self.slow: Array = np.zeros(cost.shape)
        self._players = np.arange(len(cost))
        self._turn = turn_matrix(model)

    def remember(self, past: Array) -> None:
        """Turns before the first day, (S, N, turns) as negative days in order of time; NaN is none."""
        before = np.full(self.slow.shape, np.nan)
        for days in np.moveaxis(past, 2, 0):
            there = ~np.isnan(days)
            self._fade(np.nan_to_num(days - before))
            middle, slow = self._after_turn()
            self.middle = np.where(there, middle, self.middle)
            self.slow = np.where(there, slow, self.slow)
            before = np.where(there, days, before)
        self._fade(-before)

    def level(self) -> Array:
        """Levels now: what the states of each hold, and the fast one where it stands."""
        return self.model.bottom + self.middle + self.slow + self.fast[:, None] - self.cost

    def level_of(self, chosen: Codes) -> Array:
        """Levels now of one combination for each player."""
        site = (self._players, chosen)
        own = self.middle[site] + self.slow[site] - self.cost[site]
        level: Array = self.model.bottom + own + self.fast
        return level

    def practise(self, chosen: Codes, worth: Array) -> None:
        """A turn of so many trials, each moved by what is lacking to the ceiling."""
        site = (self._players, chosen)
        before = np.stack(
            [self.fast, self.middle[site], self.slow[site], np.full(len(chosen), self.model.reach)]
        )
        fast, middle, slow, _ = before + worth * (self._turn @ before - before)
        self.fast = self.model.fast_kept**self.model.rest_trials * fast
        self.middle *= self.model.middle_away
        self.middle[site], self.slow[site] = middle, slow

    def sleep(self, days: int) -> None:
        """Nights fade the states; the fast one is gone."""
        self.fast = np.zeros_like(self.fast) if days else self.fast
        self._fade(np.array(days))

    def ahead(self, days: int) -> tuple[Array, Array]:
        """Levels after so many days, without and with a turn of each now."""
        middle, slow = self._after_turn()
        kept_middle, kept_slow = self.model.night_middle**days, self.model.night_slow**days
        base = self.model.bottom - self.cost
        without = base + kept_middle * self.middle + kept_slow * self.slow
        return without, base + kept_middle * middle + kept_slow * slow

    def _fade(self, days: Array) -> None:
        self.middle = self.model.night_middle**days * self.middle
        self.slow = self.model.night_slow**days * self.slow

    def _after_turn(self) -> tuple[Array, Array]:
        """The middle and slow states with one turn of each, (S, N)."""
        fast = np.repeat(self.fast[:, None], self.slow.shape[1], axis=1)
        before = np.stack([fast, self.middle, self.slow, np.full(self.slow.shape, self.model.reach)])
        after: Array = np.tensordot(self._turn, before, axes=1)
        return after[1], after[2]


def turn_matrix(model: StatesModel) -> Array:
    """What one turn makes of (fast, middle, slow, reach): its trials multiplied out."""
    kept = np.array([model.fast_kept, model.middle_kept, model.slow_kept])
    gain = np.array([model.fast_gain, model.middle_gain, model.slow_gain])
    trial = np.eye(4)
    trial[:3] = np.column_stack([np.diag(kept) - gain[:, None], gain])
    turn: Array = np.linalg.matrix_power(trial, model.trials)
    return turn

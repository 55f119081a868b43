"""Learner A: activation whose decay depends on the spacing, as a level in notches.

Pavlik & Anderson, Cognitive Science 29 (2005): m = ln sum t_i^-d_i, where each decay d_i = c e^m + a is set
by the activation at the turn; time between sessions runs at h. Level = at_zero + slope x m - cost.
Conventions as in learners.py. Needs numpy.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.simulate.learners import TURN_SECONDS, Array, Codes

DAY_SECONDS = 86400.0


@dataclass(frozen=True, slots=True)
class ActivationModel:
    """Constants of learner A. `at_zero` and `slope` turn activation into notches [assumption].

    a, c and h are those of Pavlik & Anderson (2005); seconds as the unit of time.
    """

    a: float = 0.177
    c: float = 0.217
    between_sessions: float = 0.025
    at_zero: float = 2.0
    slope: float = 11.0


ACTIVATION = ActivationModel()
ROOM = 32
"""Turns for which there is room at first."""

NEVER = -3.0
"""Activation of what was never played: far below anything that was."""


class Activation:
    """Learner A: turns as times (in the model's seconds), decays and weights, (S, N, turns so far)."""

    def __init__(self, cost: Array, model: ActivationModel = ACTIVATION) -> None:
        self.cost, self.model, self.clock = cost, model, 0.0
        self.at = np.zeros((*cost.shape, ROOM))
        self.decay = np.ones_like(self.at)
        self.weight = np.zeros_like(self.at)
        self.count = np.zeros(cost.shape, dtype=np.int64)
        self._players = np.arange(len(cost))

    def remember(self, past: Array) -> None:
        """Turns before the first day, (S, N, turns) as negative days in order of time; NaN is none."""
        now = self.model.between_sessions * DAY_SECONDS * past
        for turn in range(past.shape[2]):
            there = ~np.isnan(now[..., turn])
            before = np.nan_to_num(now[..., turn, None] - self.at[..., : turn + 1])
            met = _kept(before, self.decay[..., : turn + 1], self.weight[..., : turn + 1])
            self.at[..., turn] = np.nan_to_num(now[..., turn])
            self.decay[..., turn] = self.model.c * met + self.model.a
            self.weight[..., turn] = there
        self.count += past.shape[2]

    def activation(self, later: float = 0.0) -> Array:
        """The m of every combination, `later` of the model's seconds from now, (S, N)."""
        most = max(1, int(self.count.max()))
        past = self.clock + later - self.at[..., :most]
        return _log(_kept(past, self.decay[..., :most], self.weight[..., :most]))

    def level(self) -> Array:
        """Levels now."""
        return self._notches(self.activation()) - self.cost

    def level_of(self, chosen: Codes) -> Array:
        """Levels now of one combination for each player."""
        return self._notches(_log(self._kept_of(chosen))) - self.cost[self._players, chosen]

    def practise(self, chosen: Codes, worth: Array) -> None:
        """One turn; its decay is set by the activation it meets."""
        site = (self._players, chosen, self.count[self._players, chosen])
        if int(self.count.max()) == self.at.shape[2]:
            self._widen()
        self.decay[site] = self.model.c * self._kept_of(chosen) + self.model.a
        self.at[site] = self.clock
        self.weight[site] = worth
        self.count[self._players, chosen] += 1
        self.clock += TURN_SECONDS

    def sleep(self, days: int) -> None:
        """Between sessions time runs slower."""
        self.clock += days * DAY_SECONDS * self.model.between_sessions

    def ahead(self, days: int) -> tuple[Array, Array]:
        """Levels after so many days, without and with a turn of each now."""
        later = days * DAY_SECONDS * self.model.between_sessions
        without = self.activation(later)
        decay = self.model.c * np.exp(self.activation()) + self.model.a
        with_turn = np.logaddexp(without, -decay * np.log(later))
        return self._notches(without) - self.cost, self._notches(with_turn) - self.cost

    def _widen(self) -> None:
        empty = np.zeros_like(self.at)
        self.at = np.concatenate([self.at, empty], axis=2)
        self.decay = np.concatenate([self.decay, empty + 1], axis=2)
        self.weight = np.concatenate([self.weight, empty], axis=2)

    def _kept_of(self, chosen: Codes) -> Array:
        site = (self._players, chosen, slice(0, max(1, int(self.count.max()))))
        return _kept(self.clock - self.at[site], self.decay[site], self.weight[site])

    def _notches(self, activation: Array) -> Array:
        return self.model.at_zero + self.model.slope * activation


def _kept(past: Array, decay: Array, weight: Array) -> Array:
    """The sum of w t^-d along the last axis, e^m; turns not made yet have weight 0."""
    kept = weight * np.exp(-decay * np.log(np.maximum(past, 1.0)))
    total: Array = kept.sum(axis=-1)
    return total


def _log(kept: Array) -> Array:
    activation: Array = np.log(np.maximum(kept, np.exp(NEVER)))
    return activation

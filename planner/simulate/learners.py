"""Learners built on models other than the estimate: what practice leaves, and what time takes away.

Conventions: S players (one a seed) learn N combinations side by side; levels are notches from the goal, shape
(S, N). A turn is one item of five minutes. Nobody sees a learner's state but the learner itself and the
reference policy. Costs (S, N) are what weak keys, weak tubing and the figure itself take away for good; the
scales that turn activation or states into notches are assumptions. Needs numpy.

- Activation (A): Pavlik & Anderson, Cognitive Science 29 (2005): m = ln sum t_i^-d_i, where each decay d_i =
  c e^m + a is set by the activation at the turn; time between sessions runs at h. Level = top + slope m.
- States (B): one fast state, shared by all combinations, and one slow state for each, both moved by the same
  error, after Lee & Schweighofer, Journal of Neuroscience 29 (2009), rates a trial of Smith et al. (2006);
  rests fade the fast state, nights the slow ones by a share. C is B with nights that take a tenth: closer to
  the half-lives of Tatel & Ackerman (2025).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Codes = NDArray[np.int64]

DAY_SECONDS = 86400.0
TURN_SECONDS = 300.0
"""From the beginning of one item to the next in the learners' own time."""


class Learner(Protocol):
    """What the simulation asks of a learner; a day begins at `day` and ends with `sleep`."""

    def level(self) -> Array:
        """Levels now, (S, N)."""

    def level_of(self, chosen: Codes) -> Array:
        """Levels now of one combination for each player, (S,)."""

    def practise(self, chosen: Codes, worth: Array) -> None:
        """One turn of one combination for each player, (S,); `worth` scales what it leaves (1 in full)."""

    def sleep(self, days: int) -> None:
        """So many nights pass, the days between them without practice."""

    def ahead(self, days: int) -> tuple[Array, Array]:
        """Levels after so many days without practice, and the same with one turn of each today, (S, N)."""


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
            before = now[..., turn, None] - self.at[..., : turn + 1]
            met = _activation(
                np.nan_to_num(before), self.decay[..., : turn + 1], self.weight[..., : turn + 1]
            )
            self.at[..., turn] = np.nan_to_num(now[..., turn])
            self.decay[..., turn] = (
                self.model.c * np.where(self.weight.any(-1), np.exp(met), 0) + self.model.a
            )
            self.weight[..., turn] = there
        self.count += past.shape[2]

    def activation(self, later: float = 0.0) -> Array:
        """The m of every combination, `later` of the model's seconds from now, (S, N)."""
        most = max(1, int(self.count.max()))
        past = self.clock + later - self.at[..., :most]
        return _activation(past, self.decay[..., :most], self.weight[..., :most])

    def level(self) -> Array:
        """Levels now."""
        return self._notches(self.activation()) - self.cost

    def level_of(self, chosen: Codes) -> Array:
        """Levels now of one combination for each player."""
        return self._notches(self._activation_of(chosen)) - self.cost[self._players, chosen]

    def practise(self, chosen: Codes, worth: Array) -> None:
        """One turn; its decay is set by the activation it meets."""
        site = (self._players, chosen, self.count[self._players, chosen])
        if int(self.count.max()) == self.at.shape[2]:
            self._widen()
        self.decay[site] = self.model.c * np.exp(self._activation_of(chosen)) + self.model.a
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

    def _activation_of(self, chosen: Codes) -> Array:
        most = max(1, int(self.count.max()))
        past = self.clock - self.at[self._players, chosen, :most]
        return _activation(
            past, self.decay[self._players, chosen, :most], self.weight[self._players, chosen, :most]
        )

    def _notches(self, activation: Array) -> Array:
        return self.model.at_zero + self.model.slope * activation


def _activation(past: Array, decay: Array, weight: Array) -> Array:
    """The ln sum w t^-d along the last axis; turns not made yet have weight 0."""
    kept = weight * np.exp(-decay * np.log(np.maximum(past, 1.0)))
    total: Array = np.log(np.maximum(kept.sum(axis=-1), np.exp(NEVER)))
    return total


@dataclass(frozen=True, slots=True)
class StatesModel:
    """Constants of learners B and C. Rates a trial: Smith et al. (2006) as cited by the literature.

    `trials` in a turn, the rest after it in trials, `ceiling` (where the error would be nothing) and `bottom`
    in notches and the nights' shares are assumptions.
    """

    fast_kept: float = 0.59
    fast_gain: float = 0.21
    slow_kept: float = 0.992
    slow_gain: float = 0.02
    trials: int = 12
    rest_trials: int = 6
    night_fast: float = 0.0
    night_slow: float = 0.98
    bottom: float = -14.0
    ceiling: float = 12.0

    @property
    def reach(self) -> float:
        """Notches from the bottom to the ceiling."""
        return self.ceiling - self.bottom


TWO_STATES = StatesModel()
SLOW_TO_FORGET = StatesModel(night_slow=0.98**0.1)


class States:
    """Learners B and C: one fast state (S,) for all combinations, a slow one each (S, N), in notches."""

    def __init__(self, cost: Array, model: StatesModel = TWO_STATES) -> None:
        self.cost, self.model = cost, model
        self.fast = np.zeros(len(cost))
        self.slow = np.zeros(cost.shape)
        self._players = np.arange(len(cost))
        self._turn = _turn_matrix(model)

    def remember(self, past: Array) -> None:
        """Turns before the first day, (S, N, turns) as negative days in order of time; NaN is none."""
        before = np.full(self.slow.shape, np.nan)
        _, slow, reach = self._turn[1]
        for days in np.moveaxis(past, 2, 0):
            there = ~np.isnan(days)
            kept = self.model.night_slow ** np.nan_to_num(days - before)
            self.slow = np.where(there, slow * kept * self.slow + reach * self.model.reach, self.slow)
            before = np.where(there, days, before)
        self.slow *= self.model.night_slow**-before

    def level(self) -> Array:
        """Levels now: what the slow states hold, and the fast one where it stands."""
        return self.model.bottom + self.slow + self.fast[:, None] - self.cost

    def level_of(self, chosen: Codes) -> Array:
        """Levels now of one combination for each player."""
        own = self.slow[self._players, chosen] - self.cost[self._players, chosen]
        level: Array = self.model.bottom + own + self.fast
        return level

    def practise(self, chosen: Codes, worth: Array) -> None:
        """A turn of so many trials, each moved by what is lacking to the ceiling."""
        slow = self.slow[self._players, chosen]
        after = self._turn @ np.stack([self.fast, slow, np.full(len(slow), self.model.reach)])
        rest = self.model.fast_kept**self.model.rest_trials
        self.fast = rest * (self.fast + worth * (after[0] - self.fast))
        self.slow[self._players, chosen] = slow + worth * (after[1] - slow)

    def sleep(self, days: int) -> None:
        """Nights fade the states; the fast one is gone."""
        self.fast = self.fast * self.model.night_fast**days
        self.slow *= self.model.night_slow**days

    def ahead(self, days: int) -> tuple[Array, Array]:
        """Levels after so many days, without and with a turn of each now."""
        kept = self.model.night_slow**days
        base = self.model.bottom - self.cost
        fast, slow, reach = self._turn[1]
        after = slow * self.slow + fast * self.fast[:, None] + reach * self.model.reach
        return base + kept * self.slow, base + kept * after


def _turn_matrix(model: StatesModel) -> Array:
    """What one turn makes of (fast state, slow state, reach): its trials multiplied out."""
    trial = np.array(
        [
            [model.fast_kept - model.fast_gain, -model.fast_gain, model.fast_gain],
            [-model.slow_gain, model.slow_kept - model.slow_gain, model.slow_gain],
            [0.0, 0.0, 1.0],
        ]
    )
    turn: Array = np.linalg.matrix_power(trial, model.trials)
    return turn

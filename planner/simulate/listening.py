"""The estimate that all policies share: that of planner.need.clean_tempo, for many players side by side.

Conventions: S players (one a seed), N combinations; levels in notches from the goal, days as whole numbers.
The model is the planner's own: same Gaussian process, sizes (planner.need.parts), likelihood
(planner.need.laplace.log_probability), the same best f by Newton's method, and silence never heals a weak
spot. Three things are simpler, so that thousands of terms can be simulated: of the lasting part, which halves
in three years, only what all combinations share moves with time (written as DRIFT directions in time), the
rest stands still; so the posterior falls apart into one small matrix for each combination and one R x R
for each player. Nothing is folded. The spread is today's own, not the widest since the last rating.

Agreement with planner.need, checked by tests on the sample players' diaries: means within 0.5 notches and
spreads within 0.2 for nineteen of twenty combinations. Needs numpy and scipy.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.need.covariance import fresh_in_time, lasting_in_time
from planner.need.laplace import log_probability
from planner.need.parts import FRESH
from planner.simulate.catalogue import Catalogue

Array = NDArray[np.float64]
Codes = NDArray[np.int64]

WIDTHS = (1, 2, 4, 6, 8, 12, 16, 24, 32, 48, 64, 96, 128, 192, 256)
"""Combinations with about as many ratings are worked on together, in matrices of these sizes."""

MOST_STEPS = 40
CLOSE_ENOUGH = 0.01
"""Notches that a step may still move a level by when the search ends."""

LONGEST_STEP = 10.0

DRIFT = 4
"""Directions in time that stand for the slow changes of what all combinations share."""

FIRST_DAY, LAST_DAY = -150, 150
"""Days between which those directions hold."""


def drift() -> Array:
    """The largest directions of the lasting part in time, (days, DRIFT): products are its covariance."""
    days = np.arange(FIRST_DAY, LAST_DAY + 1)
    spread, ways = np.linalg.eigh(lasting_in_time(np.subtract.outer(days, days)))
    largest = slice(len(days) - DRIFT, None)
    found: Array = ways[:, largest] * np.sqrt(spread[largest])
    return found


@dataclass(slots=True)
class _Group:
    """Combinations (flat: player x N + combination) with up to `width` ratings each.

    `known` is (K + 1/W)^-1, `sway` (width x R) how the lasting part moves each rated level.
    """

    flat: Codes
    width: int
    days: Array
    inside: Array
    between: Array
    sway: Array
    level: Array
    known: Array
    pull: Array


class Listening:
    """What S players' ratings say about all their combinations."""

    def __init__(self, guesses: Array, catalogue: Catalogue) -> None:
        self.guesses = guesses
        self.players, self.size = guesses.shape
        self.drift = catalogue.common * drift()
        self.roots = np.concatenate([catalogue.roots, np.zeros((self.size, DRIFT))], axis=1)
        self.count = np.zeros(guesses.size, dtype=np.int64)
        self.days, self.low, self.high, self.level = (np.zeros((guesses.size, 4)) for _ in range(4))
        width = self.roots.shape[1]
        self.mean = np.zeros((self.players, width))
        self.cov = np.repeat(np.eye(width)[None], self.players, axis=0)
        self._groups: list[_Group] = []

    def take(self, chosen: Codes, low: Array, high: Array, asked: NDArray[np.bool_], day: int) -> None:
        """One rating of one combination for each player where `asked`: clean tempo between two bounds."""
        flat = (np.arange(self.players) * self.size + chosen)[asked]
        place = self.count[flat]
        if len(flat) and int(place.max()) >= self.days.shape[1]:
            self._widen()
        middle = np.where(np.isinf(low), high, np.where(np.isinf(high), low, (low + high) / 2))
        for where, what in ((self.days, day), (self.low, low[asked]), (self.high, high[asked])):
            where[flat, place] = what
        self.level[flat, place] = middle[asked]
        self.count[flat] += 1

    def settle(self) -> None:
        """Find the best levels for everything heard so far; `estimates` speaks of that."""
        sizes = np.searchsorted(WIDTHS, self.count)
        self._groups = [self._group(width, np.flatnonzero((sizes == number) & (self.count > 0)))
            for number, width in enumerate(WIDTHS) if np.any((sizes == number) & (self.count > 0))]
        for _ in range(MOST_STEPS):
            if self._step() < CLOSE_ENOUGH:
                break
        for group in self._groups:
            self.level[group.flat, : group.width] = group.level

    def estimates(self, day: int) -> tuple[Array, Array]:
        """Mean and spread of every clean tempo on a day not before the last rating, (S, N)."""
        fresh, own = np.zeros(self.guesses.size), np.full(self.guesses.size, FRESH**2)
        sway = np.repeat(self._sway(np.arange(self.size), np.full(self.size, day))[None], self.players, axis=0)
        lasting = np.einsum("pnr,pr->pn", sway, self.mean)
        sway = sway.reshape(self.guesses.size, -1)
        for group in self._groups:
            now = FRESH**2 * fresh_in_time(day - group.days) * group.inside
            last = group.between[np.arange(len(group.flat)), self.count[group.flat] - 1]
            fresh[group.flat] = np.minimum((now * group.pull).sum(1), (last * group.pull).sum(1))
            drawn = group.known @ now[:, :, None]
            own[group.flat] -= (now * drawn.squeeze(2)).sum(1)
            sway[group.flat] -= (group.sway.transpose(0, 2, 1) @ drawn).squeeze(2)
        sway = sway.reshape(self.players, self.size, -1)
        variance = ((sway @ self.cov) * sway).sum(axis=2) + own.reshape(self.guesses.shape)
        mean = self.guesses + lasting + fresh.reshape(self.guesses.shape)
        return mean, np.sqrt(np.maximum(variance, 1e-6))

    def _widen(self) -> None:
        more = [np.zeros_like(self.days) for _ in range(4)]
        self.days, self.low, self.high, self.level = (
            np.concatenate([old, new], axis=1)
            for old, new in zip((self.days, self.low, self.high, self.level), more, strict=True)
        )

    def _group(self, width: int, flat: Codes) -> _Group:
        days = _up_to(self.days[flat], width)
        inside = (np.arange(width) < self.count[flat][:, None]).astype(np.float64)
        between = fresh_in_time(days[:, :, None] - days[:, None, :])
        between *= FRESH**2 * inside[:, :, None] * inside[:, None, :]
        sway = self._sway(np.repeat(flat % self.size, width), days.reshape(-1))
        sway = sway.reshape(len(flat), width, -1) * inside[:, :, None]
        level = _up_to(self.level[flat], width)
        none = np.zeros_like
        return _Group(flat, width, days, inside, between, sway, level, none(between), none(level))

    def _sway(self, combinations: Codes, days: Array | Codes) -> Array:
        """How the lasting part moves a combination's level on a day."""
        sway = self.roots[combinations]
        sway[:, -DRIFT:] = self.drift[days.astype(np.int64) - FIRST_DAY]
        return sway

    def _step(self) -> float:
        """One step of Newton's method; the furthest move of a level, in notches."""
        width = self.roots.shape[1]
        weight, drawn = np.zeros((self.players, width, width)), np.zeros((self.players, width))
        for group in self._groups:
            group.known, group.pull = self._linearised(group)
            player = group.flat // self.size
            turned = group.sway.transpose(0, 2, 1)
            np.add.at(drawn, player, (turned @ group.pull[:, :, None]).squeeze(2))
            np.add.at(weight, player, turned @ (group.known @ group.sway))
        self.cov = np.linalg.inv(np.eye(width) + weight)
        self.mean = (self.cov @ drawn[:, :, None]).squeeze(2)
        return max((self._move(group) for group in self._groups), default=0.0)

    def _linearised(self, group: _Group) -> tuple[Array, Array]:
        """For each combination (K + 1/W)^-1, and that times what is asked of it; lasting part left out."""
        low, high = _up_to(self.low[group.flat], group.width), _up_to(self.high[group.flat], group.width)
        _, slope, curvature = log_probability(group.level, low, np.where(group.inside > 0, high, np.inf))
        curvature = np.maximum(curvature, 1e-9) * group.inside
        asked = curvature * (group.level - self._prior(group)) + slope * group.inside
        root = np.sqrt(curvature)
        scaled = np.eye(group.width) + root[:, :, None] * group.between * root[:, None, :]
        known = root[:, :, None] * np.linalg.inv(scaled) * root[:, None, :]
        pull = asked - (known @ (group.between @ asked[:, :, None])).squeeze(2)
        return known, pull

    def _prior(self, group: _Group) -> Array:
        prior: Array = self.guesses.reshape(-1)[group.flat][:, None]
        return prior

    def _move(self, group: _Group) -> float:
        lasting = group.sway @ self.mean[group.flat // self.size][:, :, None]
        group.pull = group.pull - (group.known @ lasting).squeeze(2)
        fresh = group.between @ group.pull[:, :, None]
        target = self._prior(group) + (lasting + fresh).squeeze(2)
        change = np.clip(target - group.level, -LONGEST_STEP, LONGEST_STEP) * group.inside
        group.level = group.level + change
        return float(np.abs(change).max())


def _up_to(values: Array, width: int) -> Array:
    """The first `width` columns, filled up with zeros where there are not so many."""
    lacking = width - values.shape[1]
    if lacking <= 0:
        return values[:, :width]
    return np.concatenate([values, np.zeros((len(values), lacking))], axis=1)

"""The estimate that all policies share: that of planner.need, for many players side by side.

Conventions: S players (one a seed), N combinations; levels in notches from the goal, days as whole numbers.
The model is the planner's own: the same Gaussian process and sizes (planner.need.parts), gains of practice
(practice.py), likelihood averaged over what other ratings leave open (planner.need.laplace), Newton's method;
silence lifts nothing. What is simpler, so that thousands of terms can be
simulated:

- of the lasting part, which halves in three years, only what all combinations share moves with time, together
  with the player lately, in DRIFT directions; so the posterior falls apart into one small matrix for each
  combination and one R x R for each player;
- what others leave open at a rating is the variance before it was given, FIRST_OPEN at most, for good;
- the spread is today's own, not the widest since the last rating; nothing is folded.

Agreement with planner.need is checked by tests on sample players' shelves; the tolerance stands there.
Needs numpy and scipy.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from planner.need.covariance import fresh_in_time, lasting_in_time, lately_in_time
from planner.need.laplace import FIRST_OPEN, log_probability
from planner.need.parts import FRESH, LATELY, NOISE
from planner.simulate.catalogue import Catalogue
from planner.simulate.learners import Array, Codes, Mask

WIDTHS = (1, 2, 4, 6, 8, 12, 16, 24, 32, 48, 64, 96, 128, 192, 256)
"""Combinations with about as many ratings are worked on together, in matrices of these sizes."""

MOST_STEPS = 40
CLOSE_ENOUGH = 0.01
"""Notches that a step may still move a level by when the search ends."""

LONGEST_STEP = 10.0

DRIFT = 16
"""Directions in time that stand for the changes of what all combinations share."""

FIRST_DAY = -1
"""The day before the term, that of a first hearing: the earliest that is heard of."""

INNER_STEPS = 2
LEAST_CURVATURE = 1e-9


def drift(common: float, last_day: int) -> Array:
    """What all combinations share as directions in time, (days, DRIFT), in notches: `common` and lately."""
    days = np.arange(FIRST_DAY, last_day + 1)
    apart = np.subtract.outer(days, days)
    spread, ways = np.linalg.eigh(common**2 * lasting_in_time(apart) + LATELY**2 * lately_in_time(apart))
    largest = slice(max(0, len(days) - DRIFT), None)
    found = np.zeros((len(days), DRIFT))  # a short term has fewer
    found[:, : min(DRIFT, len(days))] = ways[:, largest] * np.sqrt(spread[largest])
    return found


COLUMNS = ("day", "low", "high", "open", "prior", "level", "centre")


@dataclass(frozen=True, slots=True)
class Told:
    """One rating for each player: bounds on clean tempo, the variance and the prior mean before it, (S,)."""

    low: Array
    high: Array
    open: Array
    prior: Array


@dataclass(slots=True)
class _Group:
    """Combinations (flat: player x N + combination) with up to `width` ratings each.

    `prior` is the prior mean at each rating, `sway` (width x R) how the lasting part moves it, `centre` the
    belief without the rating itself; `known` is (K + 1/W)^-1.
    """

    flat: Codes
    width: int
    days: Array
    inside: Array
    between: Array
    sway: Array
    bounds: tuple[Array, Array]
    open: Array
    prior: Array
    level: Array
    centre: Array
    known: Array
    pull: Array


class Listening:
    """What S players' ratings say about all their combinations."""

    def __init__(self, guesses: Array, catalogue: Catalogue, last_day: int) -> None:
        self.guesses = guesses
        self.players, self.size = guesses.shape
        self.drift = drift(catalogue.common, last_day)
        self.roots = np.concatenate([catalogue.roots, np.zeros((self.size, DRIFT))], axis=1)
        self.count = np.zeros(guesses.size, dtype=np.int64)
        self.heard = {name: np.zeros((guesses.size, 4)) for name in COLUMNS}
        width = self.roots.shape[1]
        self.mean = np.zeros((self.players, width))
        self.cov = np.repeat(np.eye(width)[None], self.players, axis=0)
        self._groups: list[_Group] = []
        self._last = FIRST_DAY

    def take(self, chosen: Codes, day: int, told: Told, asked: Mask) -> None:
        """One rating of one combination for each player where `asked`."""
        flat = (np.arange(self.players) * self.size + chosen)[asked]
        place = self.count[flat]
        if len(flat) and int(place.max()) >= self.heard["day"].shape[1]:
            self.heard = {
                name: np.concatenate([old, np.zeros_like(old)], axis=1) for name, old in self.heard.items()
            }
        low, high = told.low[asked], told.high[asked]
        middle = np.where(np.isinf(low), high, np.where(np.isinf(high), low, (low + high) / 2))
        known = (np.full_like(low, day), low, high)
        columns = (*known, np.minimum(told.open[asked], FIRST_OPEN), told.prior[asked], middle, middle)
        for name, what in zip(COLUMNS, columns, strict=True):
            self.heard[name][flat, place] = what
        self._last = max(self._last, day) if len(flat) else self._last
        self.count[flat] += 1

    def settle(self) -> None:
        """Find the best levels for everything heard so far; `estimates` speaks of that."""
        sizes = np.where(self.count > 0, np.searchsorted(WIDTHS, self.count), -1)
        self._groups = [
            self._group(WIDTHS[number], np.flatnonzero(sizes == number))
            for number in np.unique(sizes)
            if number >= 0
        ]
        for _ in range(MOST_STEPS):
            if self._step() < CLOSE_ENOUGH:
                break
        for group in self._groups:
            here = self.heard["day"].shape[1]
            self.heard["level"][group.flat, : group.width] = group.level[:, :here]
            self.heard["centre"][group.flat, : group.width] = group.centre[:, :here]

    def estimates(self, day: int, prior: Array) -> tuple[Array, Array]:
        """Mean and spread of every clean tempo on a day not before the last rating, (S, N).

        `prior` (S, N) is the prior mean of that day.
        """
        fresh, own = np.zeros(self.guesses.size), np.full(self.guesses.size, float(FRESH**2))
        sway = np.repeat(
            self._sway(np.arange(self.size), np.full(self.size, day))[None], self.players, axis=0
        )
        lasting = self._lasting(day)
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
        mean = prior + lasting + fresh.reshape(self.guesses.shape)
        return mean, np.sqrt(np.maximum(variance, 1e-6))

    def _lasting(self, day: int) -> Array:
        """Means of what is not the combinations' own, (S, N); without a rating what all share never rises."""
        since = self.drift[self._last - FIRST_DAY : day - FIRST_DAY + 1]
        shared = (self.mean[:, -DRIFT:] @ since.T).min(axis=1)
        found: Array = self.mean[:, :-DRIFT] @ self.roots[:, :-DRIFT].T + shared[:, None]
        return found

    def _group(self, width: int, flat: Codes) -> _Group:
        column = {name: _up_to(values[flat], width) for name, values in self.heard.items()}
        inside = (np.arange(width) < self.count[flat][:, None]).astype(np.float64)
        between = fresh_in_time(column["day"][:, :, None] - column["day"][:, None, :])
        between *= FRESH**2 * inside[:, :, None] * inside[:, None, :]
        sway = self._sway(np.repeat(flat % self.size, width), column["day"].reshape(-1))
        return _Group(
            flat=flat,
            width=width,
            days=column["day"],
            inside=inside,
            between=between,
            sway=sway.reshape(len(flat), width, -1) * inside[:, :, None],
            bounds=(column["low"], np.where(inside > 0, column["high"], np.inf)),
            open=column["open"],
            prior=column["prior"],
            level=column["level"],
            centre=column["centre"],
            known=np.zeros_like(between),
            pull=np.zeros_like(inside),
        )

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
            known = group.known @ group.sway
            ends = np.searchsorted(group.flat, np.arange(self.players + 1) * self.size)
            for player, (first, last) in enumerate(pairwise(ends.tolist())):
                sway = group.sway[first:last].reshape(-1, width)
                drawn[player] += group.pull[first:last].reshape(-1) @ sway
                weight[player] += sway.T @ known[first:last].reshape(-1, width)
        self.cov = np.linalg.inv(np.eye(width) + weight).astype(np.float64)
        self.mean = (self.cov @ drawn[:, :, None]).squeeze(2)
        return max((self._move(group) for group in self._groups), default=0.0)

    def _linearised(self, group: _Group) -> tuple[Array, Array]:
        """For each combination (K + 1/W)^-1, and that times what is asked of it; lasting part left out."""
        slope, curvature = _averaged(group)
        curvature = np.maximum(curvature, LEAST_CURVATURE) * group.inside
        asked = curvature * (group.level - group.prior) + slope * group.inside
        root = np.sqrt(curvature)
        scaled = np.eye(group.width) + root[:, :, None] * group.between * root[:, None, :]
        known = root[:, :, None] * np.linalg.inv(scaled) * root[:, None, :]
        pull = asked - (known @ (group.between @ asked[:, :, None])).squeeze(2)
        return known, pull

    def _move(self, group: _Group) -> float:
        lasting = group.sway @ self.mean[group.flat // self.size][:, :, None]
        group.pull = group.pull - (group.known @ lasting).squeeze(2)
        fresh = group.between @ group.pull[:, :, None]
        target = group.prior + (lasting + fresh).squeeze(2)
        change = np.clip(target - group.level, -LONGEST_STEP, LONGEST_STEP) * group.inside
        group.level = group.level + change
        return float(np.abs(change).max())


def _averaged(group: _Group) -> tuple[Array, Array]:
    """Slope and curvature of each rating as planner.need.laplace.averaged has them; `centre` is moved on."""
    noise = np.sqrt(NOISE**2 + group.open)
    for _ in range(INNER_STEPS):
        _, slope, curvature = log_probability(group.centre, *group.bounds, noise)
        step = (group.level - group.centre - group.open * slope) / (1.0 - group.open * curvature)
        group.centre = group.centre + np.clip(step, -LONGEST_STEP, LONGEST_STEP)
    _, slope, curvature = log_probability(group.centre, *group.bounds, noise)
    return slope, curvature / (1.0 - group.open * curvature)


def _up_to(values: Array, width: int) -> Array:
    """The first `width` columns, filled up with zeros where there are not so many."""
    lacking = width - values.shape[1]
    if lacking <= 0:
        return values[:, :width]
    return np.concatenate([values, np.zeros((len(values), lacking))], axis=1)

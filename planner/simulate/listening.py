"""The estimate that all policies share: that of planner.need.clean_tempo, kept up rating by rating.

Conventions: S players, N combinations, R directions of the lasting part (`roots` of the catalogue), levels
in notches from the goal. The model is the same Gaussian process with the same sizes (planner.need.parts);
three things are simpler, so that thousands of terms can be simulated: a rating is taken in once, by
matching its mean and variance, where the planner fits all of them together (Laplace); the lasting
part, which halves in three years, stands still; the power law of forgetting is a mixture of two
exponentials (within 0.004 of it for 130 days). Given the lasting part the combinations are independent,
so that nothing larger than R x R is ever inverted. Needs numpy and scipy.

Agreement with planner.need.clean_tempo, checked by the tests on simulated diaries of sample shelves: means
within 0.5 notches and spreads within 0.25 for nineteen of twenty combinations.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from planner.need.laplace import log_probability
from planner.need.parts import FORGETTING_PER_DAY, FRESH, NOISE

Array = NDArray[np.float64]
Codes = NDArray[np.int64]

RATES = FORGETTING_PER_DAY * np.array([0.165, 1.65])
FITTED_DAYS = 130
FADING = len(RATES)
STATES = FADING + 1
"""States of a combination's fresh part: one for each rate, and what it was at the last rating."""

LEAST_CURVATURE = 1e-9


def mixture() -> Array:
    """Shares of the exponentials whose sum is nearest to (1 + day/66)^-1/2."""
    days = np.arange(FITTED_DAYS)
    law = 1 / np.sqrt(1 + FORGETTING_PER_DAY * days)
    shares: Array = np.linalg.lstsq(np.exp(-np.outer(days, RATES)), law, rcond=None)[0]
    return shares / shares.sum()


class Listening:
    """What S players' ratings say: the lasting part as (mean, cov), the fresh part given the lasting one.

    The states of a combination are `slope` @ lasting + `base`, with covariance `own`.
    """

    def __init__(self, guesses: Array, roots: Array) -> None:
        players, count = guesses.shape
        width = roots.shape[1]
        self.guesses, self.roots = guesses, roots
        self.mean = np.zeros((players, width))
        self.cov = np.repeat(np.eye(width)[None], players, axis=0)
        self.slope = np.zeros((players, count, STATES, width))
        self.base = np.zeros((players, count, STATES))
        self.own = np.zeros((players, count, STATES, STATES))
        self.prior = np.diag([*(FRESH**2 * mixture()), 0.0])
        self.own[:] = self.prior
        self.read = np.array([1.0] * FADING + [0.0])
        self._players = np.arange(players)

    def take(self, chosen: Codes, low: Array, high: Array, asked: NDArray[np.bool_]) -> None:
        """One rating of one combination for each player where `asked`: clean tempo between two bounds."""
        here = self._players[asked]
        if not len(here):
            return
        site = (here, chosen[asked])
        slope, base, own = self.slope[site], self.base[site], self.own[site]
        toward = self.roots[chosen[asked]] + self.read @ slope
        spread = np.einsum("prq,pq->pr", self.cov[here], toward)
        fresh = own @ self.read
        mean = self.guesses[site] + (toward * self.mean[here]).sum(1) + base @ self.read
        variance = (toward * spread).sum(1) + fresh @ self.read
        heard, noise = _as_measured(mean, variance, low[asked], high[asked])
        known = fresh @ self.read + noise
        offset = heard - self.guesses[site] - base @ self.read
        self._move_own(site, slope, base, own, fresh / known[:, None], toward, fresh, offset)
        surprise = (heard - mean) / (variance + noise)
        self.mean[here] += spread * surprise[:, None]
        self.cov[here] -= spread[:, :, None] * spread[:, None, :] / (variance + noise)[:, None, None]

    def _move_own(
        self,
        site: tuple[Codes, Codes],
        slope: Array,
        base: Array,
        own: Array,
        gain: Array,
        toward: Array,
        fresh: Array,
        offset: Array,
    ) -> None:
        """The states of the combinations heard, given the lasting part; then what they are is noted."""
        slope = slope - gain[:, :, None] * toward[:, None, :]
        base = base + gain * offset[:, None]
        own = own - gain[:, :, None] * fresh[:, None, :]
        slope[:, FADING] = self.read @ slope
        base[:, FADING] = base @ self.read
        row = own @ self.read
        own[:, FADING, :FADING] = own[:, :FADING, FADING] = row[:, :FADING]
        own[:, FADING, FADING] = row @ self.read
        self.slope[site], self.base[site], self.own[site] = slope, base, own

    def sleep(self, days: int) -> None:
        """So many days of forgetting."""
        kept = np.array([*np.exp(-RATES * days), 1.0])
        self.slope *= kept[:, None]
        self.base *= kept
        self.own *= np.outer(kept, kept)
        self.own += self.prior * (1 - kept**2)

    def estimates(self) -> tuple[Array, Array]:
        """Mean and spread of every clean tempo today, (S, N); silence never heals a weak spot."""
        states = np.einsum("pnkr,pr->pnk", self.slope, self.mean) + self.base
        fresh = np.minimum(states @ self.read, np.where(states[..., FADING] == 0, np.inf, states[..., FADING]))
        mean = self.guesses + self.mean @ self.roots.T + fresh
        toward = self.roots + np.einsum("k,pnkr->pnr", self.read, self.slope)
        own = np.einsum("pnkl,k,l->pn", self.own, self.read, self.read)
        variance = (toward @ self.cov * toward).sum(-1) + own
        return mean, np.sqrt(np.maximum(variance, 1e-6))


def _as_measured(mean: Array, variance: Array, low: Array, high: Array) -> tuple[Array, Array]:
    """The normal measurement (value, variance of its noise) that moves a level as the interval would.

    The interval's own noise and the level's spread add up; log_probability works at the planner's noise, so
    everything is scaled by what the spread adds to it.
    """
    scale = np.sqrt(variance + NOISE**2) / NOISE
    _, slope, curvature = log_probability(mean / scale, low / scale, high / scale)
    slope, curvature = slope / scale, np.maximum(curvature / scale**2, LEAST_CURVATURE)
    return mean + slope / curvature, 1 / curvature - variance

"""Clean tempo at the rated sites: ordered probit, Laplace posterior by damped Newton. Needs numpy and scipy.

Conventions: a site is one combination with one articulation on one day; f is its clean tempo in notches
from the goal. A statement says that f + noise lies between `low` and `high`; noise 2 notches [assumption].
The posterior is log-concave, so there is one best f and every step with enough gain is safe. Algorithm
3.1 of Rasmussen & Williams, Gaussian Processes for Machine Learning (2006), with a halved step where
a whole one does not gain.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.need.parts import NOISE

Array = NDArray[np.float64]
Codes = NDArray[np.int64]

MOST_STEPS = 60
CLOSE_ENOUGH = 1e-9
"""Gain of a step in log posterior below which the search ends."""


@dataclass(frozen=True, slots=True)
class Statements:
    """Statements about sites: site index, lower and upper bound in notches from the goal."""

    site: Codes
    low: Array
    high: Array


@dataclass(frozen=True, slots=True)
class Posterior:
    """What the sites say about any row: mean += k @ `pull`, variance -= k @ `inverse` @ k."""

    pull: Array
    inverse: Array


def log_probability(level: Array, low: Array, high: Array) -> tuple[Array, Array, Array]:
    """Log probability of each statement given its site's level; its slope; minus its second derivative.

    Stable in both tails: the difference of two normal probabilities is taken on the side where it is small.
    """
    from scipy.special import log_ndtr

    below, above = (low - level) / NOISE, (high - level) / NOISE
    right = below > -above  # the interval's middle lies in the upper tail: mirror it
    lower = np.where(right, -above, below)
    upper = np.where(right, -below, above)
    log_upper = log_ndtr(upper)
    with np.errstate(invalid="ignore"):
        ratio = np.where(lower == -np.inf, -np.inf, log_ndtr(lower) - log_upper)
    log_p = log_upper + np.log1p(-np.exp(np.minimum(ratio, -1e-12)))
    density_below, density_above = _density_over(below, log_p), _density_over(above, log_p)
    slope = (density_below - density_above) / NOISE
    bend = _times(above, density_above) - _times(below, density_below)
    curvature = (bend + (density_below - density_above) ** 2) / NOISE**2
    return log_p, slope, np.clip(curvature, 0.0, 1.0 / NOISE**2)


def fit(covariance: Array, prior: Array, statements: Statements) -> Posterior:
    """The Laplace posterior over the sites; `covariance` is n x n, `prior` their prior mean."""
    pull = np.zeros(len(prior))
    level, best = prior.copy(), -np.inf
    for _ in range(MOST_STEPS):
        log_p, slope, curvature = _at_sites(level, statements)
        best = max(best, log_p - 0.5 * float(pull @ (level - prior)))
        root = np.sqrt(curvature)
        wanted = curvature * (level - prior) + slope
        scaled = np.eye(len(prior)) + root[:, None] * covariance * root
        step = wanted - root * np.linalg.solve(scaled, root * (covariance @ wanted)) - pull
        pull, level, gained, best = _walk(covariance, prior, statements, pull, step, best)
        if gained < CLOSE_ENOUGH:
            break
    root = np.sqrt(_at_sites(level, statements)[2])
    scaled = np.eye(len(prior)) + root[:, None] * covariance * root
    return Posterior(pull, root[:, None] * np.linalg.inv(scaled) * root)


def _walk(
    covariance: Array, prior: Array, statements: Statements, pull: Array, step: Array, best: float
) -> tuple[Array, Array, float, float]:
    """Along a Newton step, halved until it gains: the new pull, its levels, the gain, the new best."""
    along = covariance @ step
    start = covariance @ pull
    for halvings in range(30):
        share = 0.5**halvings
        trial = pull + share * step
        offset = start + share * along
        value = _at_sites(prior + offset, statements)[0] - 0.5 * float(trial @ offset)
        if value > best:
            return trial, prior + offset, value - best, value
    return pull, prior + start, 0.0, best


def _at_sites(level: Array, statements: Statements) -> tuple[float, Array, Array]:
    """Sum of log probabilities, and slope and curvature added up at each site."""
    log_p, slope, curvature = log_probability(level[statements.site], statements.low, statements.high)
    sites = len(level)
    return (
        float(log_p.sum()),
        np.bincount(statements.site, weights=slope, minlength=sites).astype(np.float64),
        np.bincount(statements.site, weights=curvature, minlength=sites).astype(np.float64),
    )


def _density_over(bound: Array, log_p: Array) -> Array:
    """Normal density at a bound divided by the probability; 0 at an infinite bound."""
    finite = np.isfinite(bound)
    log_density = -0.5 * np.where(finite, bound, 0.0) ** 2 - 0.5 * np.log(2 * np.pi)
    density: Array = np.exp(np.where(finite, log_density - log_p, -np.inf))
    return density


def _times(bound: Array, density: Array) -> Array:
    """The product of bound and density, 0 at an infinite bound."""
    return np.where(np.isfinite(bound), bound, 0.0) * density

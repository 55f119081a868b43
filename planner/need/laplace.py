"""Clean tempo at the rated sites: ordered probit, Gaussian posterior by damped Newton. Needs numpy and scipy.

Conventions: a site is one combination with one articulation on one day; f is its clean tempo in notches
from the goal. A statement says that f + noise lies between `low` and `high`; noise 2 notches [assumption].

`fit` is the Laplace posterior, Algorithm 3.1 of Rasmussen & Williams, Gaussian Processes for Machine Learning
(2006), with a halved step where a whole one does not gain. Its best f lies below the mean where statements
are bounds from below ("comfortable" far below what the player can do): by more than a notch on a few
ratings. `fit_means` therefore averages each statement over what all others leave open: at its end mean and
variance of every site are those of expectation propagation (section 3.6 there), found by the same Newton
search, because with the variances left open standing still the means are the top of a concave function again.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import lapack

from planner.need.parts import NOISE

Array = NDArray[np.float64]
Codes = NDArray[np.int64]

MOST_STEPS = 60
CLOSE_ENOUGH = 1e-9
"""Gain of a step in log posterior below which the search ends."""

MOST_ROUNDS, SEARCH_STEPS = 25, 5
CLOSE_HALVED = 1e-7
CLOSE_NOTCHES, CLOSE_SEARCH, CLOSE_CENTRE = 1e-5, 1e-6, 1e-8
"""The rounds of `fit_means`, the search in each and that for a centre end when no level moves further."""

FIRST_OPEN = 6.0
"""Variance that is taken to be left open before anything is known, in notches squared."""

FLAT = 1e-10
"""Curvature below which a site is as good as silent."""


@dataclass(frozen=True, slots=True)
class Statements:
    """Statements about sites: site index, lower and upper bound in notches from the goal.

    `open`: the variance of the site that all other statements leave open; None for the Laplace posterior.
    """

    site: Codes
    low: Array
    high: Array
    open: Array | None = None


@dataclass(frozen=True, slots=True)
class Posterior:
    """What the sites say about any row: mean += k @ `pull`, variance -= k @ `inverse` @ k.

    `pull` is (covariance)^-1 (best f - prior); `inverse` is (covariance + 1/curvature)^-1, that curvature
    being the one of the statements there; `evidence` is the Laplace approximation of the log marginal
    likelihood (nan where the posterior is another one).
    """

    pull: Array
    inverse: Array
    curvature: Array
    evidence: float


@dataclass(frozen=True, slots=True)
class Stand:
    """Where a search stands: pull, offset from the prior mean, log posterior, slope and curvature of sites.

    `each` is the curvature of each statement, `centre` the mean that others leave it (see `averaged`).
    """

    pull: Array
    offset: Array
    value: float
    slope: Array
    curvature: Array
    each: Array
    centre: Array


def log_probability(
    level: Array, low: Array, high: Array, noise: Array | float = NOISE
) -> tuple[Array, Array, Array]:
    """Log probability of each statement given its site's level; its slope; minus its second derivative.

    Stable in both tails: the difference of two normal probabilities is taken on the side where it is small.
    """
    from scipy.special import log_ndtr

    below, above = (low - level) / noise, (high - level) / noise
    right = below > -above  # the interval's middle lies in the upper tail: mirror it
    lower = np.where(right, -above, below)
    upper = np.where(right, -below, above)
    log_upper = log_ndtr(upper)
    with np.errstate(invalid="ignore"):
        ratio = np.where(lower == -np.inf, -np.inf, log_ndtr(lower) - log_upper)
    log_p = log_upper + np.log1p(-np.exp(np.minimum(ratio, -1e-12)))
    density_below, density_above = _density_over(below, log_p), _density_over(above, log_p)
    slope = (density_below - density_above) / noise
    bend = _times(above, density_above) - _times(below, density_below)
    curvature = (bend + (density_below - density_above) ** 2) / noise**2
    return log_p, slope, np.clip(curvature, 0.0, 1.0 / noise**2)


def bends(level: Array, told: Statements) -> tuple[Array, Array]:
    """For each site at its level: slope of the log probability of its statements, slope of its curvature.

    The second by differences: the third derivative of a difference of normal probabilities has no stable
    closed form in the tails.
    """
    here, step, sites = level[told.site], 1e-4, len(level)
    _, slope, _ = log_probability(here, told.low, told.high)
    _, _, above = log_probability(here + step, told.low, told.high)
    _, _, below = log_probability(here - step, told.low, told.high)
    drift = (above - below) / (2 * step)
    return (
        np.bincount(told.site, weights=slope, minlength=sites).astype(np.float64),
        np.bincount(told.site, weights=drift, minlength=sites).astype(np.float64),
    )


def averaged(
    level: Array, low: Array, high: Array, left: Array, centre: Array | None = None
) -> tuple[Array, Array, Array, Array]:
    """The same for a level that is the mean of a normal belief, `left` being the variance others leave open.

    The belief without the statement has its mean at c, where level = c + left x slope(c); the slope returned
    is that slope, so that means found with it are those of expectation propagation. c comes last; `centre`
    is where it is looked for first.
    """
    noise = np.sqrt(NOISE**2 + left)
    centre = level if centre is None else centre
    for _ in range(MOST_STEPS):
        log_p, slope, curvature = log_probability(centre, low, high, noise)
        step = (level - centre - left * slope) / (1.0 - left * curvature)
        if np.abs(step).max(initial=0.0) < CLOSE_CENTRE:
            break
        centre = centre + step
    return log_p + 0.5 * left * slope**2, slope, curvature / (1.0 - left * curvature), centre


def fit(covariance: Array, prior: Array, statements: Statements, pull: Array | None = None) -> Posterior:
    """The posterior over the sites; `covariance` is n x n, `prior` their prior mean.

    `pull` is where the search begins: that of a posterior nearby, or nothing. With nothing left open it is
    the Laplace posterior.
    """
    here = stand(covariance, prior, statements, np.zeros(len(prior)) if pull is None else pull)
    for _ in range(MOST_STEPS):
        root = np.sqrt(here.curvature)
        wanted = here.curvature * here.offset + here.slope
        step = wanted - root * solved(factor(covariance, root), root * (covariance @ wanted)) - here.pull
        before, here = here, _walked(covariance, prior, statements, here, step)
        if here.value - before.value < CLOSE_ENOUGH:
            break
    known = factor(covariance, np.sqrt(here.curvature))
    evidence = here.value - float(np.log(np.diag(known)).sum())
    return Posterior(here.pull, _inverse(known, here.curvature), here.curvature, evidence)


def fit_means(covariance: Array, prior: Array, statements: Statements) -> tuple[Posterior, Statements]:
    """The posterior with the means of expectation propagation; the statements with what they leave open."""
    told = replace(statements, open=np.full(len(statements.site), FIRST_OPEN))
    here = stand(covariance, prior, told, np.zeros(len(prior)))
    for _ in range(MOST_ROUNDS):
        curvature = here.curvature
        inverse = _inverse(factor(covariance, np.sqrt(curvature)), curvature)
        told = replace(told, open=_left_open(covariance, told, here, inverse))
        before = here
        here = search(covariance, prior, told, here, inverse)
        if np.abs(here.offset - before.offset).max() < CLOSE_NOTCHES:
            break
    return Posterior(here.pull, inverse, curvature, np.nan), told


def search(
    covariance: Array,
    prior: Array,
    statements: Statements,
    here: Stand,
    inverse: Array,
    close: float = CLOSE_SEARCH,
) -> Stand:
    """A better stand, found with an inverse that stands still; after some calls the best, within `close`."""
    here = stand(covariance, prior, statements, here.pull, here)
    for _ in range(SEARCH_STEPS):
        step = here.slope - here.pull
        step -= inverse @ (covariance @ step)
        before, here = here, _walked(covariance, prior, statements, here, step)
        if np.abs(here.offset - before.offset).max() < close:
            break
    return here


def _inverse(known: Array, curvature: Array) -> Array:
    """(covariance + 1/curvature)^-1 from the factor of 1 + root x covariance x root, which is used up."""
    root = np.sqrt(curvature)
    inverse = inverted(known)
    inverse *= root
    inverse *= root[:, None]
    return inverse


def _left_open(covariance: Array, statements: Statements, here: Stand, inverse: Array) -> Array:
    """For each statement the variance of its site without it."""
    variance = variance_at_sites(covariance, here.curvature, inverse)[statements.site]
    found: Array = variance / (1.0 - np.minimum(here.each * variance, 1 - CLOSE_ENOUGH))
    return found


def variance_at_sites(covariance: Array, curvature: Array, inverse: Array) -> Array:
    """The variance of every site."""
    with np.errstate(divide="ignore", invalid="ignore"):
        variance = (1.0 - np.diag(inverse) / curvature) / curvature
    for site in np.flatnonzero(curvature < FLAT):
        row = covariance[site]
        variance[site] = row[site] - row @ inverse @ row
    found: Array = np.maximum(variance, CLOSE_ENOUGH)
    return found


def factor(covariance: Array, root: Array) -> Array:
    """The lower Cholesky factor of 1 + root x covariance x root."""
    scaled = root[:, None] * covariance
    scaled *= root
    scaled[np.diag_indices_from(scaled)] += 1.0
    # Symmetric, so its transpose is the same matrix in the order that LAPACK works on in place.
    found, failed = lapack.dpotrf(scaled.T, lower=1, overwrite_a=1, clean=1)
    assert failed == 0, "1 + a covariance is always positive definite"
    result: Array = found
    return result


def solved(known: Array, wanted: Array) -> Array:
    """The solution for a matrix given by its Cholesky factor."""
    result: Array = lapack.dpotrs(known, wanted, lower=1)[0]
    return result


def inverted(known: Array) -> Array:
    """The inverse of a matrix given by its Cholesky factor, which is used up."""
    below: Array = lapack.dpotri(known, lower=1, overwrite_c=1)[0]
    result = below + below.T
    result[np.diag_indices_from(result)] *= 0.5
    return result


def stand(
    covariance: Array, prior: Array, statements: Statements, pull: Array, near: Stand | None = None
) -> Stand:
    """Where a search stands with this pull; `near` is a stand with the same pull, for other statements."""
    offset = covariance @ pull if near is None else near.offset
    return _stand(prior, statements, pull, offset, None if near is None else near.centre)


def _stand(prior: Array, told: Statements, pull: Array, offset: Array, centre: Array | None) -> Stand:
    """The same where the offset is known; `centre` is where those of the statements are looked for."""
    sites, level = len(prior), (prior + offset)[told.site]
    if told.open is None:
        log_p, slope, each = log_probability(level, told.low, told.high)
        centre = level
    else:
        log_p, slope, each, centre = averaged(level, told.low, told.high, told.open, centre)
    return Stand(
        pull=pull,
        offset=offset,
        value=float(log_p.sum()) - 0.5 * float(pull @ offset),
        slope=np.bincount(told.site, weights=slope, minlength=sites).astype(np.float64),
        curvature=np.bincount(told.site, weights=each, minlength=sites).astype(np.float64),
        each=each,
        centre=centre,
    )


def _walked(covariance: Array, prior: Array, told: Statements, here: Stand, step: Array) -> Stand:
    """Along a step, halved until it gains; where it stood if it never does before it moves nothing."""
    along = covariance @ step
    furthest = float(np.abs(along).max())
    for halvings in range(1 + max(0, math.ceil(math.log2(max(furthest, CLOSE_HALVED) / CLOSE_HALVED)))):
        share = 0.5**halvings
        moved = share * along
        centre = here.centre + moved[told.site]
        there = _stand(prior, told, here.pull + share * step, here.offset + moved, centre)
        if there.value > here.value:
            return there
    return here


def _density_over(bound: Array, log_p: Array) -> Array:
    """Normal density at a bound divided by the probability; 0 at an infinite bound."""
    finite = np.isfinite(bound)
    log_density = -0.5 * np.where(finite, bound, 0.0) ** 2 - 0.5 * np.log(2 * np.pi)
    density: Array = np.exp(np.where(finite, log_density - log_p, -np.inf))
    return density


def _times(bound: Array, density: Array) -> Array:
    """The product of bound and density, 0 at an infinite bound."""
    return np.where(np.isfinite(bound), bound, 0.0) * density

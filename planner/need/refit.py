"""The sizes of the parts of clean tempo from a player's own ratings: the likeliest ones, within bounds.

Conventions: sizes in notches as in parts.py. What is made as large as possible is the Laplace approximation
of the log marginal likelihood of everything heard of tempos (Rasmussen & Williams, Gaussian Processes for
Machine Learning (2006), section 5.5.1), plus a mild pull towards the usual sizes, so that a size about
which the ratings say nothing stays as it is. Each lies between half and twice the usual one. Nothing is
stored or used here: that is for the player to decide. Needs numpy and scipy.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from datetime import date

import numpy as np

from planner.diary.rating import Rating
from planner.inputs.player import Player
from planner.need import covariance, laplace
from planner.need.combinations import Combination
from planner.need.covariance import Array
from planner.need.estimator import shelves
from planner.need.evidence import fold, gather
from planner.need.gain import Turn, gains, turns_of
from planner.need.heard import Shelf, Sites, prior_at, sites_of
from planner.need.laplace import Statements
from planner.need.parts import DEFAULT, Scales, bounds_of

FEWEST = 150
"""Statements about tempos below which sizes are not fitted."""

MOST = 600
"""The newest statements that are looked at: more tell hardly more about so few sizes and cost far more."""

PULL = 0.4
"""Spread, as a share, within which a size is expected around the usual one."""

STEP = 1e-3
"""Of the logarithm of the gain, both ways, by which the slope in it is found."""

NAMES = tuple(one.name for one in fields(Scales))


@dataclass(frozen=True, slots=True)
class Refit:
    """Sizes before and after, how much likelier the ratings are with the new ones (in logs), from how many.

    `spread`: for each size the share within which it is known (of its logarithm); `PULL` where the ratings
    say nothing about it.
    """

    old: Scales
    new: Scales
    likelier: float
    ratings: int
    spread: Mapping[str, float]

    def known(self, name: str) -> bool:
        """Whether the ratings say anything to speak of about this size."""
        return self.spread[name] < 0.7 * PULL


def refit(
    combinations: Sequence[Combination],
    ratings: Iterable[Rating],
    day: date,
    player: Player,
    old: Scales = DEFAULT,
) -> Refit | int:
    """The likeliest sizes; or, where there are fewer than 150 statements about tempos, how many there are."""
    told = _Told.of(combinations, tuple(ratings), day, player)
    if told is None or len(told.statements.site) < FEWEST:
        return 0 if told is None else len(told.statements.site)
    from scipy.optimize import minimize

    bounds = [tuple(math.log(end / getattr(DEFAULT, name)) for end in bounds_of(name)) for name in NAMES]
    start = np.zeros(len(NAMES))
    best = minimize(
        told.badness, start, jac=told.slopes, method="L-BFGS-B", bounds=bounds, options={"ftol": 1e-7}
    )
    new = _scales(best.x)
    likelier = told.evidence(new) - told.evidence(old)
    return Refit(old, new, likelier, len(told.statements.site), told.spreads(best.x))


def _scales(logs: Array) -> Scales:
    """The usual sizes times the exponential of these, rounded to hundredths and kept within bounds."""
    found = {}
    for name, one in zip(NAMES, logs.tolist(), strict=True):
        low, high = bounds_of(name)
        found[name] = min(max(round(getattr(DEFAULT, name) * math.exp(one), 2), low), high)
    return Scales(**found)


def _sizes(logs: Array) -> Scales:
    """The usual sizes times the exponential of these, as they are."""
    sizes = {n: getattr(DEFAULT, n) * math.exp(one) for n, one in zip(NAMES, logs.tolist(), strict=True)}
    return replace(DEFAULT, **sizes)


@dataclass(slots=True)
class _Told:
    """Everything heard of tempos: sites, statements, and how alike the sites are part by part."""

    shelf: Shelf
    sites: Sites
    statements: Statements
    turns: tuple[Turn, ...]
    alike: dict[str, Array]
    pull: Array

    @classmethod
    def of(
        cls, combinations: Sequence[Combination], ratings: Sequence[Rating], day: date, player: Player
    ) -> _Told | None:
        """What was heard up to a day; None where nothing was."""
        known = {c.id: c for c in combinations if c.exercise.measure == "tempo"}
        evidence = [one for one in gather(known, ratings, day) if not one.limited]
        if not evidence:
            return None
        shelf = shelves(tuple(known.values()), player, DEFAULT)["tempo"]
        sites, statements = sites_of(shelf, fold(evidence, MOST, MOST))
        turns = turns_of(known, ratings, day)
        return cls(shelf, sites, statements, turns, _alike(shelf, sites), np.zeros(len(sites.row)))

    def evidence(self, scales: Scales) -> float:
        """The log marginal likelihood with these sizes."""
        return self._posterior(scales).evidence

    def _posterior(self, scales: Scales) -> laplace.Posterior:
        found = laplace.fit(self._between(scales), self._prior(scales.gain), self.statements, self.pull)
        self.pull = found.pull
        return found

    def _between(self, scales: Scales) -> Array:
        """The covariance of every two sites."""
        return np.asarray(sum(getattr(scales, name) ** 2 * alike for name, alike in self.alike.items()))

    def _prior(self, gain: float) -> Array:
        number, rows = self.shelf.number, self.shelf.rows.combination
        return prior_at(self.shelf, self.sites, gains(self.turns, number, rows, self.shelf.guess, gain))

    def slopes(self, logs: Array) -> Array:
        """The slope of `badness` in every size: Rasmussen & Williams, equations 5.22 to 5.24."""
        scales = _sizes(logs)
        found, between = self._posterior(scales), self._between(scales)
        bend, drift = laplace.bends(self._prior(scales.gain) + between @ found.pull, self.statements)
        open_to = laplace.variance_at_sites(between, found.curvature, found.inverse)
        # How the determinant moves with the best levels, and those with their prior means.
        uneven = -0.5 * open_to * drift
        moved = uneven - found.inverse @ (between @ uneven)
        slopes = [self._slope(found, scales, name, bend, moved) for name in self.alike]
        later, sooner = (self._prior(scales.gain * math.exp(step)) for step in (STEP, -STEP))
        raised = (later - sooner) / (2 * STEP)
        slopes.append(float(found.pull @ raised + moved @ raised))
        named = dict(zip((*self.alike, "gain"), slopes, strict=True))
        return np.asarray(logs / PULL**2 - np.array([named[name] for name in NAMES]))

    def _slope(self, found: laplace.Posterior, scales: Scales, name: str, bend: Array, moved: Array) -> float:
        """The slope of the evidence in the logarithm of one size."""
        grown = 2 * getattr(scales, name) ** 2 * self.alike[name]
        straight = 0.5 * found.pull @ grown @ found.pull - 0.5 * float((found.inverse * grown).sum())
        return float(straight + moved @ (grown @ bend))

    def badness(self, logs: Array) -> float:
        """What is made small: minus the evidence, and the way from the usual sizes."""
        return 0.5 * float((logs**2).sum()) / PULL**2 - self.evidence(_sizes(logs))

    def spreads(self, best: Array) -> dict[str, float]:
        """How well each size is known: from the bend of `badness` in it, the others standing still."""
        found, middle, step = {}, self.badness(best), 0.1
        for place, name in enumerate(NAMES):
            aside = step * np.eye(len(NAMES))[place]
            bend = (self.badness(best + aside) - 2 * middle + self.badness(best - aside)) / step**2
            found[name] = min(PULL, 1 / math.sqrt(max(bend, 1 / PULL**2)))
        return found


def _alike(shelf: Shelf, sites: Sites) -> dict[str, Array]:
    """For each size the covariance of every two sites that it would give at one notch."""
    apart = np.subtract.outer(sites.day, sites.day)
    lasting, codes = covariance.lasting_in_time(apart), shelf.rows.combination[sites.row]
    found = {}
    for name, where in covariance.blocks(shelf.rows.widths).items():
        root = shelf.roots[sites.row, where] / getattr(DEFAULT, "player" if name == "level" else name)
        found["player" if name == "level" else name] = (root @ root.T) * lasting
    found["lately"] = covariance.lately_in_time(apart)
    found["fresh"] = covariance.same(codes, codes) * covariance.fresh_in_time(apart)
    return found

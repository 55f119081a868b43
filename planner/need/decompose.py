"""An estimate taken apart: how much of it comes from the player's level, the exercise, the key, and so on.

Conventions: notches. Every part is 0 before anything is heard; first guess, expected gain of practice and the
means of all parts add up to the mean of the estimate (each the lowest since the last rating, as in
silence.py). The spread of a part is that of the part alone on the day asked. Ratings inside a limit lift
the part of the combination itself. Every measure has parts of its own: compare rows of one measure.
Needs numpy.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from planner.need import covariance, silence
from planner.need.covariance import Array
from planner.need.heard import Heard, Shelf
from planner.need.levels import Estimates

Parts = Mapping[str, tuple[float, float]]

PARTS = ("level", "lately", "exercise", "pattern", "key", "positions", "articulation", "combination")
"""Every part: `lately` is the player's level in the last weeks, `combination` what is fresh of itself."""


@dataclass(frozen=True, slots=True)
class Told:
    """What stands behind the estimates of one measure: rows, what was heard (None: nothing), lifts of rows.

    `lifts`: notches by which ratings inside a limit lift each row.
    """

    shelf: Shelf
    heard: Heard | None
    lifts: Array


def decompose(estimates: Estimates, combination_id: str, articulation: str) -> Parts:
    """Mean and spread of every part of one estimate on its day, in notches.

    KeyError for a row that was not asked for; LookupError where the estimates were put together by hand and
    have no ratings behind them that could be asked.
    """
    name = combination_id, articulation
    for told in _behind(estimates):
        if name in told.shelf.number:
            return _of(told, estimates.day.toordinal(), [told.shelf.number[name]])[0]
    raise KeyError(name)


def every_part(estimates: Estimates) -> Mapping[tuple[str, str], Parts]:
    """The same for every row at once, in the order of the estimates."""
    found: dict[tuple[str, str], Parts] = {}
    for told in _behind(estimates):
        each = _of(told, estimates.day.toordinal(), list(range(len(told.shelf.names))))
        found |= zip(told.shelf.names, each, strict=True)
    return {name: found[name] for name in estimates.estimates}


def _behind(estimates: Estimates) -> Iterator[Told]:
    told = [one for one in estimates.told if isinstance(one, Told)]
    if estimates.estimates and not told:
        raise LookupError("these estimates have no ratings behind them")
    return iter(told)


def _of(told: Told, day: int, rows: list[int]) -> list[Parts]:
    """The parts of these rows of one measure."""
    chosen = np.array(rows, dtype=np.int64)
    means, variances = _before(told.shelf, chosen)
    if told.heard is not None:
        until = silence.furthest(told.heard, day)
        means |= _means(told.heard, until, chosen)
        for name, known in _known(told.heard, until, chosen).items():
            variances[name] = variances[name] - known
    means["combination"] = means["combination"] + told.lifts[chosen]
    spreads = {name: np.sqrt(np.maximum(found, 0.0)).tolist() for name, found in variances.items()}
    levels = {name: found.tolist() for name, found in means.items()}
    return [{name: (levels[name][i], spreads[name][i]) for name in PARTS} for i in range(len(rows))]


def _before(shelf: Shelf, rows: covariance.Codes) -> tuple[dict[str, Array], dict[str, Array]]:
    """Means and variances of the parts before anything is heard."""
    nothing = np.zeros(len(rows))
    variances = {name: (root[rows] ** 2).sum(axis=1) for name, root in _roots(shelf).items()}
    variances["lately"] = nothing + shelf.scales.lately**2
    variances["combination"] = nothing + shelf.scales.fresh**2
    return dict.fromkeys(PARTS, nothing), variances


def _roots(shelf: Shelf) -> dict[str, Array]:
    """The short vectors of every row, part by part."""
    return {name: shelf.roots[:, where] for name, where in covariance.blocks(shelf.rows.widths).items()}


def _means(heard: Heard, until: int, rows: covariance.Codes) -> dict[str, Array]:
    """The mean of every part on the days on which the estimate is lowest."""
    drawn = silence.lowest_lasting(heard, until)[rows]
    roots = heard.shelf.roots[rows]
    found = {
        name: (roots[:, where] * drawn[:, where]).sum(axis=1)
        for name, where in covariance.blocks(heard.shelf.rows.widths).items()
    }
    found["lately"] = np.full(len(rows), silence.lately_mean(heard, until))
    found["combination"] = silence.fresh_means(heard, until)[heard.shelf.rows.combination[rows]]
    return found


def _known(heard: Heard, until: int, rows: covariance.Codes) -> dict[str, Array]:
    """How much of the variance of every part the ratings take away, the part alone."""
    sites, inverse, scales = heard.sites, heard.posterior.inverse, heard.shelf.scales
    ages = until - sites.day
    found: dict[str, Array] = {}
    for name, root in _roots(heard.shelf).items():
        at_sites = root[sites.row] * covariance.lasting_in_time(ages)[:, None]
        known = at_sites.T @ (inverse @ at_sites)
        found[name] = ((root[rows] @ known) * root[rows]).sum(axis=1)
    kept = covariance.lately_in_time(ages)
    found["lately"] = np.full(len(rows), scales.lately**4 * float(kept @ inverse @ kept))
    kept = covariance.fresh_in_time(ages)
    codes, size = heard.shelf.rows.combination[sites.row], int(heard.shelf.rows.combination.max()) + 1
    own = inverse * covariance.same(codes, codes)
    each = np.bincount(codes, weights=kept * (own @ kept), minlength=size).astype(np.float64)
    found["combination"] = scales.fresh**4 * each[heard.shelf.rows.combination[rows]]
    return found

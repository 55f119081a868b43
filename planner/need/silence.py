"""Estimates on the day asked, and the rule that silence never heals a weak spot. Needs numpy.

Conventions: a row is a combination with an articulation, a site one rated row on one day; days are counted
as ordinals. Forgetting pulls every estimate back to the first guess, which would lift a weak spot that
nobody has touched. So the mean is the sum of two lowest values: of the lasting part since the last rating
of anything, and of the fresh part since the last rating of that combination; the spread is the widest
since the last rating of anything. All three can only get worse from one day to the next. A plain 1
("fell apart") does not end the silence: what lifts an estimate is something better.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.need.covariance import Array, Codes, Features, fresh_in_time, lasting_in_time
from planner.need.laplace import Posterior
from planner.need.parts import FRESH

FURTHEST_DAYS = 3650
"""Silence longer than ten years counts as ten years."""


@dataclass(frozen=True, slots=True)
class Sites:
    """The rated sites: row, day, and whether something better than a plain 1 was heard there."""

    row: Codes
    day: Array
    lifts: Codes


def estimates(
    rows: Features, cross: Array, own: Array, sites: Sites, posterior: Posterior, day: int
) -> tuple[Array, Array]:
    """Change of the mean (add it to the first guess) and spread of every row on `day`, in notches.

    `cross` is the lasting covariance of rows and sites on one day, `own` the variance of each row before
    anything is heard.
    """
    last = int(sites.day.max())
    until = min(day, last + FURTHEST_DAYS)
    mean = _lasting_mean(cross, sites, posterior, until)
    per_combination = _sites_of(rows, sites)
    for combination, members in per_combination.items():
        mean[rows.combination == combination] += _fresh_mean(members, sites, posterior, until)
    return mean, _spread(rows, cross, own, sites, posterior, per_combination, until)


def _sites_of(rows: Features, sites: Sites) -> dict[int, Codes]:
    """The sites of every rated combination, in order."""
    found: dict[int, list[int]] = {}
    for site, combination in enumerate(rows.combination[sites.row]):
        found.setdefault(int(combination), []).append(site)
    return {combination: np.array(members) for combination, members in found.items()}


def _start(days: Array, lifts: Codes) -> int:
    """The day from which a silence is counted: the last with more than a plain 1, else the first."""
    lifted = days[lifts > 0]
    return int(lifted.max() if len(lifted) else days.min())


def _lasting_mean(cross: Array, sites: Sites, posterior: Posterior, until: int) -> Array:
    """The lowest value of the lasting part since the last rating that can lift anything."""
    start = _start(sites.day, sites.lifts)
    later = sites.day[sites.day > start]
    stops = np.unique(np.concatenate([[start, until], later]))
    pulls = [posterior.pull * lasting_in_time(stop - sites.day) for stop in stops]
    lowest: Array = (cross @ np.array(pulls).T).min(axis=1)
    return lowest


def _fresh_mean(members: Codes, sites: Sites, posterior: Posterior, until: int) -> float:
    """The lowest value of one combination's fresh part since its last rating that can lift it."""
    own_days = sites.day[members]
    days = np.arange(_start(own_days, sites.lifts[members]), until + 1)
    kept = fresh_in_time(np.subtract.outer(days, own_days))
    return float(FRESH**2 * (kept @ posterior.pull[members]).min())


def _spread(
    rows: Features,
    cross: Array,
    own: Array,
    sites: Sites,
    posterior: Posterior,
    per_combination: dict[int, Codes],
    until: int,
) -> Array:
    """The widest standard deviation of every row since the last rating of anything."""
    last = int(sites.day.max())
    on_last = cross * lasting_in_time(last - sites.day)
    drawn = on_last @ posterior.inverse
    heard = np.einsum("ij,ij->i", on_last, drawn)
    variance = own - heard * float(lasting_in_time(np.array(until - last))) ** 2
    days = np.arange(last, until + 1)
    fade = lasting_in_time(days - last)
    for combination, members in per_combination.items():
        kept = FRESH**2 * fresh_in_time(np.subtract.outer(days, sites.day[members]))
        fresh = np.einsum("ij,ij->i", kept @ posterior.inverse[np.ix_(members, members)], kept)
        for row in np.flatnonzero(rows.combination == combination):
            both = fade**2 * heard[row] + 2 * fade * (kept @ drawn[row, members]) + fresh
            variance[row] = own[row] - both.min()
    spread: Array = np.sqrt(np.maximum(variance, 1e-6))
    return spread

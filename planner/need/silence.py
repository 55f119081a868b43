"""Estimates on the day asked, and the rule that silence never heals a weak spot. Needs numpy.

Conventions: a row is a combination with an articulation, a site one rated row on one day; days are counted
as ordinals. Forgetting pulls every estimate back to the first guess, which would lift a weak spot that
nobody has touched. So the mean is the sum of three lowest values: of the lasting part and of the player
lately since the last rating of anything, and of the fresh part since the last rating of that combination; the
spread is the widest since the last rating of anything. All can only get worse from one day to the next. A
plain 1 ("fell apart") does not end the silence: what lifts an estimate is something better.
"""

from __future__ import annotations

import numpy as np

from planner.need.covariance import Array, Codes, fresh_in_time, lasting_in_time
from planner.need.heard import Heard

FURTHEST_DAYS = 3650
"""Silence longer than ten years counts as ten years."""

EVERY_DAY, THEN_EVERY = 32, 8
"""The spread is looked at on every day of a silence at first, then on every eighth."""


def estimates(heard: Heard, day: int) -> tuple[Array, Array]:
    """Change of the mean (add it to the prior mean) and spread of every row on `day`, in notches."""
    until = min(day, int(heard.sites.day.max()) + FURTHEST_DAYS)
    fresh = _fresh_means(heard, until)[heard.shelf.rows.combination]
    return _lasting_mean(heard, until) + _lately_mean(heard, until) + fresh, _spread(heard, until)


def _start(days: Array, lifts: Codes) -> int:
    """The day from which a silence is counted: the last with more than a plain 1, else the first."""
    lifted = days[lifts > 0]
    return int(lifted.max() if len(lifted) else days.min())


def _lasting_mean(heard: Heard, until: int) -> Array:
    """The lowest value of the lasting part since the last rating that can lift anything."""
    sites = heard.sites
    start = _start(sites.day, sites.lifts)
    stops = np.unique(np.concatenate([[start, until], sites.day[sites.day > start]]))
    pulls = heard.posterior.pull[:, None] * lasting_in_time(np.subtract.outer(sites.day, stops))
    lowest: Array = (heard.shelf.roots @ (heard.shelf.roots[sites.row].T @ pulls)).min(axis=1)
    return lowest


def _lately_mean(heard: Heard, until: int) -> float:
    """The lowest value of the player's level lately since the last rating that can lift anything."""
    days = np.arange(_start(heard.sites.day, heard.sites.lifts), until + 1)
    return heard.shelf.scales.lately**2 * _lowest(days, heard.sites.day, heard.posterior.pull)


def _fresh_means(heard: Heard, until: int) -> Array:
    """The lowest value of each combination's fresh part since its last rating that can lift it."""
    sites, pull = heard.sites, heard.posterior.pull
    codes = heard.shelf.rows.combination[sites.row]
    size = int(heard.shelf.rows.combination.max()) + 1
    start, last = np.full(size, -1.0), np.full(size, -1.0)
    np.maximum.at(start, codes, np.where(sites.lifts > 0, sites.day, -1.0))
    np.maximum.at(last, codes, sites.day)
    # Where all pulls go one way the lowest is today, or on the last day if that ends the silence.
    up, down = (np.bincount(codes, weights=way, minlength=size) > 0 for way in (pull > 0, pull < 0))
    at_once = ~down | (~up & (start == last))
    days = np.where(down, last, until)[codes]
    found = np.bincount(codes, weights=pull * fresh_in_time(days - sites.day), minlength=size)
    for combination, members in _by_combination(codes, np.flatnonzero(~at_once)).items():
        own = sites.day[members]
        found[combination] = _lowest(
            np.arange(_start(own, sites.lifts[members]), until + 1), own, pull[members]
        )
    scaled: Array = heard.shelf.scales.fresh**2 * found
    return scaled


def _lowest(days: Array | Codes, sites: Array, pull: Array) -> float:
    """The lowest sum of pulls, each fading both ways from its own day, on any of the days."""
    if days[0] >= sites.max():  # after all of them each fades by itself: often the lowest is at an end
        if (pull >= 0).all():
            days = days[-1:]
        elif (pull <= 0).all():
            days = days[:1]
    return float((fresh_in_time(np.subtract.outer(days, sites)) @ pull).min())


def _by_combination(codes: Codes, wanted: Codes) -> dict[int, Codes]:
    """The sites of each of these combinations, in order."""
    found: dict[int, list[int]] = {combination: [] for combination in wanted.tolist()}
    for site, combination in enumerate(codes.tolist()):
        if combination in found:
            found[combination].append(site)
    return {combination: np.array(members) for combination, members in found.items()}


def _spread(heard: Heard, until: int) -> Array:
    """The widest standard deviation of every row since the last rating of anything."""
    last = int(heard.sites.day.max())
    days = [*range(last, min(until, last + EVERY_DAY) + 1), *range(last + EVERY_DAY, until + 1, THEN_EVERY)]
    known = np.full(len(heard.shelf.own), np.inf)
    drawn = _Drawn(heard, last)
    for day in days:
        known = np.minimum(known, drawn.variance(day))
    spread: Array = np.sqrt(np.maximum(heard.shelf.own - known, 1e-6))
    return spread


class _Drawn:
    """How much variance the sites take from every row, day after day."""

    def __init__(self, heard: Heard, last: int) -> None:
        self._heard = heard
        self._last = last
        roots = heard.shelf.roots
        on_last = roots[heard.sites.row].T * lasting_in_time(last - heard.sites.day)
        self._by_roots = on_last @ heard.posterior.inverse
        lasting = self._by_roots @ on_last.T
        self._lasting: Array = ((roots @ lasting) * roots).sum(axis=1)
        self._codes = heard.shelf.rows.combination[heard.sites.row]
        self._own = heard.posterior.inverse * np.equal.outer(self._codes, self._codes)
        self._rated = np.flatnonzero(np.isin(heard.shelf.rows.combination, self._codes))

    def variance(self, day: int) -> Array:
        """The variance that is known on a day: lasting part, player lately and fresh part, and across them."""
        heard, shelf = self._heard, self._heard.shelf
        fade = float(lasting_in_time(np.array(day - self._last)))
        kept = fresh_in_time(day - heard.sites.day)
        lately, fresh = shelf.scales.lately**2 * kept, shelf.scales.fresh**2 * kept
        by_site = heard.posterior.inverse @ lately
        found: Array = fade**2 * self._lasting + float(lately @ by_site)
        found += 2 * fade * (shelf.roots @ (self._by_roots @ lately))
        own = fresh * (self._own @ fresh + 2 * by_site)
        size = int(shelf.rows.combination.max()) + 1
        found += np.bincount(self._codes, weights=own, minlength=size)[shelf.rows.combination]
        drawn = np.zeros((size, shelf.roots.shape[1]))
        np.add.at(drawn, self._codes, self._by_roots.T * fresh[:, None])
        rows = self._rated
        found[rows] += 2 * fade * (shelf.roots[rows] * drawn[shelf.rows.combination[rows]]).sum(axis=1)
        return found

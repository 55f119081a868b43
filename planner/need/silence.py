"""Estimates on the day asked, and the rule that silence never heals a weak spot. Needs numpy.

Conventions: a row is a combination with an articulation, a site one rated row on one day; days are counted
as ordinals. Forgetting pulls every estimate back to the first guess, which would lift a weak spot that
nobody has touched. So the mean is the sum of three lowest values: of the lasting part and of the player
lately since the last rating of anything, and of the fresh part since the last rating of that combination; the
spread is the widest since the last rating of anything. All can only get worse from one day to the next. A
plain 1 ("fell apart") does not end the silence: what lifts an estimate is something better.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from scipy.sparse import csr_array

from planner.need.covariance import Array, Codes, blocks, fresh_in_time, lasting_in_time, lately_in_time
from planner.need.heard import Heard, Shelf

FURTHEST_DAYS = 3650
"""Silence longer than ten years counts as ten years."""

EVERY_DAY, THEN_EVERY = 32, 8
"""The spread is looked at on every day of a silence at first, then on every eighth."""


def estimates(heard: Heard, day: int) -> tuple[Array, Array]:
    """Change of the mean (add it to the prior mean) and spread of every row on `day`, in notches."""
    until = furthest(heard, day)
    fresh = fresh_means(heard, until)[heard.shelf.rows.combination]
    lasting = (heard.shelf.roots * lowest_lasting(heard, until)).sum(axis=1)
    return lasting + lately_mean(heard, until) + fresh, _spread(heard, until)


def furthest(heard: Heard, day: int) -> int:
    """The day that is looked at: the one asked for, at most ten years after the last rating."""
    return min(day, int(heard.sites.day.max()) + FURTHEST_DAYS)


def _start(days: Array, lifts: Codes) -> int:
    """The day from which a silence is counted: the last with more than a plain 1, else the first."""
    lifted = days[lifts > 0]
    return int(lifted.max() if len(lifted) else days.min())


def lowest_lasting(heard: Heard, until: int) -> Array:
    """What the ratings say to the roots of every row, on the day on which its lasting part is lowest.

    That part is the sum of roots x what is returned; the days are those since the last rating that can lift
    anything.
    """
    sites = heard.sites
    start = _start(sites.day, sites.lifts)
    stops = np.unique(np.concatenate([[start, until], sites.day[sites.day > start]]))
    pulls = heard.posterior.pull[:, None] * lasting_in_time(np.subtract.outer(sites.day, stops))
    drawn = heard.shelf.roots[sites.row].T @ pulls
    lowest: Array = drawn[:, (heard.shelf.roots @ drawn).argmin(axis=1)].T
    return lowest


def lately_mean(heard: Heard, until: int) -> float:
    """The lowest value of the player's level lately since the last rating that can lift anything."""
    days = np.arange(_start(heard.sites.day, heard.sites.lifts), until + 1)
    return heard.shelf.scales.lately**2 * _lowest(days, heard.sites.day, heard.posterior.pull, lately_in_time)


def fresh_means(heard: Heard, until: int) -> Array:
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
    at_end = np.bincount(codes, weights=pull * fresh_in_time(days - sites.day), minlength=size)
    found: Array = at_end.astype(np.float64)
    scaled: Array = heard.shelf.scales.fresh**2 * found
    for combination, members in _by_combination(codes, np.flatnonzero(~at_once)).items():
        scaled[combination] = fresh_mean(heard, members, until)
    return scaled


def fresh_mean(heard: Heard, members: Codes, until: int) -> float:
    """The lowest value of the fresh part of the combination that these sites are about."""
    days, pull = heard.sites.day[members], heard.posterior.pull[members]
    silent = np.arange(_start(days, heard.sites.lifts[members]), until + 1)
    return heard.shelf.scales.fresh**2 * _lowest(silent, days, pull, fresh_in_time)


def _lowest(days: Array | Codes, sites: Array, pull: Array, in_time: Callable[[Array], Array]) -> float:
    """The lowest sum of pulls, each fading both ways from its own day, on any of the days."""
    if days[0] >= sites.max():  # after all of them each fades by itself: often the lowest is at an end
        if (pull >= 0).all():
            days = days[-1:]
        elif (pull <= 0).all():
            days = days[:1]
    return float((in_time(np.subtract.outer(days, sites)) @ pull).min())


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
        shelf, inverse = heard.shelf, heard.posterior.inverse
        by_roots, self._lasting = _by_roots(heard, last)
        codes, combination = shelf.rows.combination[heard.sites.row], shelf.rows.combination
        # The fresh part knows its own combination only: pairs of sites, and of rows and sites.
        self._one, self._other = _pairs(codes, codes)
        self._own = inverse[self._one, self._other]
        self._row, self._site = _pairs(combination, codes)
        self._across = np.einsum("ij,ij->i", shelf.roots[self._row], by_roots.T[self._site])
        self._by_roots = by_roots

    def variance(self, day: int) -> Array:
        """The variance that is known on a day: lasting part, lately and fresh part, and across them."""
        heard, shelf = self._heard, self._heard.shelf
        fade = float(lasting_in_time(np.array(day - self._last)))
        ages = day - heard.sites.day
        lately = shelf.scales.lately**2 * lately_in_time(ages)
        fresh = shelf.scales.fresh**2 * fresh_in_time(ages)
        by_site = heard.posterior.inverse @ lately
        found: Array = fade**2 * self._lasting + float(lately @ by_site)
        found += 2 * fade * (shelf.roots @ (self._by_roots @ lately))
        own = np.bincount(self._one, weights=self._own * fresh[self._other], minlength=len(fresh))
        rows, sites = self._row, self._site
        own_and_across = fresh * (own + 2 * by_site)
        each = own_and_across[sites] + 2 * fade * self._across * fresh[sites]
        return found + np.bincount(rows, weights=each, minlength=len(found))


def _by_roots(heard: Heard, last: int) -> tuple[Array, Array]:
    """What the sites say to every root on the last day heard, times the inverse; what rows lose by it."""
    shelf, inverse = heard.shelf, heard.posterior.inverse
    on_last = shelf.roots[heard.sites.row] * lasting_in_time(last - heard.sites.day)[:, None]
    # Beyond these columns every row has a single entry for its exercise, pattern and articulation.
    full = blocks(shelf.rows.widths)["positions"].stop
    single = csr_array(on_last[:, full:].T)
    by_roots = np.concatenate([on_last[:, :full].T @ inverse, single @ inverse])
    lasting = np.concatenate([by_roots @ on_last[:, :full], (single @ by_roots.T).T], axis=1)
    return by_roots, _lost(shelf, lasting, full)


def _lost(shelf: Shelf, lasting: Array, full: int) -> Array:
    """Roots x lasting x roots of every row, at the entries that are not 0."""
    dense, where = shelf.roots[:, :full], blocks(shelf.rows.widths)
    ones = [(name, where[name].start + getattr(shelf.rows, name)) for name in list(where)[3:]]
    single = [(column, getattr(shelf.scales, name)) for name, column in ones]
    drawn = dense @ lasting[:full]
    found: Array = np.einsum("ij,ij->i", drawn[:, :full], dense)
    for column, size in single:
        found += 2 * size * drawn[np.arange(len(found)), column]
        for other, other_size in single:
            found += size * other_size * lasting[column, other]
    return found


def _pairs(ones: Codes, others: Codes) -> tuple[Codes, Codes]:
    """Every place in `ones` with every place in `others` that has the same code."""
    order = np.argsort(others, kind="stable")
    known = others[order]
    first, after = np.searchsorted(known, ones, "left"), np.searchsorted(known, ones, "right")
    many = after - first
    within = np.arange(many.sum()) - np.repeat(np.cumsum(many) - many, many)
    return np.repeat(np.arange(len(ones)), many), order[np.repeat(first, many) + within]

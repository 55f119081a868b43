"""What was heard of the rows of one measure, and its posterior; one more statement at a time where wanted.

Conventions: a row is a combination with an articulation, a site one rated row on one day; levels are notches
from the goal, days ordinals. `Shelf` is what nothing heard can change, `Heard` the sites with their
posterior. A statement that comes after all others is taken in without solving everything again: the best
levels are found with the old inverse as a guide, and the inverse is corrected where the curvature changed.
A module of its own, so that whoever needs no estimate never waits for numpy.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from planner.need import covariance, laplace
from planner.need.covariance import Array, Codes, Features, Row
from planner.need.evidence import Evidence
from planner.need.gain import Gains
from planner.need.laplace import Posterior, Statements
from planner.need.parts import Scales

MOST_ROUNDS = 8
CLOSE_NOTCHES = 1e-4
"""The search with the old inverse ends when no level moves by more than so much."""

CHANGED = 0.01
"""Change of curvature (a quarter at most) from which the inverse is corrected at a site."""

MOST_CORRECTED = 32
"""More sites than these and everything is solved again."""


@dataclass(frozen=True, slots=True)
class Shelf:
    """The rows of one measure: names, features, roots (see covariance.py), own variance, first guesses."""

    names: tuple[tuple[str, str], ...]
    number: Mapping[tuple[str, str], int]
    rows: Features
    roots: Array
    own: Array
    guess: Array
    scales: Scales


@dataclass(frozen=True, slots=True)
class Sites:
    """The rated sites: row, day, and whether something better than a plain 1 was heard there."""

    row: Codes
    day: Array
    lifts: Codes


@dataclass(frozen=True, slots=True)
class Heard:
    """Sites with their statements, prior means, covariance between every two of them, and posterior."""

    shelf: Shelf
    sites: Sites
    statements: Statements
    prior: Array
    between: Array
    posterior: Posterior


def shelf_of(rows: Sequence[Row], guesses: Sequence[float], scales: Scales) -> Shelf:
    """The shelf of these rows, each with its first guess."""
    features = covariance.features_of(rows)
    names = tuple((combination.id, articulation) for combination, articulation in rows)
    return Shelf(
        names=names,
        number={name: row for row, name in enumerate(names)},
        rows=features,
        roots=covariance.roots(features, scales),
        own=covariance.own_variance(features, scales),
        guess=np.array(guesses, dtype=np.float64),
        scales=scales,
    )


def hear(shelf: Shelf, evidence: Sequence[Evidence], practised: Gains) -> Heard:
    """Everything that was heard, solved from the beginning; at least one statement."""
    sites, statements = sites_of(shelf, evidence)
    prior = prior_at(shelf, sites, practised)
    between = _between(shelf, sites)
    posterior, told = laplace.fit_means(between, prior, statements)
    return Heard(shelf, sites, told, prior, between, posterior)


def hear_one_more(heard: Heard, one: Evidence, practised: Gains) -> Heard:
    """The same with one more statement, of the last day heard or a later one."""
    row, day = heard.shelf.number[one.combination, one.articulation], one.day.toordinal()
    known = np.flatnonzero((heard.sites.row == row) & (heard.sites.day == day))
    if not len(known):
        heard = _with_site(heard, row, day, practised)
    site = int(known[0]) if len(known) else len(heard.prior) - 1
    lifts = heard.sites.lifts.copy()
    lifts[site] |= int(one.lifts)
    heard = replace(heard, sites=replace(heard.sites, lifts=lifts))
    return _followed(heard, _with_statement(heard, site, one))


def sites_of(shelf: Shelf, evidence: Sequence[Evidence]) -> tuple[Sites, Statements]:
    """The rated rows day by day, and the statements about each of them."""
    at = [(one.day.toordinal(), shelf.number[one.combination, one.articulation]) for one in evidence]
    keys = sorted(set(at))
    place = {key: site for site, key in enumerate(keys)}
    where = np.array([place[key] for key in at])
    lifted = np.bincount(where, weights=[float(one.lifts) for one in evidence], minlength=len(keys))
    sites = Sites(
        row=np.array([row for _, row in keys]),
        day=np.array([day for day, _ in keys], dtype=np.float64),
        lifts=(lifted > 0).astype(np.int64),
    )
    low, high = np.array([one.low for one in evidence]), np.array([one.high for one in evidence])
    return sites, Statements(where, low, high)


def prior_at(shelf: Shelf, sites: Sites, practised: Gains) -> Array:
    """The prior mean at each site: first guess, and what earlier practice is expected to have gained."""
    guess = shelf.guess[sites.row]
    return guess + practised.before(shelf.rows.combination[sites.row], guess, sites.day)


def _between(shelf: Shelf, sites: Sites) -> Array:
    """The covariance of every two sites."""
    # Both laws of time once for each day apart: sites are many, days few.
    ages = np.arange(sites.day.max() - sites.day.min() + 1)
    apart = np.abs(np.subtract.outer(sites.day, sites.day)).astype(np.int64)
    roots = shelf.roots[sites.row]
    between = roots @ roots.T
    between *= covariance.lasting_in_time(ages)[apart]
    codes = shelf.rows.combination[sites.row]
    fading = shelf.scales.fresh**2 * covariance.same(codes, codes)
    fading *= covariance.fresh_in_time(ages)[apart]
    between += fading
    between += (shelf.scales.lately**2 * covariance.lately_in_time(ages))[apart]
    result: Array = between
    return result


def _with_site(heard: Heard, row: int, day: int, practised: Gains) -> Heard:
    """One more site about which nothing is said yet."""
    shelf, old, one = heard.shelf, heard.posterior, np.array([row])
    rows, days = np.append(heard.sites.row, row), np.append(heard.sites.day, float(day))
    codes = shelf.rows.combination[rows]
    together = (codes == codes[-1]).astype(np.float64)
    column = (shelf.roots[rows] @ shelf.roots[row]) * covariance.lasting_in_time(days - day)
    column += shelf.scales.lately**2 * covariance.lately_in_time(days - day)
    column += shelf.scales.fresh**2 * together * covariance.fresh_in_time(days - day)
    nothing = np.zeros(len(rows))
    return replace(
        heard,
        sites=Sites(rows, days, np.append(heard.sites.lifts, 0)),
        prior=np.append(heard.prior, prior_at(shelf, Sites(one, days[-1:], one), practised)),
        between=_bordered(heard.between, column),
        posterior=Posterior(
            np.append(old.pull, 0.0), _bordered(old.inverse, nothing), np.append(old.curvature, 0.0), np.nan
        ),
    )


def _bordered(matrix: Array, column: Array) -> Array:
    """A symmetric matrix with one more row and column."""
    size = len(column)
    wider = np.empty((size, size))
    wider[:-1, :-1] = matrix
    wider[-1, :] = wider[:, -1] = column
    return wider


def _with_statement(heard: Heard, site: int, one: Evidence) -> Statements:
    """The statements with one more, which all others leave open as far as the site is not known."""
    told, column = heard.statements, heard.between[site]
    left = column[site] - column @ heard.posterior.inverse @ column
    assert told.open is not None, "what was heard was averaged over what is left open"
    return Statements(
        np.append(told.site, site),
        np.append(told.low, one.low),
        np.append(told.high, one.high),
        np.append(told.open, left),
    )


def _followed(heard: Heard, told: Statements) -> Heard:
    """What was heard with more statements; solved again where the old inverse lies too far away.

    What the old statements leave open is taken to stay as it was, and the inverse is that of curvatures
    within CHANGED of the right ones.
    """
    between, prior, old = heard.between, heard.prior, heard.posterior
    inverse, known = old.inverse, old.curvature.copy()
    here = laplace.stand(between, prior, told, old.pull)
    for _ in range(MOST_ROUNDS):
        change = here.curvature - known
        where = np.flatnonzero(np.abs(change) > CHANGED)
        if len(where) > MOST_CORRECTED:
            break
        inverse = _corrected(between, inverse, where, change[where])
        known[where] += change[where]
        before = here
        here = laplace.search(between, prior, told, here, inverse, CLOSE_NOTCHES)
        if np.abs(here.offset - before.offset).max() < CLOSE_NOTCHES:
            return replace(heard, statements=told, posterior=Posterior(here.pull, inverse, known, np.nan))
    posterior, told = laplace.fit_means(between, prior, told)
    return replace(heard, statements=told, posterior=posterior)


def _corrected(between: Array, inverse: Array, where: Codes, change: Array) -> Array:
    """(covariance + 1/curvature)^-1 where the curvature changes at a few sites (Woodbury, no 1/curvature)."""
    if not len(where):
        return inverse
    away = -(inverse @ between[where].T)
    away[where, np.arange(len(where))] += 1.0
    variance = between[where] @ away
    middle = np.linalg.solve(np.eye(len(where)) + change[:, None] * variance, np.diag(change))
    result: Array = inverse + away @ middle @ away.T
    return result

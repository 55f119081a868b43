"""From evidence to estimates: the rated sites, their posterior, and what follows for every row. Needs numpy.

Conventions: rows and sites as in silence.py; everything is in notches. A module of its own, so that
whoever needs no estimate never waits for numpy.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

import numpy as np

from planner.need import covariance, laplace, silence
from planner.need.covariance import Features, Row
from planner.need.evidence import Evidence
from planner.need.laplace import Posterior, Statements
from planner.need.parts import FRESH
from planner.need.silence import Sites


def changes_and_spreads(
    rows: Sequence[Row], guesses: Sequence[float], evidence: Sequence[Evidence], day: date
) -> tuple[list[float], list[float]]:
    """For every row: the change of its mean from the first guess and its standard deviation on `day`."""
    features = covariance.features_of(rows)
    own = covariance.own_variance(features)
    if not rows or not evidence:
        return [0.0] * len(rows), np.sqrt(own).tolist()
    sites, statements = _sites(rows, evidence)
    posterior = _posterior(features.take(sites.row), sites, np.array(guesses)[sites.row], statements)
    cross = covariance.lasting(features, features.take(sites.row))
    change, spread = silence.estimates(features, cross, own, sites, posterior, day.toordinal())
    return change.tolist(), spread.tolist()


def _sites(rows: Sequence[Row], evidence: Sequence[Evidence]) -> tuple[Sites, Statements]:
    """The rated rows day by day, and the statements about each of them."""
    number: dict[tuple[str, str], int] = {(c.id, a): row for row, (c, a) in enumerate(rows)}
    at = [(one.day.toordinal(), number[one.combination, one.articulation]) for one in evidence]
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


def _posterior(rated: Features, sites: Sites, prior: covariance.Array, statements: Statements) -> Posterior:
    """The posterior over the sites: lasting part and fresh part between every two of them."""
    apart = np.subtract.outer(sites.day, sites.day)
    between = covariance.lasting(rated, rated) * covariance.lasting_in_time(apart)
    together = covariance.same(rated.combination, rated.combination)
    between += FRESH**2 * together * covariance.fresh_in_time(apart)
    return laplace.fit(between, prior, statements)

"""Which ratings surprised: each against the estimate of the day before, as a standardised residual.

Conventions: a statement of a rating says that what was heard lies between two bounds, in notches from the
goal. Its residual is the mean of what was expected inside these bounds, in spreads of one hearing: the
generalised residual of an interval (Chesher & Irish, Journal of Econometrics 34, 1987; from memory). Above 0
it went better than expected. The estimate is that of all earlier days' ratings. Needs numpy through it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from statistics import NormalDist

from planner.diary.rating import Rating
from planner.inputs.player import Player
from planner.need.combinations import Combination
from planner.need.evidence import Evidence, evidence_of
from planner.need.levels import CleanTempo
from planner.need.parts import DEFAULT, NOISE, Scales

FURTHEST = 8.0
"""Spreads beyond which a bound counts as no further."""


@dataclass(frozen=True, slots=True)
class Surprise:
    """One statement of a rating: what was expected, and by how many spreads it came out otherwise.

    `before`: how many statements about the combination there were already.
    """

    rating: Rating
    articulation: str
    expected: CleanTempo
    residual: float
    before: int


def surprises(
    combinations: Sequence[Combination],
    ratings: Sequence[Rating],
    player: Player,
    since: date,
    until: date,
    scales: Scales = DEFAULT,
) -> tuple[Surprise, ...]:
    """Every statement from `since` to `until` with its residual, in the order of days; limited ones left out.

    Only combinations that were rated are estimated: the others tell nothing about them.
    """
    from planner.need.estimator import Estimator

    rated = {rating.combination for rating in ratings}
    known = {c.id: c for c in combinations if c.id in rated}
    inside = sorted(
        (r for r in ratings if r.combination in known and r.day <= until),
        key=lambda r: (r.day, r.at, r.combination),
    )
    earlier = [rating for rating in inside if rating.day < since]
    estimator = Estimator(list(known.values()), earlier, since, player, scales)
    found: list[Surprise] = []
    for day, group in groupby([r for r in inside if r.day >= since], key=lambda rating: rating.day):
        members = list(group)
        estimates = estimator.on(day)
        for rating in members:
            one = known[rating.combination]
            before = sum(estimates.rated[one.id, a] for a in one.articulations)
            found += _of(one, rating, estimates.estimates, before)
        for rating in members:
            estimator.add(rating)
    return tuple(found)


def _of(
    one: Combination, rating: Rating, estimates: Mapping[tuple[str, str], CleanTempo], before: int
) -> list[Surprise]:
    if rating.limited:
        return []
    statements = evidence_of(one, rating)
    expected = [estimates[each.combination, each.articulation] for each in statements]
    return [
        Surprise(rating, each.articulation, clean, residual(each, clean), before)
        for each, clean in zip(statements, expected, strict=True)
    ]


def residual(said: Evidence, expected: CleanTempo) -> float:
    """The mean of a standard normal between the bounds of a statement, seen from what was expected.

    For bounds a < b in spreads of one hearing: (density(a) - density(b)) / (probability of a to b).
    """
    spread = math.hypot(expected.sd, NOISE)
    low, high = ((bound - expected.mean) / spread for bound in (said.low, said.high))
    if low > FURTHEST or high < -FURTHEST:
        return low if low > FURTHEST else high
    normal = NormalDist()
    chance = normal.cdf(high) - normal.cdf(low) if low < 0 else normal.cdf(-low) - normal.cdf(-high)
    density_low, density_high = (0.0 if math.isinf(x) else normal.pdf(x) for x in (low, high))
    return (density_low - density_high) / chance

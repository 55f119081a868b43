"""Ratings given inside a limit (braces, illness, a clinician's cap): they lift an estimate or leave it.

Conventions: levels are notches from the goal. Such a rating shows what was possible, not what is lost, so
only its lower bound counts, and only for the combination itself: what neighbours might learn from it could
lower one of them. The lift is the mean of a normal distribution with the spread of the combination's own
part, seen through the lower bound; it fades like everything fresh. A later day never has a larger lift.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from datetime import date

from planner.need.evidence import Evidence
from planner.need.parts import FORGETTING_PER_DAY, FRESH, NOISE

FAR_BELOW = -30.0


def lifted(mean: float, evidence: Iterable[Evidence], day: date) -> float:
    """The mean of one combination and articulation on `day`, after its limited ratings have lifted it."""
    for one in evidence:
        kept = 1 / math.sqrt(1 + FORGETTING_PER_DAY * (day - one.day).days)
        mean += kept * lift(mean, one.low)
    return mean


def lift(mean: float, low: float) -> float:
    """Notches by which "at least `low`" lifts a mean; almost nothing where the mean lies above it.

    "At least" minus infinity lifts nothing.
    """
    spread = math.hypot(FRESH, NOISE)
    return FRESH**2 / spread * inverse_mills((mean - low) / spread)


def inverse_mills(z: float) -> float:
    """Normal density over normal probability at z, in every range of z."""
    if z < FAR_BELOW:
        return -z - 1 / z
    return math.sqrt(2 / math.pi) * math.exp(-z * z / 2) / math.erfc(-z / math.sqrt(2))

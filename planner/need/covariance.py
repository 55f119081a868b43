"""How alike two combinations are: the covariances of clean tempo, in notches squared. Needs numpy.

Conventions: a row is one combination with one articulation. The lasting part is a sum of Gram matrices
(player, exercise, pattern, key, positions, articulation), so it is a covariance whatever the music. Keys
are compared by the notes of their scales, |A and B| / sqrt(|A| |B|), with the part that all keys share
(the direction of the chromatic scale) taken out: C and G are near, C and F sharp opposite, and a chromatic
exercise has no key. Cycles of positions are compared by the mean of 0.7^|difference| over both, divided by
each cycle with itself. Time: `lasting_in_time` halves in three years, `fresh_in_time` by the power law.
The sizes of the parts stand in parts.py.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from planner.brass.keys import Key, degree_pitch
from planner.inputs.curriculum import Articulation
from planner.need.combinations import Combination
from planner.need.parts import (
    ARTICULATION,
    EXERCISE,
    FORGETTING_PER_DAY,
    FRESH,
    KEY,
    LASTING_HALF_LIFE_DAYS,
    NEIGHBOUR_POSITION,
    PATTERN,
    PLAYER,
    POSITIONS,
)

Array = NDArray[np.float64]
Codes = NDArray[np.int64]

MOST_POSITIONS = 12
Row = tuple[Combination, Articulation]


@dataclass(frozen=True, slots=True)
class Features:
    """What the lasting part compares, one entry a row: codes, and vectors of keys (12) and positions (12)."""

    combination: Codes
    exercise: Codes
    pattern: Codes
    articulation: Codes
    keys: Array
    positions: Array

    def take(self, rows: Codes) -> Features:
        """The features of some of the rows, in the order asked for."""
        return Features(
            self.combination[rows],
            self.exercise[rows],
            self.pattern[rows],
            self.articulation[rows],
            self.keys[rows],
            self.positions[rows],
        )


def features_of(rows: Sequence[Row]) -> Features:
    """The features of every row, in order."""
    return Features(
        _codes([combination.id for combination, _ in rows]),
        _codes([combination.exercise.id for combination, _ in rows]),
        _codes([(combination.exercise.id, combination.pattern.name) for combination, _ in rows]),
        _codes([articulation for _, articulation in rows]),
        np.array([key_vector(combination.keys) for combination, _ in rows]).reshape(len(rows), 12),
        _position_vectors([cycle_of(combination) for combination, _ in rows]),
    )


def lasting(a: Features, b: Features) -> Array:
    """Covariance of the lasting part between every row of `a` and every row of `b`, on one day."""
    result: Array = PLAYER**2 + KEY**2 * (a.keys @ b.keys.T) + POSITIONS**2 * (a.positions @ b.positions.T)
    result += EXERCISE**2 * same(a.exercise, b.exercise)
    result += PATTERN**2 * same(a.pattern, b.pattern)
    result += ARTICULATION**2 * same(a.articulation, b.articulation)
    return result


def own_variance(rows: Features) -> Array:
    """Variance of each row before anything is heard: lasting part and fresh part."""
    fixed = PLAYER**2 + EXERCISE**2 + PATTERN**2 + ARTICULATION**2 + FRESH**2
    keys: Array = KEY**2 * (rows.keys**2).sum(axis=1)
    positions: Array = POSITIONS**2 * (rows.positions**2).sum(axis=1)
    return fixed + keys + positions


def same(a: Codes, b: Codes) -> Array:
    """1 where the codes agree, 0 elsewhere: rows of `a` down, rows of `b` across."""
    return np.equal.outer(a, b).astype(np.float64)


def lasting_in_time(days: Array | Codes) -> Array:
    """What is left of the lasting part after so many days; the sign does not matter."""
    left: Array = np.exp2(-np.abs(days) / LASTING_HALF_LIFE_DAYS)
    return left


def fresh_in_time(days: Array | Codes) -> Array:
    """What is left of the fresh part after so many days: (1 + days/66)^-1/2, a mixture of exponentials."""
    left: Array = 1.0 / np.sqrt(1.0 + FORGETTING_PER_DAY * np.abs(days))
    return left


def key_vector(keys: Sequence[Key]) -> Array:
    """The keys of a combination as a vector of 12: the mean of its keys without the chromatic part."""
    total = np.zeros(12)
    for key in keys:
        total += _scale_vector(key)
    return total / max(1, len(keys))


@cache
def _scale_vector(key: Key) -> Array:
    vector = np.zeros(12)
    if key.mode != "chromatic":
        vector[sorted(scale_notes(key))] = 1.0
        vector -= vector.mean()
        vector /= np.sqrt(float((vector**2).sum()))
    return vector


def scale_notes(key: Key) -> frozenset[int]:
    """Pitch classes of a key's scale, up and down (the melodic minor has nine); all 12 for chromatic."""
    if key.mode == "chromatic":
        return frozenset(range(12))
    ways = ((degree, down) for degree in range(1, 8) for down in (False, True))
    return frozenset(degree_pitch(key, degree, 0, 4, descending=down).midi % 12 for degree, down in ways)


def cycle_of(combination: Combination) -> tuple[int, ...]:
    """The positions a combination is compared by: its cycle, or the positions its notes touch."""
    return combination.place.positions or combination.positions


def _position_vectors(cycles: Sequence[tuple[int, ...]]) -> Array:
    """Unit vectors whose products are the likeness of two cycles."""
    counts = np.zeros((len(cycles), MOST_POSITIONS))
    for row, cycle in enumerate(cycles):
        for position in cycle:
            counts[row, min(position, MOST_POSITIONS) - 1] += 1.0
    steps = np.arange(MOST_POSITIONS)
    root = np.linalg.cholesky(NEIGHBOUR_POSITION ** np.abs(np.subtract.outer(steps, steps)))
    vectors = counts @ root
    length = np.sqrt((vectors**2).sum(axis=1, keepdims=True))
    return vectors / np.where(length > 0, length, 1.0)


def _codes(values: Sequence[Hashable]) -> Codes:
    """A whole number for every value, equal for equal values."""
    numbers: dict[Hashable, int] = {}
    return np.array([numbers.setdefault(value, len(numbers)) for value in values], dtype=np.int64)

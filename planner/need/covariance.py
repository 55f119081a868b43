"""How alike two combinations are: the covariances of clean tempo, in notches squared. Needs numpy.

Conventions: a row is one combination with one articulation. The lasting part is a sum of Gram matrices
(player, exercise, pattern, key, positions, articulation), so it is a covariance whatever the music; `roots`
writes it as products of short vectors, which is what keeps a large shelf quick. Keys are compared by the
notes of their scales, |A and B| / sqrt(|A| |B|), with the part that all keys share (the direction of the
chromatic scale) taken out: C and G are near, C and F sharp opposite, and a chromatic exercise has no key.
Cycles of positions are compared by the mean of 0.7^|difference| over both, divided by each cycle with itself.
Time: `lasting_in_time` halves in three years, `fresh_in_time` by the power law. The sizes stand in parts.py.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from planner.brass.keys import Key, degree_pitch
from planner.inputs.curriculum import Articulation
from planner.need.combinations import Combination, cycle_of
from planner.need.parts import (
    DEFAULT,
    FORGETTING_PER_DAY,
    FORM_PER_DAY,
    LASTING_HALF_LIFE_DAYS,
    NEIGHBOUR_POSITION,
    Scales,
)

Array = NDArray[np.float64]
Codes = NDArray[np.int64]
Widths = tuple[int, int, int]

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

    @property
    def widths(self) -> Widths:
        """How many exercises, patterns and articulations there are, at least."""
        return tuple(int(c.max(initial=-1)) + 1 for c in (self.exercise, self.pattern, self.articulation))  # type: ignore[return-value]


def features_of(rows: Sequence[Row]) -> Features:
    """The features of every row, in order."""
    keys = [key_vector(combination.keys) for combination, _ in rows]
    cycles = [_position_vector(cycle_of(combination)) for combination, _ in rows]
    return Features(
        _codes([combination.id for combination, _ in rows]),
        _codes([combination.exercise.id for combination, _ in rows]),
        _codes([(combination.exercise.id, combination.pattern.name) for combination, _ in rows]),
        _codes([articulation for _, articulation in rows]),
        np.array(keys).reshape(len(rows), 12),
        np.array(cycles).reshape(len(rows), MOST_POSITIONS),
    )


def roots(rows: Features, scales: Scales = DEFAULT, widths: Widths | None = None) -> Array:
    """A short vector for every row: `roots @ roots.T` is the lasting part on one day, in notches squared.

    Rows of two sets can be multiplied where `widths` is the same for both.
    """
    exercise, pattern, articulation = widths or rows.widths
    # In the order of `blocks`.
    return np.concatenate(
        [
            np.full((len(rows.exercise), 1), scales.player),
            scales.key * rows.keys,
            scales.positions * rows.positions,
            scales.exercise * _one_hot(rows.exercise, exercise),
            scales.pattern * _one_hot(rows.pattern, pattern),
            scales.articulation * _one_hot(rows.articulation, articulation),
        ],
        axis=1,
    )


def blocks(widths: Widths) -> dict[str, slice]:
    """Which columns of `roots` belong to which part, by name."""
    exercise, pattern, articulation = widths
    sizes = {"level": 1, "key": 12, "positions": MOST_POSITIONS}
    sizes |= {"exercise": exercise, "pattern": pattern, "articulation": articulation}
    ends = dict(zip(sizes, np.cumsum(list(sizes.values())).tolist(), strict=True))
    return {name: slice(ends[name] - size, ends[name]) for name, size in sizes.items()}


def lasting(a: Features, b: Features, scales: Scales = DEFAULT) -> Array:
    """Covariance of the lasting part between every row of `a` and every row of `b`, on one day."""
    widths: Widths = tuple(max(pair) for pair in zip(a.widths, b.widths, strict=True))  # type: ignore[assignment]
    result: Array = roots(a, scales, widths) @ roots(b, scales, widths).T
    return result


def own_variance(rows: Features, scales: Scales = DEFAULT) -> Array:
    """Variance of each row before anything is heard: lasting part, the player lately, and fresh part."""
    lasting_variance: Array = (roots(rows, scales) ** 2).sum(axis=1)
    return lasting_variance + scales.lately**2 + scales.fresh**2


def same(a: Codes, b: Codes) -> Array:
    """1 where the codes agree, 0 elsewhere: rows of `a` down, rows of `b` across."""
    return np.equal.outer(a, b).astype(np.float64)


def lasting_in_time(days: Array | Codes) -> Array:
    """What is left of the lasting part after so many days; the sign does not matter."""
    left: Array = np.exp2(-np.abs(days) / LASTING_HALF_LIFE_DAYS)
    return left


def fresh_in_time(days: Array | Codes) -> Array:
    """What is left of a fresh part after so many days: (1 + days/66)^-1/2, a mixture of exponentials."""
    left: Array = 1.0 / np.sqrt(1.0 + FORGETTING_PER_DAY * np.abs(days))
    return left


def lately_in_time(days: Array | Codes) -> Array:
    """What is left of the player's form of some day after so many days, by the same law, but sooner."""
    left: Array = 1.0 / np.sqrt(1.0 + FORM_PER_DAY * np.abs(days))
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


@cache
def _position_vector(cycle: tuple[int, ...]) -> Array:
    """A unit vector; the product of two is the likeness of two cycles. Zero for a cycle of nothing."""
    places = np.array([min(one, MOST_POSITIONS) - 1 for one in cycle], dtype=np.int64)
    counts = np.bincount(places, minlength=MOST_POSITIONS)
    steps = np.arange(MOST_POSITIONS)
    root = np.linalg.cholesky(NEIGHBOUR_POSITION ** np.abs(np.subtract.outer(steps, steps)))
    vector: Array = counts @ root
    length = float(np.sqrt((vector**2).sum()))
    return vector / length if length > 0 else vector


def _one_hot(codes: Codes, width: int) -> Array:
    every: Array = np.eye(width)[codes]
    return every


def _codes(values: Sequence[Hashable]) -> Codes:
    """A whole number for every value, equal for equal values."""
    numbers: dict[Hashable, int] = {}
    return np.array([numbers.setdefault(value, len(numbers)) for value in values], dtype=np.int64)

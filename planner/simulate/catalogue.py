"""What the simulated players practise: combinations as arrays, on the synthetic shelf or a real one.

Conventions: N combinations; `keys` is N x 12 (shares of the written tonics on the circle of fifths, C first),
`positions` N x 7 (shares of positions 1 to 7), `pairs` N x P (exercise x key, exercise x position), `roots` N
x R in notches, so that roots @ roots.T is what the lasting covariance of planner.need.covariance leaves when
`common`^2, the same for all, is taken out. Every combination takes one item, all the same minutes. Needs
numpy.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from planner.brass.keys import Key
from planner.need.combinations import Combination
from planner.need.covariance import MOST_POSITIONS, Features, features_of, key_vector
from planner.need.covariance import roots as lasting_roots
from planner.need.parts import NEIGHBOUR_POSITION
from planner.simulate.learners import Array, Codes

KEYS, LONGEST = 12, 7
NEGLIGIBLE = 1e-9


@dataclass(frozen=True, slots=True)
class Catalogue:
    """A shelf of N combinations. `weeks` are curriculum weeks (from 1) in which each is first met."""

    name: str
    items_a_day: int
    keys: Array
    positions: Array
    exercise: Codes
    pairs: Array
    roots: Array
    common: float
    weeks: Codes

    @property
    def size(self) -> int:
        """How many combinations there are."""
        return len(self.weeks)


def grid(size: int, items_a_day: int) -> Catalogue:
    """The synthetic shelf: exercises in 12 keys x 7 positions, key and position both free, cut at `size`.

    Nothing of this kind exists in music (a key decides its positions); it is the plainest shelf on which
    policies can be told apart.
    """
    number = np.arange(size)
    exercise, cell = number // (KEYS * LONGEST), number % (KEYS * LONGEST)
    key, position = cell // LONGEST, cell % LONGEST
    common, roots = _grid_roots(exercise, key, position)
    return Catalogue(
        name=f"{size}",
        items_a_day=items_a_day,
        keys=np.eye(KEYS)[key],
        positions=np.eye(LONGEST)[position],
        exercise=exercise,
        pairs=_pairs(exercise, np.eye(KEYS)[key], np.eye(LONGEST)[position]),
        roots=roots,
        common=common,
        weeks=np.ones(size, dtype=np.int64),
    )


def real_shelf(name: str, combinations: Sequence[Combination], items_a_day: int) -> Catalogue:
    """The combinations of a curriculum as one player has them, each in its first articulation."""
    rows = [(combination, combination.articulations[0]) for combination in combinations]
    features = features_of(rows)
    common, roots = roots_of(features)
    keys, positions = np.zeros((len(rows), KEYS)), np.zeros((len(rows), LONGEST))
    for row, combination in enumerate(combinations):
        for key in combination.keys:
            keys[row, key.fifths % KEYS] += 1 / len(combination.keys)
        inside = [p for p in combination.positions if p <= LONGEST]
        positions[row, [p - 1 for p in inside]] = 1 / max(1, len(inside))
    return Catalogue(
        name=name,
        items_a_day=items_a_day,
        keys=keys,
        positions=positions,
        exercise=features.exercise,
        pairs=_pairs(features.exercise, keys, positions),
        roots=roots,
        common=common,
        weeks=np.array([combination.intro_week for combination in combinations], dtype=np.int64),
    )


def roots_of(features: Features) -> tuple[float, Array]:
    """The lasting part in notches: the size of what all rows share, and an N x R root of the rest.

    common^2 + roots @ roots.T is planner.need.covariance.lasting.
    """
    wide = lasting_roots(features)
    # A column that is the same in every row (the player; the exercise where there is one) is shared by all.
    shared = np.ptp(wide, axis=0) == 0
    own = wide[:, ~shared]
    # The same covariance in as few columns as it needs.
    spread, ways = np.linalg.eigh(own.T @ own)
    return float(np.hypot.reduce(wide[0, shared])), np.ascontiguousarray(own @ ways[:, spread > NEGLIGIBLE])


def _grid_roots(exercise: Codes, key: Codes, position: Codes) -> tuple[float, Array]:
    """The synthetic shelf: major keys, single positions, one pattern an exercise, one articulation."""
    steps = np.arange(LONGEST)
    near = np.linalg.cholesky(NEIGHBOUR_POSITION ** np.abs(np.subtract.outer(steps, steps)))
    scales = np.array([key_vector((Key(fifths, "major"),)) for fifths in range(-5, 7)])
    one = np.zeros(len(key), dtype=np.int64)
    reached = np.pad(near[position], ((0, 0), (0, MOST_POSITIONS - LONGEST)))
    return roots_of(Features(np.arange(len(key)), exercise, exercise, one, scales[key], reached))


def _pairs(exercise: Codes, keys: Array, positions: Array) -> Array:
    """Which pairs of exercise and key, exercise and position each combination has; one column a pair."""
    touched = np.concatenate([keys > 0, positions > 0], axis=1)
    columns = [touched * (exercise == e)[:, None] for e in np.unique(exercise)]
    every: Array = np.concatenate(columns, axis=1).astype(np.float64)
    return every[:, every.any(axis=0)]

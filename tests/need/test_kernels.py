"""That likenesses are covariances whatever the music: all sets of positions, all keys and modes."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, product

import numpy as np
import pytest
from need.shelf import MONDAY, player, rated, scales, shelf

from planner.brass.keys import MODES, Key
from planner.brass.names import BadName
from planner.diary.rating import Rating
from planner.need import estimator
from planner.need.combinations import Combination, Place
from planner.need.covariance import (
    _position_vector,
    fresh_in_time,
    key_vector,
    lasting_in_time,
    lately_in_time,
    scale_notes,
)
from planner.need.estimator import Estimator

SUBSETS = [subset for size in range(1, 8) for subset in combinations(range(1, 8), size)]
ROUNDING = -1e-10
"""A smallest eigenvalue may lie so far below nothing by rounding."""


def every_key() -> list[Key]:
    found = []
    for fifths, mode in product(range(-15, 16), MODES):
        try:
            found.append(Key(fifths, mode))
        except BadName:  # more than seven sharps or flats
            continue
    return found


def smallest(gram: np.ndarray) -> float:
    return float(np.linalg.eigvalsh(gram).min())


def test_there_are_127_sets_of_seven_positions() -> None:
    assert len(SUBSETS) == 2**7 - 1


def test_likeness_of_all_sets_of_positions_is_positive_definite() -> None:
    vectors = np.array([_position_vector(subset) for subset in SUBSETS])
    assert smallest(vectors @ vectors.T) > ROUNDING


def test_likeness_of_all_sets_of_positions_is_the_mean_over_both() -> None:
    # the definition, pair by pair: mean of 0.7^|p-q| over both sets, over the root of each set with itself
    def between(one: tuple[int, ...], two: tuple[int, ...]) -> float:
        return sum(0.7 ** abs(p - q) for p in one for q in two) / (len(one) * len(two))

    for one, two in product(SUBSETS[::9], SUBSETS):
        right = between(one, two) / (between(one, one) * between(two, two)) ** 0.5
        assert float(_position_vector(one) @ _position_vector(two)) == pytest.approx(right)


def test_the_simpler_likeness_of_sets_would_be_no_covariance() -> None:
    # best partner of each position: what the mean over both is needed for
    def best(one: tuple[int, ...], two: tuple[int, ...]) -> float:
        there = [max(0.7 ** abs(p - q) for q in two) for p in one]
        back = [max(0.7 ** abs(p - q) for p in one) for q in two]
        return (sum(there) + sum(back)) / (len(there) + len(back))

    assert smallest(np.array([[best(one, two) for two in SUBSETS] for one in SUBSETS])) < -0.01


def test_likeness_of_all_keys_and_modes_is_positive_definite() -> None:
    vectors = np.array([key_vector([key]) for key in every_key()])
    assert len(vectors) > 60
    assert smallest(vectors @ vectors.T) > ROUNDING


def test_likeness_of_all_keys_and_modes_is_that_of_their_notes() -> None:
    # |A and B| / sqrt(|A| |B|) without the part that all keys share, again normalised, pair by pair
    keys = [key for key in every_key() if key.mode != "chromatic"]
    for one, two in product(keys[::5], keys):
        a, b = scale_notes(one), scale_notes(two)
        shared = len(a & b) / (len(a) * len(b)) ** 0.5 - (len(a) * len(b)) ** 0.5 / 12
        right = shared / ((1 - len(a) / 12) * (1 - len(b) / 12)) ** 0.5
        assert float(key_vector([one]) @ key_vector([two])) == pytest.approx(right)


@pytest.mark.parametrize(
    "law", [lasting_in_time, fresh_in_time, lately_in_time], ids=lambda law: law.__name__
)
def test_every_law_of_time_is_positive_definite_over_ten_years(law: object) -> None:
    days = np.unique(np.concatenate([np.arange(60), np.arange(60, 3650, 37)])).astype(float)
    assert smallest(law(np.subtract.outer(days, days))) > -1e-9  # type: ignore[operator]


def around(name: str, fifths: int) -> Combination:
    """A scale in one key whose notes touch no positions, so that only the key tells it from the others."""
    [one] = shelf(scales("scales", keys=(Key(fifths, "major"),)))
    return replace(one, id=f"scales/up/{name}", positions=(), place=Place(name, (), Key(fifths, "major")))


@pytest.mark.parametrize("steps", [1, 5, 7])
def test_keys_moved_around_the_circle_of_fifths_move_the_answer(
    steps: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(estimator, "first_guess", lambda *_: -6.0)  # equal prior means
    circle = [around(str(place), (place + 5) % 12 - 5) for place in range(12)]
    ratings: list[Rating] = [
        rated("scales/up/0", 9, grade=5, tempo=120),
        rated("scales/up/1", 4, clean=88),
        rated("scales/up/5", 2, grade=1, tempo=60),
        rated("scales/up/10", 1, grade=3, tempo=96),
    ]
    moved = [
        replace(one, combination=f"scales/up/{(int(one.combination.split('/')[2]) + steps) % 12}")
        for one in ratings
    ]
    before, after = (Estimator(circle, told, MONDAY, player()).on(MONDAY) for told in (ratings, moved))
    for place in range(12):
        one = before.at(f"scales/up/{place}", "tongued")
        other = after.at(f"scales/up/{(place + steps) % 12}", "tongued")
        assert (other.mean, other.sd) == pytest.approx((one.mean, one.sd), abs=1e-5)

"""Sizes fitted to a player's own ratings: found again, bounded, and nothing changed by themselves."""

from __future__ import annotations

import random

import numpy as np
import pytest
from need.shelf import MONDAY, player, rated
from need.test_clean_tempo import SHELF, on

from planner.diary.rating import Rating
from planner.need.clean_tempo import estimate
from planner.need.parts import DEFAULT, Scales, bounds_of
from planner.need.refit import FEWEST, NAMES, Refit, _Told, refit
from planner.simulate.calibrate import rows_of
from planner.simulate.refit_study import recovered, study


def diary(many: int, spread: float) -> list[Rating]:
    """Clean marks that differ from combination to combination by a spread in notches, else hardly at all."""
    rng = random.Random(5)
    own = {c.id: rng.gauss(-6, spread) for c in SHELF}
    found = []
    for place in range(many):
        one = rng.choice(SHELF)
        goal = one.exercise.tempos[one.articulations[0]].goal
        mark = goal * 2 ** ((own[one.id] + rng.gauss(0, 2)) / 16)
        found.append(rated(one.id, 1 + place // 6, articulation=one.articulations[0], clean=round(mark)))
    return found


def fitted(ratings: list[Rating]) -> Refit:
    found = refit(SHELF, ratings, MONDAY, player())
    assert isinstance(found, Refit)
    return found


def test_the_slopes_in_all_sizes_are_those_of_small_differences() -> None:
    told = _Told.of(SHELF, tuple(diary(160, 3)), MONDAY, player())
    assert told is not None
    here, step = np.linspace(-0.2, 0.2, len(NAMES)), 1e-4
    ways = step * np.eye(len(NAMES))
    apart = [(told.badness(here + way) - told.badness(here - way)) / (2 * step) for way in ways]
    assert list(told.slopes(here)) == pytest.approx(apart, abs=1e-3)


def test_below_150_ratings_nothing_is_fitted() -> None:
    assert refit(SHELF, diary(FEWEST - 1, 2), MONDAY, player()) == 149


def test_without_ratings_nothing_is_fitted() -> None:
    assert refit(SHELF, [], MONDAY, player()) == 0


def test_combinations_that_lie_far_apart_get_a_larger_own_part() -> None:
    assert fitted(diary(160, 6)).new.fresh > fitted(diary(160, 0.3)).new.fresh + 0.5


@pytest.mark.parametrize("spread", [0.0, 12.0])
def test_sizes_stay_within_half_and_twice_the_usual(spread: float) -> None:
    new = fitted(diary(160, spread)).new
    assert all(bounds_of(n)[0] <= getattr(new, n) <= bounds_of(n)[1] for n in NAMES)


def test_the_ratings_are_never_less_likely_than_before_by_more_than_the_pull() -> None:
    assert fitted(diary(160, 3)).likelier > -0.01


def test_the_same_ratings_give_the_same_sizes() -> None:
    assert fitted(diary(150, 3)) == fitted(list(reversed(diary(150, 3))))


def test_later_ratings_are_left_out() -> None:
    later = [rated(SHELF[0].id, -5, articulation="tongued", grade=1, tempo=60)]
    assert fitted([*diary(150, 3), *later]) == fitted(diary(150, 3))


def test_fitting_changes_no_estimate() -> None:
    ratings = diary(150, 3)
    before = on(ratings).estimates
    fitted(ratings)
    assert on(ratings).estimates == before


def test_sizes_that_were_taken_change_the_estimate_and_the_usual_ones_bring_it_back() -> None:
    ratings = diary(150, 6)
    usual, own = (estimate(SHELF, ratings, MONDAY, player(), s) for s in (DEFAULT, fitted(ratings).new))
    assert own.estimates != usual.estimates == estimate(SHELF, ratings, MONDAY, player(), DEFAULT).estimates


def test_sizes_go_through_json_and_come_back() -> None:
    new = fitted(diary(150, 6)).new
    assert Scales.from_json(new.to_json()) == new


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"key": 99.0}, "key is 99, outside"),
        ({"key": "much"}, "key is no number"),
        ({"key": True}, "key is no number"),
        ({"key": float("nan")}, "key is no number"),
        ({"keys": 1.0}, "missing or unknown: keys"),
    ],
)
def test_sizes_that_cannot_be_are_refused(change: dict[str, object], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        Scales.from_json({**DEFAULT.to_json(), **change})


def test_the_sizes_of_simulated_diaries_are_found_again_as_often_as_the_usual_ones_or_more() -> None:
    # two of the fifty of the whole study, which `python -m planner.simulate.refit_study` runs
    found = study(2)
    pairs = [(recovered(found, n), recovered(found, n, usual=True)) for n in NAMES]
    assert sum(own for own, _ in pairs) >= sum(usual for _, usual in pairs) - 0.7


def test_only_what_is_measured_by_tempo_takes_part() -> None:
    assert {row[0].exercise.measure for row in rows_of("ingrid")[1]} == {"tempo"}

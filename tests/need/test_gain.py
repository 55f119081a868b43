"""What logged practice is expected to have gained, and that it is a prior mean and no more."""

from __future__ import annotations

import math
from datetime import timedelta

import pytest
from need.shelf import MONDAY, player, rated
from need.test_clean_tempo import FIVES, SCALE, SHELF, on
from scipy import optimize
from scipy.stats import norm

from planner.diary.rating import Rating
from planner.need.clean_tempo import estimate
from planner.need.gain import REACH, Turn, _gain, challenge, effort


@pytest.mark.parametrize(
    ("margin", "best"),
    [(0.5, 0.7275), (0.75, 0.9334), (1.0, 1.0), (1.25, 0.9435), (1.5, 0.8029), (2.0, 0.4463)],
)
def test_the_challenge_function_has_its_published_values(margin: float, best: float) -> None:
    # practice-science.md 4, computed from Wilson et al. 2019
    assert challenge(margin) == pytest.approx(best, abs=5e-5)


@pytest.mark.parametrize("margin", [0.1, 0.6, 1.0, 1.7, 3.0])
def test_the_challenge_function_is_the_speed_of_a_gradient_learner(margin: float) -> None:
    # Wilson et al. 2019: a learner with precision b at a margin m errs with probability Phi(-b m); its fall
    # per unit of b is m phi(b m), z phi(z) for b = 1; over its largest value (scipy.stats, scipy.optimize)
    def speed(z: float) -> float:
        return float(z * norm.pdf(z))

    largest = -optimize.minimize_scalar(lambda z: -speed(z), bounds=(0, 4), method="bounded").fun
    assert challenge(margin) == pytest.approx(speed(margin) / largest, rel=1e-6)


def test_the_best_challenge_comes_out_right_84_times_in_100() -> None:
    # Wilson et al. 2019: an error of 15.87 %
    best = optimize.minimize_scalar(lambda z: -challenge(z), bounds=(0, 4), method="bounded").x
    assert norm.cdf(best) == pytest.approx(0.8413, abs=1e-4)


def test_a_gain_is_worked_out_by_hand() -> None:
    # five minutes at a margin of 1, 8 notches below the goal:
    # f(1) x (4 + 8) x (1 - exp(-0.05 x 5 / 5)) = 12 x 0.048771
    turn = Turn(MONDAY, FIVES, "slurred", effort(5), 1.0, math.inf)
    assert _gain(turn, -8.0) == pytest.approx(0.58525, abs=1e-5)


def test_far_below_what_is_possible_hardly_anything_is_gained() -> None:
    # at half the tempo, 14 notches below the level: a margin of 7, whatever was heard; f(7) = 7 exp(-24)
    turn = Turn(MONDAY, FIVES, "slurred", effort(5), 0.5, -16.0)
    assert 0 < _gain(turn, -2.0) < 1e-8


@pytest.mark.parametrize("margin", [-1.5, -0.1, 0.0, float("inf"), float("-inf")])
def test_nothing_is_learnt_where_nothing_comes_out_or_everything(margin: float) -> None:
    assert challenge(margin) == 0


def weeks_of_practice(weeks: int, grade: int = 4) -> list[Rating]:
    return [rated(FIVES, ago, grade=grade, tempo=144) for ago in range(7 * weeks, 0, -3)]


def practised(ratings: list[Rating], combination: str = SCALE, days: int = 0) -> float:
    return on(ratings, days).practised[combination, "tongued"]


def test_a_month_of_practice_is_expected_to_lift_what_was_not_played_by_two_notches() -> None:
    # 0.6 notches a week, about the middle of the true trends of 0 to 1.4 that the calibration asks about;
    # from the first logged turn to the last 27 days
    assert practised(weeks_of_practice(4)) == pytest.approx(27 * 0.6 / 7, abs=0.05)


def test_the_combination_itself_is_expected_to_gain_more() -> None:
    assert practised(weeks_of_practice(4), FIVES) > practised(weeks_of_practice(4)) + 0.3


def test_nothing_is_expected_of_what_fell_apart() -> None:
    assert practised(weeks_of_practice(4, grade=1), FIVES) == 0


def test_nothing_is_expected_of_the_days_after_the_last_turn() -> None:
    ratings = weeks_of_practice(4)
    assert practised(ratings, days=60) <= practised(ratings)


def test_a_long_silence_before_a_turn_counts_as_one_week() -> None:
    # 200 days apart count as seven: 0.6 notches
    ratings = [rated(FIVES, 201, grade=4, tempo=96), rated(FIVES, 1, grade=4, tempo=96)]
    assert practised(ratings) == pytest.approx(0.6, abs=0.01)


def test_nobody_is_expected_to_be_lifted_beyond_reach() -> None:
    found = on(weeks_of_practice(100))
    assert all(found.first_guesses[n] + more <= REACH + 1e-9 for n, more in found.practised.items())


def test_turns_inside_a_limit_promise_nothing() -> None:
    assert practised([rated(FIVES, ago, grade=4, tempo=96, limited=True) for ago in (30, 2)], FIVES) == 0


def test_a_turn_of_today_promises_nothing_before_it() -> None:
    later = [rated(FIVES, -3, grade=4, tempo=96)]
    assert estimate(SHELF, later, MONDAY + timedelta(days=1), player()).practised[FIVES, "tongued"] == 0

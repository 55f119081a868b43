"""How far groups moved, and which ratings surprised: by hand and against the truncated normal of scipy."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date, timedelta

import pytest
from need.shelf import MONDAY, player, rated, shelf
from scipy.stats import truncnorm

from planner.diary.rating import Rating
from planner.need.clean_tempo import CleanTempo, estimate
from planner.need.evidence import Evidence
from planner.need.moved import Moved, moved, practice_behind
from planner.need.surprise import residual, surprises

SHELF = shelf()
BY_ID = {one.id: one for one in SHELF}
C_MAJOR, G_MAJOR = ("scales/up/c-major", "tongued"), ("scales/up/g-major", "tongued")


def ago(days: int) -> date:
    return MONDAY - timedelta(days=days)


def between(then: int, now: int, ratings: Sequence[Rating] = (), *names: tuple[str, str]) -> Moved:
    """How far these rows moved between two days, counted back from MONDAY; C major where none is named."""
    estimates = estimate(SHELF, ratings, MONDAY, player())
    behind = practice_behind(estimates, BY_ID, ratings)
    return moved(behind, names or (C_MAJOR,), ago(then), ago(now))


RISING = [
    rated(C_MAJOR[0], days, clean=mark) for days, mark in ((60, 72), (50, 76), (10, 104), (3, 108), (0, 112))
]


def test_without_ratings_nothing_has_moved() -> None:
    found = between(28, 0)
    assert (found.change.mean, found.then.mean) == (0.0, found.now.mean)


def test_without_ratings_the_spread_is_that_of_the_parts() -> None:
    # Sizes of parts.py: level 2 and lately sqrt(12), exercise 2, pattern 1, key, positions and articulation
    # 1.5, own 2.5; after 66 days (1 + 1)^-1/2 of what is own is left, (1 + 6.6)^-1/2 of lately, and
    # 2^(-66/1095) of what lasts.
    lasting = 4 + 4 + 1 + 3 * 2.25
    fading = 6.25 * (1 - 1 / math.sqrt(2)) + 12 * (1 - 1 / math.sqrt(7.6))
    change = 2 * fading + 2 * lasting * (1 - 2 ** (-66 / 1095))
    assert between(66, 0).change.sd == pytest.approx(math.sqrt(change))


def test_between_a_day_and_itself_nothing_moves_for_sure() -> None:
    found = between(5, 5, RISING)
    assert (found.change.mean, found.change.sd) == (pytest.approx(0), pytest.approx(0))


def test_a_change_is_the_difference_of_the_two_days() -> None:
    found = between(40, 0, RISING)
    assert found.change.mean == pytest.approx(found.now.mean - found.then.mean)


def test_clean_marks_that_rise_are_seen_to_move() -> None:
    # 76 to 108 are eight marks and a half of 16 in an octave, so about eight notches: found in part.
    found = between(45, 0, RISING).change
    assert found.mean > 2 * found.sd > 0
    assert 3 < found.mean < 16 * math.log2(112 / 72)


def test_getting_to_know_a_player_is_no_progress() -> None:
    # Far below the first guess from the first day on: the estimate falls, the player has not.
    steady = [rated(C_MAJOR[0], days, grade=2, tempo=60) for days in range(20)]
    found = between(28, 0, steady)
    first = estimate(SHELF, [], MONDAY, player()).at(*C_MAJOR).mean
    assert found.now.mean < first - 3
    assert abs(found.change.mean) < found.change.sd


def test_on_the_day_of_the_ratings_the_level_is_the_estimate() -> None:
    # No silence yet, so nothing of the rule that silence never heals: both roads meet.
    ratings = [rated(C_MAJOR[0], 0, grade=4, tempo=100), rated(G_MAJOR[0], 0, grade=2, tempo=90)]
    clean = estimate(SHELF, ratings, MONDAY, player()).at(*C_MAJOR)
    now = between(10, 0, ratings).now
    assert (now.mean, now.sd) == (pytest.approx(clean.mean, abs=0.05), pytest.approx(clean.sd, abs=1e-4))


def test_a_group_is_the_mean_of_its_rows() -> None:
    one, other = between(40, 0, RISING, C_MAJOR), between(40, 0, RISING, G_MAJOR)
    both = between(40, 0, RISING, C_MAJOR, G_MAJOR)
    assert both.change.mean == pytest.approx((one.change.mean + other.change.mean) / 2)


def test_more_ratings_make_a_change_surer() -> None:
    more = [*RISING, *(rated(C_MAJOR[0], days, clean=110) for days in (1, 2, 4))]
    assert between(45, 0, more).change.sd < between(45, 0, RISING).change.sd


def test_a_row_that_was_not_estimated_is_refused() -> None:
    with pytest.raises(KeyError, match="old/tune"):
        between(28, 0, (), ("old/tune/c-major", "tongued"))


# --- ratings that surprised

BOUNDS = [(-math.inf, -4.0), (-4.0, -2.0), (0.0, 2.0), (2.0, math.inf), (-9.0, -8.0), (9.0, math.inf)]


@pytest.mark.parametrize(("low", "high"), BOUNDS)
@pytest.mark.parametrize(("mean", "sd"), [(0.0, 1.5), (-3.0, 4.0)])
def test_a_residual_is_the_mean_of_the_truncated_normal(
    low: float, high: float, mean: float, sd: float
) -> None:
    said = Evidence(MONDAY, C_MAJOR[0], "tongued", low, high, lifts=True, limited=False)
    spread = math.hypot(sd, 2.0)  # one hearing differs from the next by 2 notches
    expected = truncnorm.mean((low - mean) / spread, (high - mean) / spread)
    assert residual(said, CleanTempo(mean, sd)) == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize(("low", "high", "sign"), [(90.0, math.inf, 1), (-math.inf, -90.0, -1)])
def test_a_residual_far_out_is_no_failure(low: float, high: float, sign: int) -> None:
    said = Evidence(MONDAY, C_MAJOR[0], "tongued", low, high, lifts=True, limited=False)
    assert sign * residual(said, CleanTempo(0.0, 1.0)) > 30


def test_what_goes_as_expected_does_not_surprise() -> None:
    known = [rated(C_MAJOR[0], days, clean=96) for days in (9, 7, 5, 3, 1)]
    found = surprises(SHELF, known, player(), ago(4), MONDAY)
    assert [one.rating.day for one in found] == [ago(3), ago(1)]
    assert all(abs(one.residual) < 1 for one in found)


def test_a_slip_far_below_what_was_heard_surprises() -> None:
    known = [rated(C_MAJOR[0], days, clean=116) for days in (9, 8, 7, 6, 5, 4)]
    found = surprises(SHELF, [*known, rated(C_MAJOR[0], 1, grade=1, tempo=60)], player(), ago(2), MONDAY)
    assert [one.residual < -2 for one in found] == [True]


def test_a_rating_is_expected_from_earlier_days_alone() -> None:
    # The same first rating, whatever comes on its own day and later.
    first = rated(C_MAJOR[0], 5, clean=80)
    more = [rated(G_MAJOR[0], 5, clean=50), rated(C_MAJOR[0], 4, clean=120)]
    alone, among = (
        surprises(SHELF, ratings, player(), ago(6), MONDAY) for ratings in ([first], [first, *more])
    )
    assert alone[0].expected == next(one for one in among if one.rating == first).expected


def test_how_often_it_was_heard_before_is_counted() -> None:
    known = [rated(C_MAJOR[0], days, clean=96) for days in (9, 7, 5)]
    assert [one.before for one in surprises(SHELF, known, player(), ago(10), MONDAY)] == [0, 1, 2]

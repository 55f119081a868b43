"""Each policy does what its name says, and ours is the planner's own rule."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from simulate.shelf import SMALL, morning

from planner.need.weigh import DIAL, value_of
from planner.simulate.named import POLICIES, SOLVED
from planner.simulate.policies import AS_BUILT, Ours, Reference, need, places_in_work
from planner.simulate.rules import Morning

RESTED = np.arange(2, 2 + SMALL.size)
"""Each combination rested a day longer than the one before."""


def rested(**changes: object) -> Morning:
    return morning(day=60, last=(60 - RESTED)[None], **changes)


def test_blocked_plays_one_combination_in_all_items_of_a_day() -> None:
    assert POLICIES["blocked"]()(morning(day=0)).tolist() == [[0] * 5]
    assert POLICIES["blocked"]()(morning(day=7)).tolist() == [[6] * 5]


def test_same_week_plays_the_same_combinations_until_sunday() -> None:
    policy = POLICIES["same week"]()
    assert policy(morning(day=7)).tolist() == policy(morning(day=12)).tolist() == [[5, 6, 7, 8, 9]]


def test_round_robin_plays_what_rested_longest() -> None:
    assert POLICIES["round robin"]()(rested()).tolist() == [[27, 26, 25, 24, 23]]


def test_weakest_first_plays_what_is_furthest_from_the_goal_in_its_lower_bound() -> None:
    mean = np.full((1, SMALL.size), -2.0)
    mean[0, [3, 8]] = -9.0, -12.0
    sd = np.full((1, SMALL.size), 1.0)
    sd[0, 20] = 30.0
    assert POLICIES["weakest first"]()(rested(mean=mean, sd=sd))[0, :3].tolist() == [20, 8, 3]


def test_gain_only_turns_away_from_what_is_beyond_the_goal() -> None:
    mean = np.full((1, SMALL.size), 6.0)
    mean[0, 4:9] = -6.0
    assert sorted(POLICIES["gain only"]()(rested(mean=mean))[0].tolist()) == [4, 5, 6, 7, 8]


@given(st.integers(1, 24), st.integers(0, 1000))
def test_the_value_of_an_item_is_that_of_the_planner(since: int, thousandths: int) -> None:
    ours = since**AS_BUILT.rest * (AS_BUILT.floor + thousandths / 1000) ** AS_BUILT.power
    assert AS_BUILT.power == DIAL
    assert round(1000 * ours) == pytest.approx(value_of(since, thousandths), abs=1)


def test_need_is_the_shortfall_of_the_lower_bound_over_sixteen_notches() -> None:
    # design section 6: min(1, max(0, sd - mean) / 16)
    mean, sd = np.array([-8.0, 3.0, -20.0]), np.array([2.0, 1.0, 4.0])
    assert need(mean, sd).tolist() == [0.625, 0.0, 1.0]


def test_ours_keeps_no_more_in_work_than_a_quarter_of_the_items_carries() -> None:
    # 30 items a week: 7 for what is in work, every 3 of 6 practice days: 3
    ours, today = Ours(), morning()
    ours(today)
    assert int(ours.working(today, need(today.mean, today.sd)).sum()) == places_in_work(30) == 3


def test_ours_takes_the_neediest_into_work() -> None:
    mean = np.full((1, SMALL.size), -2.0)
    mean[0, [1, 11, 21]] = -10.0
    today = morning(mean=mean)
    working = Ours().working(today, need(today.mean, today.sd))
    assert np.flatnonzero(working[0]).tolist() == [1, 11, 21]


def test_ours_meets_a_pair_whose_two_weeks_end_today() -> None:
    met = np.full((1, SMALL.pairs.shape[1]), 59)
    met[0, 2] = 60 - 14
    chosen = Ours()(rested(met_pairs=met))[0]
    assert SMALL.pairs[chosen, 2].any()


def test_ours_sees_no_more_than_the_estimate() -> None:
    first, second = morning(), morning()
    for _ in range(30):
        second.learner.practise(np.array([5]), np.ones(1))
    assert Ours()(first).tolist() == Ours()(second).tolist()


def test_the_reference_sees_the_learner_itself() -> None:
    first, second = morning(day=1), morning(day=1)
    best = int(Reference(12.0)(first)[0, 0])
    for _ in range(60):
        second.learner.practise(np.array([best]), np.ones(1))
    assert int(Reference(12.0)(second)[0, 0]) != best


@pytest.mark.parametrize("name", [name for name in POLICIES if name not in ("blocked", "same week", *SOLVED)])
def test_a_day_has_as_many_different_combinations_as_items(name: str) -> None:
    chosen = POLICIES[name]()(rested())[0].tolist()
    assert len(set(chosen)) == len(chosen) == SMALL.items_a_day

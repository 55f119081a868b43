"""The simulated players, and how they hear themselves."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from simulate.shelf import SMALL

from planner.brass.tempo import MARKS
from planner.need.evidence import GRADE_CUTS
from planner.simulate.catalogue import grid
from planner.simulate.hearing import GOAL, LEVELS, heard, mark_for, success, worth
from planner.simulate.players import KEY_COST, LAST_BEFORE_DAYS, POSITION_COST, players

CAUTIOUS, BOLD = np.array([True]), np.array([False])


def hears(level: float, tempo: float, dice: float, *, mark: bool = False) -> tuple[float, float, float]:
    """What is told after one turn: bounds and the margin that was heard."""
    share = np.array([0.0 if mark else 1.0])
    told = heard(np.array([level]), np.array([tempo]), np.array([dice]), share, 0.5)
    return float(told[0][0]), float(told[1][0]), float(told[2][0])


def test_the_same_seed_is_the_same_player_whoever_else_plays() -> None:
    alone, among = players((7,), SMALL, "mixed"), players((3, 7), SMALL, "mixed")
    assert (alone.cost[0] == among.cost[1]).all()
    assert (alone.dice[0] == among.dice[1]).all()


def test_four_keys_in_a_row_and_two_positions_cost_three_notches_each() -> None:
    shelf = grid(84, 12)
    cost = np.mean([players((seed,), shelf, "mixed").cost[0] for seed in range(1, 61)], axis=0)
    # a third of the keys and two sevenths of the positions: 3 x (4 / 12 + 2 / 7) notches on average
    assert cost.mean() == pytest.approx(KEY_COST * 4 / 12 + POSITION_COST * 2 / 7, abs=0.15)


def test_a_third_of_the_shelf_each_is_strong_middle_and_new_where_levels_are_mixed() -> None:
    turns = (~np.isnan(players((5,), SMALL, "mixed").past[0])).sum(axis=1)
    assert [int((turns == count).sum()) for count in (14, 5, 1)] == [10, 9, 9]


def test_equal_levels_begin_with_four_turns_each() -> None:
    assert ((~np.isnan(players((5,), SMALL, "equal").past[0])).sum(axis=1) == 4).all()


def test_every_combination_was_last_played_within_two_weeks_of_the_term() -> None:
    last = players((5,), SMALL, "mixed").last
    assert -LAST_BEFORE_DAYS <= last.min() <= last.max() <= -1


def test_success_is_even_at_the_clean_tempo() -> None:
    assert success(np.array([-3.0]), np.array([-3.0]))[0] == 0.5


def test_success_spreads_as_a_logistic_of_two_and_a_half_notches() -> None:
    # scipy.stats.logistic(scale=2.5 * sqrt(3) / pi).cdf(2.5) = 0.85983
    assert success(np.array([2.5]), np.array([0.0]))[0] == pytest.approx(0.85983, abs=1e-5)


@pytest.mark.parametrize(("chance", "left"), [(0.5, 0.5), (0.69, 0.5), (0.71, 1.0), (0.94, 1.0), (0.96, 0.5)])
def test_a_turn_teaches_half_outside_seventy_to_ninety_five_percent(chance: float, left: float) -> None:
    level = 2.5 * math.sqrt(3) / math.pi * math.log(chance / (1 - chance))
    assert worth(np.array([level]), np.zeros(1), neutral=False)[0] == left
    assert worth(np.array([level]), np.zeros(1), neutral=True)[0] == 1.0


def test_the_mark_for_a_level_is_the_nearest_and_no_higher_one_where_it_is_cautious() -> None:
    # 126 beats are 3.08 notches below 144, 132 are 2.01: -2.4 lies nearer to 132
    assert mark_for(np.array([-2.4]), BOLD)[0] == LEVELS[MARKS.index(132)]
    assert mark_for(np.array([-2.4]), CAUTIOUS)[0] == LEVELS[MARKS.index(126)]


@given(st.floats(-60, 30), st.booleans())
def test_no_mark_lies_above_the_goal_or_six_notches_below_the_first_tempo(
    level: float, cautious: bool
) -> None:
    mark = mark_for(np.array([level]), np.array([cautious]))[0]
    assert 16 * math.log2(72 / GOAL) - 6 <= mark <= 0.0


@given(level=st.floats(-30, 6), tempo=st.floats(-16, 0), dice=st.floats(0.001, 0.999))
def test_a_grade_is_told_with_the_bounds_that_the_estimate_gives_it(
    level: float, tempo: float, dice: float
) -> None:
    low, high, _ = hears(level, tempo, dice)
    grades = [(tempo + a, tempo + b) for a, b in pairwise(GRADE_CUTS)]
    assert (low, high) in grades


def test_what_fell_apart_promises_nothing_and_what_was_comfortable_has_margin() -> None:
    assert hears(-16.0, 0.0, 0.5)[2] == -math.inf
    assert hears(8.0, 0.0, 0.5)[2] == 1.5


def test_a_clean_mark_lies_at_or_below_the_level_heard() -> None:
    low, high, _ = hears(-4.5, 0.0, 0.5, mark=True)
    assert low <= -4.5 < high


def test_a_clean_goal_is_told_as_at_least_the_goal() -> None:
    assert hears(6.0, 0.0, 0.5, mark=True)[:2] == (0.0, math.inf)

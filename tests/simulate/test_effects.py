"""Before any plan is compared on them: the simulated learners show what the experiments showed."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import pytest
from simulate.lab import activation, after_rest, best_gap, slow_states, states, three_figures

from planner.simulate.learners import Learner

GAPS = (0, 1, 2, 3, 5, 7, 11, 14, 21, 28)
RESTS = (1, 7, 35, 90, 350)
EVERY_LEARNER = pytest.mark.parametrize("make", [activation, states, slow_states])


# Cepeda et al., Psychological Bulletin 132 (2006): the best gap between turns grows with the time until the
# test; Psychological Science 19 (2008): for tests after weeks it is about a fifth of that time.
@EVERY_LEARNER
def test_the_best_gap_between_turns_grows_with_the_time_until_the_test(make: Callable[[], Learner]) -> None:
    best = [best_gap(make, rest, GAPS) for rest in RESTS]
    assert all(shorter <= longer for shorter, longer in pairwise(best))
    assert best[0] == 0
    assert best[-1] > 1


def test_five_weeks_later_learner_a_is_best_after_gaps_of_about_a_fifth_of_that_time() -> None:
    assert 0.1 <= best_gap(activation, 35, GAPS) / 35 <= 0.4


@EVERY_LEARNER
def test_turns_in_one_heap_are_better_a_day_later_and_worse_a_year_later(make: Callable[[], Learner]) -> None:
    assert after_rest(make, 0, 1) > after_rest(make, 3, 1)
    assert after_rest(make, 0, 350) < after_rest(make, 3, 350)


# Shea & Morgan (1979), from memory; Brady (2004): interleaved turns are worse while they are played and
# better when they are tested days later.
@EVERY_LEARNER
def test_interleaved_figures_are_worse_in_the_session_and_better_ten_days_later(
    make: Callable[[int], Learner],
) -> None:
    blocked, interleaved = (three_figures(make, order) for order in ("000000111111222222", "012" * 6))
    assert interleaved.while_playing < blocked.while_playing
    assert interleaved.ten_days_on > blocked.ten_days_on

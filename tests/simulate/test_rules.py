"""What every policy is bound by: days, spans, turns that press."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from simulate.shelf import SMALL, morning, outcome

from planner.simulate.catalogue import grid
from planner.simulate.named import POLICIES
from planner.simulate.policies import places_in_work
from planner.simulate.rules import NEVER, calendar, granted_weeks, items_a_week
from planner.simulate.studies import EVERY

KEEPING_SPANS = [name for name in EVERY if "spans kept" in name or name.startswith(("ours", "reference"))]


def test_there_is_no_practice_on_sundays() -> None:
    assert [calendar(2).practised(day) for day in range(7)] == [True] * 6 + [False]


def test_a_missed_week_has_no_practice_days() -> None:
    assert not any(calendar(4, missed_week=2).practised(day) for day in range(7, 14))


def test_the_days_of_a_missed_week_lengthen_a_span() -> None:
    last = np.array([0, 20])
    # the second span begins after the missed week (days 7 to 13)
    assert calendar(8, missed_week=2).span_end(last, 28).tolist() == [35, 48]


@given(after=st.integers(-60, 60), until=st.integers(-60, 60))
def test_practice_days_between_two_days_are_those_counted_one_by_one(after: int, until: int) -> None:
    days = calendar(12, missed_week=3)
    if after <= until:
        assert int(days.between(after, until)) == sum(
            days.practised(day) for day in range(after + 1, until + 1)
        )


# Worked by hand: 84 at 72 items a week, 9 in work every 3 practice days are 18 items, the others 75 / 4 weeks
# are 18.75, less than three quarters of 72 = 54. 400 at 108: 13 in work are 26 items, 81 - 26 = 55 are left,
# and 387 / 7 weeks are 55.3, 387 / 8 are 48.4.
@pytest.mark.parametrize(("size", "items", "weeks"), [(84, 12, 4), (400, 18, 8)])
def test_the_span_granted_leaves_a_quarter_of_the_items_free(size: int, items: int, weeks: int) -> None:
    shelf = grid(size, items)
    assert granted_weeks(shelf, places_in_work(items_a_week(shelf))) == weeks


def test_what_was_played_yesterday_may_not_stand_today() -> None:
    today = morning(day=1, last=np.where(np.arange(SMALL.size) < 3, 0, -5)[None])
    assert np.flatnonzero(~today.may_stand()[0]).tolist() == [0, 1, 2]


def test_what_ends_its_span_today_presses() -> None:
    today = morning(day=0)
    last = np.full((1, SMALL.size), -1)
    last[0, 7] = -today.span_days
    assert np.flatnonzero(morning(day=0, last=last).pressing()[0]).tolist() == [7]


def test_spans_that_all_end_together_press_before_their_last_day() -> None:
    # 28 spans end in a week; five items a day, three of them for spans, carry 21 by then
    last = np.full((1, SMALL.size), 6 - morning().span_days)
    assert morning(day=0, last=last).pressing().sum() >= 28 - 6 * 3 - 3


def test_what_comes_in_a_later_week_of_the_curriculum_waits() -> None:
    weeks = np.where(np.arange(SMALL.size) < 10, 3, 1)
    shelf = replace(SMALL, weeks=weeks)
    assert np.flatnonzero(~morning(catalogue=shelf).playable()).tolist() == list(range(10))
    assert (morning(catalogue=shelf).last[0, :10] == NEVER).all()


@pytest.mark.parametrize("name", KEEPING_SPANS)
@pytest.mark.parametrize("missed_week", [None, 3])
def test_no_combination_rests_longer_than_the_span_granted(name: str, missed_week: int | None) -> None:
    found = outcome(POLICIES[name](), missed_week=missed_week, weeks=8)
    assert found.longest_gap.max() <= 1.0


def test_a_policy_that_is_not_bound_by_spans_does_break_them() -> None:
    assert outcome(POLICIES["weakest first"](), weeks=8).longest_gap.max() > 1.0

"""The week as whole numbers: what may stand on which day."""

from __future__ import annotations

from dataclasses import replace

import pytest
from horizon.sample_weeks import sample_request

from planner.horizon.week import week_of
from planner.plan.build import week_problem


@pytest.mark.parametrize(("state", "days"), [("kept up", (1, 2, 3, 4, 5)), ("in work", (0, 1, 2, 3, 4, 5))])
def test_what_is_kept_up_and_was_played_the_day_before_rests_on_the_first_day(
    state: str, days: tuple[int, ...]
) -> None:
    """Tobias practises from Monday to Saturday, and his shelf is no small one."""
    week, _ = week_of(sample_request("tobias"))
    name = next(wish.id for wish in week.wishes if wish.state == state)
    before = replace(week.before, combinations=frozenset({name}))
    candidates = week_problem(replace(week, before=before)).candidates
    assert next(one.days for one in candidates if one.id == name) == days

"""The week of every sample player: checked by the second road, and the same bytes every time."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest
from heavy import heavy_count
from horizon.sample_weeks import MONDAY, NAMES, SMALLEST, items, planned, program, sample_request, sample_week

from planner.plan.verify import verify
from planner.plan.weekplan import dumps

SATURDAY = date(2026, 9, 12)
# The quick runs plan the first of these again; those of SMALLEST take a few tenths of a second.
AGAIN = [*SMALLEST, *sorted(set(NAMES) - set(SMALLEST), reverse=True)]


@pytest.mark.parametrize("name", NAMES)
def test_no_rule_is_broken_in_a_sample_players_week(name: str) -> None:
    request = sample_request(name)
    assert verify(request.curriculum, request.player, request.ratings, sample_week(name)) == ()


@pytest.mark.parametrize("name", NAMES)
def test_every_sample_week_has_something_to_play(name: str) -> None:
    assert any(item["combination"] for _, item in items(sample_week(name)))


@pytest.mark.parametrize("name", NAMES)
def test_the_days_of_a_week_are_seven_running_from_monday(name: str) -> None:
    expected = [(MONDAY + timedelta(days=n)).isoformat() for n in range(7)]
    assert [day["date"] for day in sample_week(name)["days"]] == expected


@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_planned_on_a_day_without_minutes(name: str) -> None:
    days = zip(sample_request(name).player.minutes, sample_week(name)["days"], strict=True)
    assert all(not day["items"] for minutes, day in days if not minutes)


@pytest.mark.heavy
def test_planning_a_sample_week_again_gives_the_same_bytes(request: pytest.FixtureRequest) -> None:
    for name in AGAIN[: heavy_count(request.config, "sample weeks planned again")]:
        assert dumps(planned(sample_request(name))) == dumps(sample_week(name)), name


@pytest.mark.parametrize("seed", ["0", "1", "2"])
def test_a_plan_does_not_depend_on_the_order_of_hashes(tmp_path: Path, seed: str) -> None:
    # Two days from a shelf of 141 combinations with 392 ratings: everything of a week but a short search.
    words = ("week", "--player", "tobias", "--date", SATURDAY.isoformat(), "--json")
    done = program(tmp_path, *words, PYTHONHASHSEED=seed)
    assert done.stdout == dumps(sample_week("tobias", SATURDAY)), done.stderr

"""What must change nothing: the order of ratings, the names of things, the week of the calendar."""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from heavy import heavy_count
from horizon.sample_weeks import (
    MONDAY,
    NAMES,
    SMALLEST,
    SUNDAY,
    planned,
    player_file,
    request_from,
    sample_request,
    sample_week,
)

from planner.horizon.week import Request
from planner.plan.weekplan import dumps

# The quick runs take those of SMALLEST, which are planned in a few tenths of a second.
PLAYERS = [*SMALLEST, *sorted(set(NAMES) - set(SMALLEST), reverse=True)]


def players(config: pytest.Config) -> list[str]:
    return PLAYERS[: heavy_count(config, "sample weeks changed without meaning")]


def vector(plan: Any) -> list[tuple[str, int, str]]:
    """The objective of every stage and how it ended."""
    return [(stage["goal"], stage["value"], stage["status"]) for stage in plan["solver"]["stages"]]


def renamed(request: Request, name: str) -> Request:
    """Every exercise under another name, in the ratings and in what it comes after as well."""
    exercises = tuple(
        replace(
            e, id=f"{name}-{e.id}", title=f"{name} {e.title}", after=tuple(f"{name}-{a}" for a in e.after)
        )
        for e in request.curriculum.exercises
    )
    ratings = tuple(replace(r, combination=f"{name}-{r.combination}") for r in request.ratings)
    curriculum = replace(request.curriculum, exercises=exercises)
    return replace(request, curriculum=curriculum, ratings=ratings)


@pytest.mark.heavy
@pytest.mark.timeout(1800)
def test_the_order_of_the_ratings_changes_no_byte(request: pytest.FixtureRequest) -> None:
    for name in players(request.config):
        asked = sample_request(name)
        shuffled = list(asked.ratings)
        random.Random(7).shuffle(shuffled)
        assert dumps(planned(replace(asked, ratings=tuple(shuffled)))) == dumps(sample_week(name)), name


@pytest.mark.heavy
@pytest.mark.timeout(1800)
def test_other_names_for_exercises_give_the_same_objectives(request: pytest.FixtureRequest) -> None:
    for name in players(request.config):
        assert vector(planned(renamed(sample_request(name), "z"))) == vector(sample_week(name)), name


@pytest.mark.heavy
@pytest.mark.timeout(1800)
def test_another_name_for_the_player_gives_the_same_days(request: pytest.FixtureRequest) -> None:
    for name in players(request.config):
        asked = sample_request(name)
        other = replace(asked, player=replace(asked.player, id="other", name="Other"))
        assert planned(other)["days"] == sample_week(name)["days"], name


@pytest.mark.heavy
@pytest.mark.timeout(1800)
@pytest.mark.parametrize("weeks", [1, 5])
def test_a_shift_by_whole_weeks_gives_the_same_objectives(weeks: int, request: pytest.FixtureRequest) -> None:
    # The sample players' dates and ratings count from the Monday that is planned.
    by = timedelta(weeks=weeks)
    for name in players(request.config):
        shifted = request_from(player_file(name), MONDAY + by, SUNDAY + by, MONDAY + by)
        assert vector(planned(shifted)) == vector(sample_week(name)), name

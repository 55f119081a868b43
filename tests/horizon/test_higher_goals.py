"""A higher goal is offered once the goal is clean, and not before; an own goal moves targets with it."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from need.shelf import MONDAY, curriculum, flexibility, player, rated, scales

from planner.diary.rating import Rating
from planner.errors import UsageError
from planner.horizon.higher_goals import higher_goals
from planner.horizon.progress import progress
from planner.inputs.curriculum import HoldSpan
from planner.inputs.goals import with_own_goals
from planner.need.combinations import scope
from planner.show.progress import progress_text

FIVES = curriculum(flexibility())
ROWS = [(c.id, a) for c in scope(FIVES, player(), MONDAY).playable for a in c.articulations]


def comfortable(rows: list[tuple[str, str]], times: int = 4, tempo: int = 160) -> list[Rating]:
    return [
        rated(name, ago, articulation=way, grade=5, tempo=tempo)
        for name, way in rows
        for ago in range(1, times + 1)
    ]


def offered(ratings: list[Rating], **changes: Any) -> list[dict[str, Any]]:
    return higher_goals(FIVES, player(**changes), ratings, MONDAY)


def test_comfortable_at_the_goal_everywhere_offers_a_higher_one() -> None:
    (one,) = offered(comfortable(ROWS))
    assert (one["exercise"], one["goal"]) == ("fives", 160)
    assert one["offered"] >= 168  # the next mark of the metronome


def test_without_ratings_nothing_is_offered() -> None:
    assert offered([]) == []


def test_one_place_that_was_never_rated_holds_the_offer_back() -> None:
    assert offered(comfortable(ROWS[1:])) == []


def test_one_place_that_falls_apart_holds_the_offer_back() -> None:
    weak = [rated(ROWS[0][0], ago, articulation=ROWS[0][1], grade=1, tempo=120) for ago in range(1, 5)]
    assert offered([*comfortable(ROWS[1:]), *weak]) == []


def test_comfortable_far_below_the_goal_offers_nothing() -> None:
    assert offered(comfortable(ROWS, tempo=88)) == []


def test_the_fastest_mark_has_none_above_it() -> None:
    fast = curriculum(
        replace(flexibility(), tempos={w: replace(s, goal=208) for w, s in flexibility().tempos.items()})
    )
    assert higher_goals(fast, player(), comfortable(ROWS, tempo=208), MONDAY) == []


def test_an_own_goal_replaces_that_of_the_curriculum() -> None:
    (one,) = with_own_goals(FIVES, player(goals={"fives": 176})).exercises
    assert {span.goal for span in one.tempos.values()} == {176}


def test_a_goal_below_the_first_tempo_lowers_that_too() -> None:
    (one,) = with_own_goals(FIVES, player(goals={"fives": 80})).exercises
    assert {(span.first, span.goal) for span in one.tempos.values()} == {(80, 80)}


def test_a_goal_of_held_tones_is_in_seconds() -> None:
    tones = curriculum(replace(scales("tones"), measure="seconds", hold=HoldSpan(8, 16)))
    (one,) = with_own_goals(tones, player(goals={"tones": 20})).exercises
    assert one.hold == HoldSpan(8, 20)


def test_a_goal_of_an_exercise_that_is_not_there_is_refused_with_the_nearest() -> None:
    with pytest.raises(UsageError, match="goals of ada: 'fivs' is no exercise of shelf"):
        with_own_goals(FIVES, player(goals={"fivs": 176}))


def test_with_the_offered_goal_taken_the_next_offer_waits() -> None:
    ratings = comfortable(ROWS)
    (one,) = offered(ratings)
    higher = with_own_goals(FIVES, player(goals={"fives": one["offered"] + 40}))
    assert higher_goals(higher, player(), ratings, MONDAY + timedelta(days=1)) == []


def test_the_screen_says_what_to_write_for_the_higher_goal() -> None:
    told = progress(FIVES, player(), comfortable(ROWS), MONDAY - timedelta(days=28), MONDAY)
    offer = told["goals"][0]["offered"]
    lines = progress_text(told).replace("\u00a0", " ")
    assert "Fives: all of it is clean at ♪ = 160." in lines
    assert f"goals = {{ fives = {offer} }}" in lines

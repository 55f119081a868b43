from __future__ import annotations

import math
from datetime import timedelta
from typing import Any

import pytest
from need.shelf import MONDAY, flexibility, rated, scales, shelf

from planner.inputs.curriculum import HoldSpan
from planner.need.evidence import evidence_of, fold, gather

GOAL = 160
FIVES = shelf(flexibility())[0]


def bounds(combination: Any = FIVES, **fields: Any) -> list[tuple[float, float]]:
    return [(one.low, one.high) for one in evidence_of(combination, rated("x", **fields))]


def test_a_grade_lies_between_its_cut_points() -> None:
    # 80 is half of 160: 16 notches below the goal; uneven: 4 to 2 notches short of that
    assert bounds(grade=2, tempo=80) == [(-20.0, -18.0)]


def test_fell_apart_has_no_lower_bound() -> None:
    assert bounds(grade=1, tempo=GOAL) == [(-math.inf, -4.0)]


def test_comfortable_has_no_upper_bound() -> None:
    assert bounds(grade=5, tempo=GOAL) == [(2.0, math.inf)]


def test_a_clean_mark_ends_below_the_next_one() -> None:
    # after 80 comes 84 on the common metronome
    assert bounds(clean=80) == [(-16.0, pytest.approx(16 * math.log2(84 / 160)))]


def test_clean_at_the_goal_says_at_least() -> None:
    assert bounds(clean=GOAL) == [(0.0, math.inf)]


def test_a_clean_mark_and_a_low_grade_are_two_statements() -> None:
    assert len(bounds(clean=80, grade=3, tempo=84)) == 2


def test_clean_as_marked_says_at_least() -> None:
    ((low, high),) = bounds(clean=80, grade=4, tempo=80)
    assert (low < 0, high) == (True, math.inf)


def test_a_grade_without_its_tempo_says_nothing() -> None:
    assert bounds(grade=5) == []


def test_played_and_not_rated_says_nothing() -> None:
    assert bounds() == []


def test_held_seconds_are_heard_against_the_goal_hold() -> None:
    [tone] = shelf(
        scales(measure="seconds", hold=HoldSpan(8, 16), keys=flexibility().keys or scales().keys[:1])
    )
    assert bounds(tone, value=8) == [(-16.0, pytest.approx(16 * math.log2(9 / 16)))]


@pytest.mark.parametrize(("value", "right"), [(1, (0.0, 2.0)), (0, (-4.0, -2.0))], ids=["yes", "no"])
def test_in_its_band_counts_as_clean_at_the_goal(value: int, right: tuple[float, float]) -> None:
    [etude] = shelf(scales(measure="band", keys=scales().keys[:1]))
    assert bounds(etude, value=value) == [right]


def test_a_top_note_counts_where_it_reaches_the_figure() -> None:
    [top] = shelf(scales(measure="top note", keys=scales().keys[:1]))
    assert bounds(top, value=top.highest) == [(0.0, 2.0)]


def test_a_lower_top_note_is_not_yet() -> None:
    [top] = shelf(scales(measure="top note", keys=scales().keys[:1]))
    assert bounds(top, value=top.highest - 1) == [(-4.0, -2.0)]


def test_ratings_of_later_days_are_not_known_yet() -> None:
    ratings = [rated(FIVES.id, -1, grade=5, tempo=GOAL)]
    assert gather({FIVES.id: FIVES}, ratings, MONDAY) == ()


def test_folding_keeps_the_newest_days_whole() -> None:
    statements = _diary(days=40, a_day=5)
    kept = fold(statements, most=60, whole=50)
    assert [one for one in kept if one.day >= MONDAY - timedelta(days=10)] == list(statements[-50:])


def test_folding_keeps_no_more_than_asked_for() -> None:
    # ten days of five combinations, and ten other combinations longer ago
    longer_ago = MONDAY - timedelta(days=20)
    older = [one for one in _diary(days=40, a_day=15) if one.combination >= "s5" and one.day < longer_ago]
    assert len(fold((*older, *_diary(days=10, a_day=5)), most=53, whole=50)) == 53


def test_folding_keeps_the_newest_of_a_combination_long_unheard() -> None:
    old = gather({FIVES.id: FIVES}, [rated(FIVES.id, ago, grade=4, tempo=80) for ago in (300, 200)], MONDAY)
    kept = fold((*old, *_diary(days=40, a_day=5)), most=60, whole=50)
    assert old[1] in kept
    assert old[0] not in kept


def test_folding_leaves_no_gap_between_whole_days() -> None:
    # 20 statements on one day are too many for the whole; the small day before it is folded too
    small = [rated(FIVES.id, 9, articulation="slurred", grade=grade, tempo=80) for grade in (3, 4)]
    large = [rated(FIVES.id, 8, grade=4, tempo=80) for _ in range(20)]
    kept = fold(gather({FIVES.id: FIVES}, small + large, MONDAY), most=10, whole=5)
    assert len([one for one in kept if one.articulation == "slurred"]) == 1


def _diary(days: int, a_day: int) -> tuple[Any, ...]:
    combinations = {c.id: c for c in shelf(*(scales(f"s{n}") for n in range(a_day)))}
    names = [f"s{n}/up/c-major" for n in range(a_day)]
    ratings = [rated(name, ago, grade=4, tempo=80) for ago in range(1, days + 1) for name in names]
    return gather(combinations, ratings, MONDAY)

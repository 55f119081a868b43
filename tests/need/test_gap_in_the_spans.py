"""Spans over a missed stretch: they run in practice days, and nothing missed is a debt."""

from __future__ import annotations

from datetime import date, timedelta

from need.shelf import MONDAY, flexibility, player, rated, scales, shelf, wanted
from need.test_easing import missed

from planner.need.clean_tempo import CleanTempo
from planner.need.targets import lowered, take_of
from planner.need.weigh import lost_between, pairs_of

FIVES, SCALE = "fives/a/1-2-3", "scales/up/c-major"
GAP = (MONDAY, MONDAY + timedelta(days=6))
BACK = MONDAY + timedelta(days=7)


def test_a_new_combination_of_a_missed_week_waits_for_the_sunday_after() -> None:
    # its own Sunday is 13 September; seven missed days make it the 20th
    assert wanted(who=missed(*GAP), weeks_on=1)[FIVES].turn_by == date(2026, 9, 20)


def test_a_hundred_missed_new_ones_are_not_past_their_day() -> None:
    found = wanted(who=missed(*GAP), weeks_on=1)
    assert all(wish.turn_by is not None and wish.turn_by >= BACK for wish in found.values())


def test_what_is_kept_up_comes_back_as_many_days_later_as_were_missed() -> None:
    safe = [rated(SCALE, 4, grade=5, tempo=208) for _ in range(4)]
    who = missed(*GAP, starts=MONDAY - timedelta(weeks=9), spans={"kept_up_weeks": 5})
    assert wanted(safe, who=who, weeks_on=1)[SCALE].turn_by == MONDAY + timedelta(days=35 - 4 + 7)


def test_work_comes_back_on_the_third_practice_day_after_the_gap_began() -> None:
    # last played on Friday 4 September: Saturday 5, then the gap, Monday 14, Tuesday 15
    found = wanted([rated(FIVES, 3, grade=3, tempo=100)], who=missed(*GAP), weeks_on=1)
    assert found[FIVES].turn_by == date(2026, 9, 15)


def test_missed_days_are_not_counted_since_the_last_turn() -> None:
    # Saturday 5 and Monday 14 September
    found = wanted([rated(FIVES, 3, grade=3, tempo=100)], who=missed(*GAP), weeks_on=1)
    assert found[FIVES].since == 2


def test_the_span_of_a_pair_is_longer_by_the_missed_days() -> None:
    who = missed(*GAP)
    found = tuple(wanted([rated(SCALE, 3, grade=3, tempo=80)], who=who, weeks_on=1).values())
    pairs = pairs_of(found, BACK + timedelta(days=6), lambda met: lost_between(who, met, BACK))
    # met on 4 September; two weeks and seven missed days later is the 25th
    assert next(p for p in pairs if (p.exercise, p.name) == ("scales", "C major")).turn_by == date(
        2026, 9, 25
    )


def test_on_the_first_day_a_target_is_at_least_a_notch_lower() -> None:
    # a notch is 4.43 per cent: 2 ** (-1 / 16)
    for one in shelf(flexibility(), scales()):
        usual = take_of(one, one.articulations[0], CleanTempo(-5.0, 2.0), player(), cautious=False)
        slower = lowered(one, usual, player(), 1)
        assert usual.tempo is not None
        assert slower.tempo is not None
        assert slower.tempo <= usual.tempo * 2 ** (-1 / 16)


def test_a_target_at_the_bottom_of_its_exercise_stays() -> None:
    one = shelf(scales())[0]
    usual = take_of(one, "tongued", CleanTempo(-30.0, 2.0), player(), cautious=True)
    assert lowered(one, usual, player(), 1).tempo == usual.tempo


def test_a_lowered_target_lasts_longer() -> None:
    one = shelf(scales())[0]
    usual = take_of(one, "tongued", CleanTempo(-5.0, 2.0), player(), cautious=False)
    assert lowered(one, usual, player(), 1).timing.play_seconds > usual.timing.play_seconds

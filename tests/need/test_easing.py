"""The way back after a missed stretch. The numbers are common practice, no source."""

from __future__ import annotations

import random
from datetime import date, timedelta
from typing import Any

import pytest
from need.shelf import MONDAY, band, flexibility, limit, piece, player, scales, shelf, special

from planner.inputs.player import Easing, Missed, OwnWarmUp, Player, SpecialDate
from planner.need.combinations import barred
from planner.need.days import compass_on, day_facts, free_minutes, practice_days
from planner.need.easing import missed_days, steps
from planner.plan.verify.days import day_facts as second_road

DAYS = [MONDAY + timedelta(days=n) for n in range(42)]
LAST_WEEK = (MONDAY - timedelta(days=7), MONDAY - timedelta(days=1))


def missed(first: date, last: date, *played: date, easing: Easing | None = None, **changes: Any) -> Player:
    """A player of 45 minutes from Monday to Saturday who missed a stretch, but for the days played."""
    span = [first + timedelta(days=n) for n in range((last - first).days + 1)]
    free = tuple(SpecialDate("free", day, day, "missed", None) for day in span if day not in played)
    dates = (*changes.pop("dates", ()), *free)
    return player(missed=(Missed(first, last, played, easing),), dates=dates, **changes)


def minutes(who: Player, count: int = 5) -> list[int]:
    return [free_minutes(who, day) for day in DAYS[:count]]


def test_after_one_week_the_minutes_come_back_in_three_days() -> None:
    # 75, 90 and 100 per cent of 45 minutes, whole minutes: 33.75, 40.5, 45
    assert minutes(missed(*LAST_WEEK)) == [33, 40, 45, 45, 45]


@pytest.mark.parametrize("weeks", [2, 3])
def test_after_two_or_three_weeks_they_come_back_in_four_days(weeks: int) -> None:
    # 50, 65, 80 and 100 per cent of 45: 22.5, 29.25, 36, 45
    who = missed(MONDAY - timedelta(weeks=weeks), LAST_WEEK[1])
    assert minutes(who) == [22, 29, 36, 45, 45]


def test_single_missed_days_are_not_eased() -> None:
    assert steps(missed(MONDAY - timedelta(days=3), MONDAY - timedelta(days=2))) == {}


def test_a_weekday_without_minutes_belongs_to_the_break() -> None:
    # Tuesday to Saturday are five days, the Sunday without minutes makes six: eased
    assert len(steps(missed(MONDAY - timedelta(days=6), MONDAY - timedelta(days=2)))) == 3


def test_a_holiday_beside_the_missed_week_makes_the_break_longer() -> None:
    away = special("free", MONDAY - timedelta(weeks=2), MONDAY - timedelta(days=8))
    assert minutes(missed(*LAST_WEEK, dates=(away,)))[0] == 22


def test_a_day_played_in_the_missed_week_divides_the_break() -> None:
    # Monday to Wednesday and Friday to Sunday are three days each: neither is a break
    assert steps(missed(*LAST_WEEK, MONDAY - timedelta(days=4))) == {}


def test_a_day_without_minutes_is_no_day_of_the_return() -> None:
    who = missed(*LAST_WEEK, dates=(special("free", MONDAY + timedelta(days=1)),))
    assert sorted(steps(who)) == [DAYS[0], DAYS[2], DAYS[3]]


def test_an_easing_told_with_the_stretch_replaces_the_usual_one() -> None:
    assert minutes(missed(*LAST_WEEK, easing=Easing((40, 60, 80, 100), 2, 1, 3)))[:4] == [18, 27, 36, 45]


def test_an_empty_easing_is_none_at_all() -> None:
    assert minutes(missed(*LAST_WEEK, easing=Easing((), 2, 1, 3)))[0] == 45


def test_a_limit_of_minutes_holds_on_eased_days_too() -> None:
    who = missed(*LAST_WEEK, limits=(limit("cap", MONDAY, DAYS[20], minutes=20),))
    assert minutes(who, 3) == [20, 20, 20]


def test_missed_minutes_are_never_made_up() -> None:
    who = missed(*LAST_WEEK)
    assert all(free_minutes(who, day) <= free_minutes(player(), day) for day in DAYS)


def test_the_warm_up_of_the_days_of_the_return_is_two_minutes_longer() -> None:
    found = [day_facts(missed(*LAST_WEEK), day).warm_up_seconds for day in DAYS[:4]]
    assert found == [600, 600, 600, 480]


def test_an_own_warm_up_is_longer_too() -> None:
    who = missed(*LAST_WEEK, warm_up=OwnWarmUp("mine", 10))
    assert day_facts(who, MONDAY).warm_up_seconds == 720


def test_a_much_longer_warm_up_leaves_the_warm_down_its_minutes() -> None:
    # 20 minutes at 75 per cent are 15: 13 of them and the warm-down of 2, though 4 + 30 are asked for
    who = missed(*LAST_WEEK, easing=Easing((75, 100), 30, 1, 3), minutes=(20,) * 7)
    found = day_facts(who, MONDAY)
    assert (found.warm_up_seconds, found.warm_down_seconds, found.available_seconds) == (780, 120, 0)


def test_fixed_music_yields_to_a_longer_warm_up_on_a_day_of_all_its_minutes() -> None:
    # on the third day 45 minutes again: 10 for the warm-up, 3 for the warm-down, 32 for a piece of 34
    who = missed(*LAST_WEEK, music=(piece(34, *range(6)),))
    assert (day_facts(who, DAYS[2]).music, len(day_facts(who, DAYS[3]).music)) == ((), 1)


def test_nothing_above_three_semitones_under_the_top_on_the_first_day() -> None:
    # the top of the range is written C6 (84): A5 (81) stays, B-flat 5 does not
    assert second_road(missed(*LAST_WEEK), MONDAY).top_note == 81


def test_the_top_note_of_the_first_day_is_never_below_the_range() -> None:
    # two octaves down from the top of a range of a twelfth: its lowest note is left
    who = missed(*LAST_WEEK, easing=Easing((75, 100), 2, 1, 24), low=55, high=74)
    assert (compass_on(who, MONDAY), second_road(who, MONDAY).top_note) == ((55, 55), 55)


def test_the_top_note_comes_back_on_the_second_day() -> None:
    assert second_road(missed(*LAST_WEEK), DAYS[1]).top_note is None


def test_known_notes_of_a_beginner_stay() -> None:
    who = missed(*LAST_WEEK, known_notes=(60, 62, 64, 65, 67))
    assert second_road(who, MONDAY).top_note is None


def test_range_stays_out_while_the_minutes_are_short() -> None:
    gulls = shelf(flexibility("gulls", family="range"))[0]
    who = missed(*LAST_WEEK)
    assert [bool(barred(gulls, who, day)) for day in DAYS[:4]] == [True, True, False, False]


def test_other_families_are_played_on_the_first_day() -> None:
    assert not any(barred(one, missed(*LAST_WEEK), MONDAY) for one in shelf(scales(keys=scales().keys[:1])))


def test_missed_days_are_no_practice_days() -> None:
    # the week before has six practice days, of which Thursday was played
    who = missed(*LAST_WEEK, MONDAY - timedelta(days=4))
    assert practice_days(who, *LAST_WEEK) == 1


def test_days_played_are_not_counted_as_missed() -> None:
    assert missed_days(missed(*LAST_WEEK, MONDAY - timedelta(days=4)), *LAST_WEEK) == 6


@pytest.mark.parametrize("seed", range(60))
def test_both_roads_ease_the_same_days_in_the_same_way(seed: int) -> None:
    who = by_dice(random.Random(seed))
    for day in DAYS:
        one, two = day_facts(who, day), second_road(who, day)
        found = (one.free_minutes, one.warm_up_seconds, one.available_seconds, one.load_limit, one.slow)
        assert found == (two.free_minutes, two.warm_up, two.available, two.limit, two.slower_by > 0), day


def by_dice(dice: random.Random) -> Player:
    """A player with one or two missed stretches, some days of them played, holidays and limits around."""
    first = MONDAY + timedelta(days=dice.randint(-10, 10))
    last = first + timedelta(days=dice.randint(0, 24))
    span = [first + timedelta(days=n) for n in range((last - first).days + 1)]
    played = tuple(day for day in span if dice.random() < 0.08)
    away = MONDAY + timedelta(days=dice.randint(-5, 30))
    dates = (special("free", away, away + timedelta(days=dice.randint(0, 6))),)
    dates += (special("short", away, away + timedelta(days=9), 20),) if dice.random() < 0.4 else ()
    dates += (special("concert", MONDAY + timedelta(days=dice.randint(0, 40))),)
    easing = dice.choice((None, None, Easing((30, 100), 4, 2, 5), Easing((60, 100), 30, 1, 3)))
    return missed(
        first, last, *played, easing=easing, dates=dates,
        limits=(limit("rest", away, away + timedelta(days=3), minutes=dice.choice((0, 12))),),
        minutes=tuple(dice.choice((0, 12, 20, 30, 45)) for _ in range(7)),
        music=(piece(5),), playing=(band(1),) if dice.random() < 0.5 else (),
    )  # fmt: skip

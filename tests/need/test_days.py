from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from fractions import Fraction

import pytest
from need.shelf import MONDAY, band, limit, piece, player, special

from planner.errors import DoesNotFit
from planner.inputs.player import OwnWarmUp, SpecialDate
from planner.need.days import (
    day_facts,
    free_minutes,
    practice_day_after,
    practice_days,
    span_end,
)

TUESDAY, SATURDAY = MONDAY + timedelta(days=1), MONDAY + timedelta(days=5)
# The numbers of this file are the definitions of the week: common practice, no source.


def of_minutes(minutes: int, **changes: object) -> object:
    return day_facts(player(minutes=(minutes,) * 7, **changes), MONDAY)


@pytest.mark.parametrize(
    ("minutes", "seconds"),
    [(45, 480), (30, 480), (29, 360), (22, 360), (21, 240), (15, 240), (14, 180), (3, 180), (2, 120), (0, 0)],
)
def test_a_shorter_day_opens_with_a_shorter_warm_up(minutes: int, seconds: int) -> None:
    assert of_minutes(minutes).warm_up_seconds == seconds


@pytest.mark.parametrize(("minutes", "seconds"), [(45, 180), (30, 180), (29, 120), (15, 120), (14, 0)])
def test_a_shorter_day_closes_with_a_shorter_warm_down(minutes: int, seconds: int) -> None:
    assert of_minutes(minutes).warm_down_seconds == seconds


def test_what_is_left_for_blocks_is_the_day_less_its_frame() -> None:
    assert of_minutes(45).available_seconds == 2700 - 480 - 180


def test_an_own_warm_up_takes_its_own_minutes() -> None:
    assert of_minutes(45, warm_up=OwnWarmUp("mine", 12)).warm_up_seconds == 720


def test_an_own_warm_up_takes_no_more_than_a_third_of_the_day() -> None:
    assert of_minutes(30, warm_up=OwnWarmUp("mine", 20)).warm_up_seconds == 600


def test_an_own_warm_up_gives_way_on_a_short_day() -> None:
    assert of_minutes(20, warm_up=OwnWarmUp("mine", 12)).warm_up_seconds == 240


def test_a_free_date_has_no_minutes() -> None:
    assert free_minutes(player(dates=(special("free", MONDAY),)), MONDAY) == 0


def test_a_short_date_has_its_own_minutes() -> None:
    assert free_minutes(player(dates=(special("short", MONDAY, minutes=20),)), MONDAY) == 20


def test_a_limit_caps_the_minutes() -> None:
    assert free_minutes(player(limits=(limit(minutes=10),)), MONDAY) == 10


def test_a_limit_never_adds_minutes() -> None:
    assert free_minutes(player(limits=(limit(minutes=90),)), MONDAY) == 45


def test_the_load_limit_grows_with_the_minutes() -> None:
    assert of_minutes(40).load_limit == 50  # 1.25 x 40


def test_warm_up_and_warm_down_weigh_half_their_minutes() -> None:
    assert of_minutes(45).fixed_load == Fraction(11, 2)  # 11 minutes, half of them played, intensity 1


def test_a_rehearsal_brings_its_own_load() -> None:
    # 120 minutes x 0.55 on the lip x intensity 3
    assert day_facts(player(playing=(band(1),)), TUESDAY).playing_load == 198


def test_a_rehearsal_leaves_little_more_than_half_the_load() -> None:
    facts = day_facts(player(playing=(band(1),)), TUESDAY)
    assert facts.load_limit - facts.playing_load == Fraction("30.9375")  # 1.25 x 45 x 0.55


def test_a_rehearsal_happens_on_a_day_without_minutes() -> None:
    assert day_facts(player(playing=(band(6),)), MONDAY + timedelta(days=6)).load_limit == 198


def test_a_rehearsal_does_not_happen_on_a_free_date() -> None:
    one = player(playing=(band(1),), dates=(special("free", TUESDAY),))
    assert day_facts(one, TUESDAY).playing_load == 0


def test_no_range_beside_a_rehearsal() -> None:
    assert day_facts(player(playing=(band(1),)), TUESDAY).allows_range is False


def test_a_concert_day_is_a_warm_up_and_nothing_else() -> None:
    facts = day_facts(player(dates=(special("concert", MONDAY),)), MONDAY)
    assert (facts.warm_up_only, facts.warm_up_seconds, facts.available_seconds) == (True, 720, 0)


@pytest.mark.parametrize(
    ("days", "new"), [(-3, True), (-2, False), (-1, False), (1, True)], ids=["-3", "-2", "-1", "+1"]
)
def test_nothing_new_on_the_two_days_before_a_concert(days: int, new: bool) -> None:
    one = player(dates=(special("concert", MONDAY + timedelta(days=-days)),))
    assert day_facts(one, MONDAY).allows_new is new


@pytest.mark.parametrize(("days", "allowed"), [(-3, True), (-2, False), (-1, False), (1, False), (2, True)])
def test_no_range_around_a_concert(days: int, allowed: bool) -> None:
    one = player(dates=(special("concert", MONDAY + timedelta(days=-days)),))
    assert day_facts(one, MONDAY).allows_range is allowed


@pytest.mark.parametrize(("days", "limit_"), [(-2, "56.25"), (-1, "33.75"), (1, "33.75")])
def test_less_load_on_the_day_before_and_after_a_concert(days: int, limit_: str) -> None:
    one = player(dates=(special("concert", MONDAY + timedelta(days=-days)),))
    assert day_facts(one, MONDAY).load_limit == Fraction(limit_)  # 1.25 x 45, times 0.6


def test_an_audition_eases_its_own_day_too() -> None:
    assert day_facts(player(dates=(special("audition", MONDAY),)), MONDAY).load_limit == Fraction("33.75")


def test_own_music_takes_room_from_the_blocks() -> None:
    facts = day_facts(player(music=(piece(12, 0),)), MONDAY)
    assert facts.available_seconds == 2040 - 720


def test_own_music_weighs_three_fifths_of_its_minutes() -> None:
    facts = day_facts(player(music=(piece(10, 0, intensity=4),)), MONDAY)
    assert facts.music[0].load == 24  # 6 minutes x 4


def test_own_music_with_a_weekday_keeps_to_it() -> None:
    assert day_facts(player(music=(piece(12, 1),)), MONDAY).music == ()


def test_own_music_without_a_weekday_goes_where_it_fits() -> None:
    assert [len(of_minutes(minutes, music=(piece(30),)).music) for minutes in (45, 40)] == [1, 0]


def test_own_music_stops_after_its_last_day() -> None:
    assert day_facts(player(music=(piece(12, 0, until=MONDAY - timedelta(days=1)),)), MONDAY).music == ()


def test_fixed_music_without_room_is_refused() -> None:
    with pytest.raises(DoesNotFit, match="March and the warm-up need 6 minutes more"):
        of_minutes(45, music=(piece(40, 0),))


def test_fixed_music_yields_on_a_day_shorter_than_usual() -> None:
    short = SpecialDate("short", MONDAY, MONDAY, "dentist", 20)
    assert day_facts(player(dates=(short,), music=(piece(40, 0),)), MONDAY).music == ()


def test_music_of_another_weekday_does_not_move_into_a_short_day() -> None:
    short = SpecialDate("short", MONDAY, MONDAY, "dentist", 30)
    assert day_facts(player(dates=(short,), music=(piece(40, 0), piece(5, 1))), MONDAY).music == ()


def test_a_day_under_a_quarter_of_an_hour_has_one_block() -> None:
    assert of_minutes(14).most_blocks == 1


def test_practice_days_leave_out_days_without_minutes() -> None:
    assert practice_days(player(), MONDAY, MONDAY + timedelta(days=6)) == 6


def test_the_third_practice_day_jumps_over_sunday() -> None:
    # from Friday 4 September: Saturday, Monday, Tuesday
    assert practice_day_after(player(), MONDAY - timedelta(days=3), 3) == TUESDAY


def test_a_calendar_without_practice_has_no_next_day() -> None:
    assert practice_day_after(player(minutes=(0,) * 7), MONDAY, 3) is None


def test_a_holiday_lengthens_a_span() -> None:
    week_off = special("free", MONDAY - timedelta(days=14), MONDAY - timedelta(days=8))
    last = MONDAY - timedelta(days=21)
    assert span_end(player(dates=(week_off,)), last, 28, MONDAY) == last + timedelta(days=28 + 7)


def test_a_day_without_minutes_does_not_lengthen_a_span() -> None:
    last = MONDAY - timedelta(days=21)
    assert span_end(replace(player(), minutes=(0,) * 7), last, 28, MONDAY) == last + timedelta(days=28)


def test_an_illness_lengthens_a_span() -> None:
    ill = limit("flu", MONDAY - timedelta(days=5), MONDAY - timedelta(days=3), minutes=0)
    last = MONDAY - timedelta(days=10)
    assert span_end(player(limits=(ill,)), last, 28, MONDAY) == last + timedelta(days=31)

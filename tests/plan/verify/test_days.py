"""What a date allows, each figure worked from the week's definitions."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from fractions import Fraction

import pytest
from plan.verify.shelf import MONDAY, PLAYER

from planner.inputs.player import Limit, OtherPlaying, OwnMusic, OwnWarmUp, Player, SpecialDate
from planner.plan.verify.days import DayFacts, day_facts, free_minutes
from planner.plan.verify.reckoning import practice_days

DAY = dt.timedelta(days=1)


def player(minutes: int = 45, **fields: object) -> Player:
    return replace(PLAYER, minutes=(minutes,) * 7, **fields)  # type: ignore[arg-type]


def special(kind: str, day: dt.date, minutes: int | None = None) -> SpecialDate:
    return SpecialDate(kind, day, day, "", minutes)  # type: ignore[arg-type]


def monday(minutes: int = 45, **fields: object) -> DayFacts:
    return day_facts(player(minutes, **fields), MONDAY)


@pytest.mark.parametrize(
    ("free", "warm_up", "warm_down", "available"),
    [
        (45, 480, 180, 2040),
        (30, 480, 180, 1140),
        (29, 360, 120, 1260),
        (22, 360, 120, 840),
        (21, 240, 120, 900),
        (15, 240, 120, 540),
        (14, 180, 0, 660),
        (2, 120, 0, 0),
        (0, 0, 0, 0),
    ],
)
def test_warm_up_and_warm_down_follow_the_minutes(
    free: int, warm_up: int, warm_down: int, available: int
) -> None:
    facts = monday(free)
    assert (facts.warm_up, facts.warm_down, facts.available) == (warm_up, warm_down, available)


def test_an_own_warm_up_takes_its_minutes() -> None:
    assert monday(45, warm_up=OwnWarmUp("", 12)).warm_up == 720


def test_an_own_warm_up_is_never_more_than_a_third() -> None:
    assert monday(30, warm_up=OwnWarmUp("", 20)).warm_up == 600


def test_an_own_warm_up_gives_way_on_a_short_day() -> None:
    assert monday(20, warm_up=OwnWarmUp("", 12)).warm_up == 240


def test_the_load_limit_is_one_and_a_quarter_of_the_minutes() -> None:
    assert monday(45).limit == Fraction(225, 4)


def test_the_frame_weighs_half_its_minutes() -> None:
    # 480 s and 180 s, half of it played, intensity 1: 330 / 60
    assert monday(45).fixed == Fraction(11, 2)


def test_a_rehearsal_counts_and_halves_the_rest() -> None:
    # 120 min x 0.55 x 3 = 198; 1.25 x 40 x 0.55 = 27.5
    facts = monday(40, playing=(OtherPlaying("Band", (0,), 120, 0.55, 3),))
    assert (facts.playing, facts.limit) == (198, Fraction(451, 2))


def test_a_rehearsal_without_free_minutes_is_its_own_limit() -> None:
    facts = monday(0, playing=(OtherPlaying("Band", (0,), 120, 0.55, 3),))
    assert (facts.limit, facts.fixed, facts.practice) == (198, 198, False)


def test_no_rehearsal_happens_on_a_free_date() -> None:
    band = (OtherPlaying("Band", (0,), 120, 0.55, 3),)
    facts = monday(40, playing=band, dates=(special("free", MONDAY),))
    assert (facts.free_minutes, facts.playing, facts.plays_elsewhere) == (0, 0, False)


def test_a_short_date_has_its_own_minutes() -> None:
    assert free_minutes(player(45, dates=(special("short", MONDAY, 12),)), MONDAY) == 12


def test_the_lowest_limit_caps_the_minutes() -> None:
    caps = tuple(Limit("", MONDAY, MONDAY, None, minutes, ()) for minutes in (20, 10))
    assert free_minutes(player(45, limits=caps), MONDAY) == 10


def test_a_limit_ends_after_its_last_day() -> None:
    cap = Limit("", MONDAY - DAY, MONDAY, None, 10, ())
    assert free_minutes(player(45, limits=(cap,)), MONDAY + DAY) == 45


def test_a_concert_day_is_a_warm_up_of_twelve_minutes() -> None:
    facts = monday(45, dates=(special("concert", MONDAY),))
    assert (facts.warm_up, facts.warm_down, facts.available, facts.warm_up_only) == (720, 0, 0, True)


def test_a_concert_day_of_ten_minutes_is_all_warm_up() -> None:
    assert monday(10, dates=(special("concert", MONDAY),)).warm_up == 600


@pytest.mark.parametrize(
    ("away", "share", "nothing_new", "no_range"),
    [
        (-3, 1, False, False),
        (-2, 1, True, True),
        (-1, 0.6, True, True),
        (1, 0.6, False, True),
        (2, 1, False, False),
    ],
)
def test_the_days_around_a_concert_are_eased(
    away: int, share: float, nothing_new: bool, no_range: bool
) -> None:
    facts = monday(40, dates=(special("concert", MONDAY - away * DAY),))
    assert (facts.limit, facts.nothing_new, facts.no_range) == (
        50 * Fraction(str(share)),
        nothing_new,
        no_range,
    )


def test_an_audition_eases_its_own_day_too() -> None:
    assert monday(40, dates=(special("audition", MONDAY),)).limit == 30


def test_floating_music_stands_where_it_fits() -> None:
    # 20 min: 240 + 120 + 14 x 60 = 1200 fits; 15 x 60 does not
    fits, too_long = (OwnMusic("m", "", "", minutes, (), None, None, 2) for minutes in (14, 15))
    assert (len(monday(20, music=(fits,)).music), len(monday(20, music=(too_long,)).music)) == (1, 0)


def test_fixed_music_takes_room_from_floating_music() -> None:
    # 30 min leave 19 beside the frame: 12 fixed, then 8 do not fit
    fixed = OwnMusic("fixed", "", "", 12, (0,), None, None, 2)
    floating = OwnMusic("floating", "", "", 8, (), None, None, 2)
    assert [piece.id for piece in monday(30, music=(floating, fixed)).music] == ["fixed"]


def test_music_weighs_three_fifths_of_its_minutes() -> None:
    # 10 min x 0.6 x intensity 3 = 18, and 5.5 for the frame
    assert monday(45, music=(OwnMusic("m", "", "", 10, (0,), None, None, 3),)).fixed == Fraction(47, 2)


def test_music_ends_with_its_last_date() -> None:
    assert monday(45, music=(OwnMusic("m", "", "", 10, (0,), None, MONDAY - DAY, 3),)).music == ()


def test_practice_days_are_counted_between_two_dates() -> None:
    # Monday, Wednesday, Friday: after Wed 2 September up to Mon 7 September come Fri 4 and Mon 7
    calendar = practice_days(PLAYER, dt.date(2026, 8, 1), dt.date(2026, 9, 13))
    assert calendar.between(dt.date(2026, 9, 2), MONDAY) == 2


def test_the_third_practice_day_after_a_wednesday_is_a_wednesday() -> None:
    calendar = practice_days(PLAYER, dt.date(2026, 8, 1), dt.date(2026, 9, 13))
    assert calendar.nth_after(dt.date(2026, 9, 2), 3) == dt.date(2026, 9, 9)


def test_no_practice_day_in_sight_is_none() -> None:
    calendar = practice_days(player(0), dt.date(2026, 8, 1), dt.date(2026, 9, 13))
    assert calendar.nth_after(MONDAY, 3) is None


def test_days_away_are_counted_between_two_dates() -> None:
    away = SpecialDate("free", dt.date(2026, 8, 10), dt.date(2026, 8, 16), "", None)
    ill = Limit("", dt.date(2026, 8, 16), dt.date(2026, 8, 18), None, 0, ())
    calendar = practice_days(player(45, dates=(away,), limits=(ill,)), dt.date(2026, 8, 1), MONDAY)
    assert calendar.away_between(dt.date(2026, 8, 10), MONDAY) == 8

"""Three days of sample players added up by hand, second by second.

So that the sums depend on nothing but the rules, the estimate is fixed (mean -8 notches, spread 1.5 notches
everywhere) and the turns are chosen here. The marks follow, with the noise of 2 notches: the spread at a mark
is sqrt(1.5^2 + 2^2) = 2.5.
  usual boldness 0.84: z = 0.9945, -8 - 0.9945 x 2.5 = -10.486 notches, 2^(-10.486/16) = 0.6349 of the goal
  careful 0.92: z = 1.4051, -11.513 notches, 0.6073 of the goal
Played within the last 6 days: nearest mark, else the mark below. Then breath = passes x eighths x 60 /
eighths a minute, playing = breaths x breath, 3 s between breaths, rest by intensity (1-2 half the playing,
3 all of it, from 4 on one and a half times a breath after every breath), at least 45 s before another
exercise. Playing and pauses are rounded up, so is the whole item; the pause after it is what is left.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import date, timedelta

import pytest
from horizon.sample_weeks import MONDAY, player_file, request_from

from planner.diary.rating import Rating
from planner.horizon import week as horizon
from planner.inputs.player import Player
from planner.need.clean_tempo import CleanTempo, Estimates
from planner.need.combinations import Combination
from planner.need.parts import Scales
from planner.plan.layout import lay_out
from planner.plan.weekplan import PlanDay, PlanItem

Row = tuple[str, str, int, int, int, int, int]
Chosen = Callable[[str, date, date, Sequence[str]], PlanDay]


@pytest.fixture
def laid_out(monkeypatch: pytest.MonkeyPatch) -> Chosen:
    """One day of a sample player with the turns that are named, under the fixed estimate."""

    def fixed(
        combinations: Sequence[Combination],
        ratings: Iterable[Rating],
        day: date,
        player: Player,
        scales: Scales,
    ) -> Estimates:
        rows: list[tuple[str, str]] = [(c.id, way) for c in combinations for way in c.articulations]
        guesses = dict.fromkeys(rows, -8.0)
        return Estimates(day, dict.fromkeys(rows, CleanTempo(-8.0, 1.5)), guesses, dict.fromkeys(rows, 0))

    def day(name: str, first: date, wanted: date, names: Sequence[str]) -> PlanDay:
        request = request_from(player_file(name), first, first + timedelta(days=6), MONDAY)
        week, _ = horizon.week_of(request)
        number = {wish.id: index for index, wish in enumerate(week.wishes)}
        turns = frozenset((number[name], (wanted - first).days) for name in names)
        return lay_out(week, turns)[(wanted - first).days]

    monkeypatch.setattr(horizon, "estimate", fixed)
    return day


def rows(day: PlanDay) -> list[Row]:
    """Each item: id, combination, starting second, seconds of playing, between breaths, after it, in all."""
    return [_row(item) for item in day.items]


def _row(item: PlanItem) -> Row:
    named = item.combination or item.exercise
    parts = (item.play_seconds, item.breath_pauses_seconds, item.pause_seconds)
    return item.id, named, item.at, *parts, item.seconds


# --- Tobias, trumpet, a Monday of 45 minutes, usual boldness

TOBIAS = (
    "spindle/a/1-2-3",
    "spindle/a/3-4-5",
    "broken-fence/up/1-2-3",
    "broken-fence/up/5-6-7",
    "broken-fence/down/1-2-3",
    "flag-hill/a/5-6-7",
    "flag-hill/a/1-2-3",
    "ridge-path/a/c-major",
    "ridge-path/a/g-major",
    "first-light/one/5-6-7",
)
TOBIAS_ROWS: list[Row] = [
    # 45 minutes are 30 or more: 8 minutes, half of it playing.
    ("A1", "warm-up", 0, 240, 0, 240, 480),
    # goal 144 x 0.6349 = 91.4, played on 2 September: nearest mark 92, quarters. 12 eighths x 60 / 184 =
    # 3.913, 2 passes 7.826, 6 breaths 46.957, 5 x 3 = 15 between, rest as long: 108.9
    ("B1", "broken-fence/up/1-2-3", 480, 47, 15, 47, 109),
    # the same on 5 September
    ("B2", "broken-fence/down/1-2-3", 589, 47, 15, 47, 109),
    # new: mark below, 88. 12 x 60 / 176 x 2 = 8.182, 49.09; intensity 2 rests 24.5, set-up 45: 109.1
    ("B3", "broken-fence/up/5-6-7", 698, 50, 15, 45, 110),
    # goal 20 s x 0.6349 = 12.7, heard on 3 September: 13 s. 3 breaths 39, between 6, rest 19.5, set-up 45:
    # 90
    ("C1", "first-light/one/5-6-7", 808, 39, 6, 45, 90),
    # goal 76 x 0.6349 = 48.3; not below first 66 x 2^(-6/16) = 50.9: 52. 16 x 60 / 104 = 9.231, 3 breaths
    # 27.692, between 6, intensity 3 rests as long: 61.4
    ("D1", "flag-hill/a/5-6-7", 898, 28, 6, 28, 62),
    # intensity 4: after each of two breaths 1.5 x 9.231, 27.692; after the last 13.8, set-up 45: 100.4
    ("D2", "flag-hill/a/1-2-3", 960, 28, 28, 45, 101),
    # goal 132 x 0.6349 = 83.8, last on 27 August: mark below, 80. 24 x 60 / 160 = 9, 5 breaths 45, between
    # 12, intensity 2 rests 22.5: 79.5
    ("E1", "ridge-path/a/c-major", 1061, 45, 12, 23, 80),
    # last on 3 September: nearest, 84. 24 x 60 / 168 = 8.571, 42.857; between 12, set-up 45: 99.9
    ("E2", "ridge-path/a/g-major", 1141, 43, 12, 45, 100),
    # goal 192 x 0.6349 = 121.9, last on 31 August: below, 120. 5 x 60 / 120 = 2.5, 4 passes 10, 6 breaths
    # 60, between 15, rest 60: 135
    ("F1", "spindle/a/1-2-3", 1241, 60, 15, 60, 135),
    # the same; its rest of 60 is longer than the set-up
    ("F2", "spindle/a/3-4-5", 1376, 60, 15, 60, 135),
    ("G1", "warm-down", 1511, 90, 0, 90, 180),
]


def test_a_day_of_45_minutes_adds_up_by_hand(laid_out: Chosen) -> None:
    assert rows(laid_out("tobias", MONDAY, MONDAY, TOBIAS)) == TOBIAS_ROWS


def test_the_day_of_45_minutes_takes_1691_seconds(laid_out: Chosen) -> None:
    # 1511 + 180
    assert laid_out("tobias", MONDAY, MONDAY, TOBIAS).seconds_used == 1691


def test_the_load_of_the_day_of_45_minutes(laid_out: Chosen) -> None:
    # Minutes of playing x intensity: 2 x 0.78261 x 3 + 0.81818 x 2 + 0.65 x 2 + 0.46154 x (3 + 4) + 0.75 x 2
    # + 0.71429 x 2 + 2 x 1 x 3 = 19.79136; warm-up and warm-down play 330 s: 5.5. Sunday is free of playing.
    day = laid_out("tobias", MONDAY, MONDAY, TOBIAS)
    assert (day.load, day.load_two_days) == (25.291, 25.291)


def test_the_load_limits_of_the_day_of_45_minutes(laid_out: Chosen) -> None:
    # 1.25 x 45; with a Sunday without minutes nine tenths of it.
    day = laid_out("tobias", MONDAY, MONDAY, TOBIAS)
    assert (day.load_limit, day.load_two_days_limit) == (56.25, 50.625)


def test_the_marks_of_the_day_of_45_minutes(laid_out: Chosen) -> None:
    marks = [item.tempo for item in laid_out("tobias", MONDAY, MONDAY, TOBIAS).items if item.combination]
    assert marks == [92, 92, 88, None, 52, 52, 80, 84, 120, 120]


# --- Ruben, trombone, a Tuesday of 20 minutes with two hours of band in the evening, careful

TUESDAY = MONDAY + timedelta(days=1)
RUBEN = ("ox-cart/a/1-2-3", "ox-cart/a/5-6-7", "lock-gates/a/5-6-7", "harbour-lamps/rise/5-6-7")
RUBEN_ROWS: list[Row] = [
    # 20 minutes are 15 to 21: 4 minutes of warm-up, 2 of warm-down.
    ("A1", "warm-up", 0, 120, 0, 120, 240),
    # New, two goes each, another between. Goal 184 x 0.6073 = 111.7: mark below, 108. 7 x 60 / 108 = 3.889;
    # three passes would be 11.7 s, one breath is 11: two, 7.778. 3 breaths 23.333, between 6, rest as long:
    # 52.7
    ("B1", "ox-cart/a/1-2-3", 240, 24, 6, 23, 53),
    # intensity 2: rest 11.667, together exactly 41
    ("B2", "ox-cart/a/5-6-7", 293, 24, 6, 11, 41),
    ("B3", "ox-cart/a/1-2-3", 334, 24, 6, 23, 53),
    # another exercise follows: 23.333 + 6 + 45 = 74.3
    ("B4", "ox-cart/a/5-6-7", 387, 24, 6, 45, 75),
    # goal 16 s x 0.6073 = 9.7, last on 19 August: 9 s. 6 breaths 54, between 15, set-up 45: 114
    ("C1", "harbour-lamps/rise/5-6-7", 462, 54, 15, 45, 114),
    # goal 160 x 0.6073 = 97.2: 96. 5 x 60 / 96 = 3.125, three passes 9.375 in the breath of 11; 6 breaths
    # 56.25, between 15, set-up before the warm-down 45: 116.25
    ("D1", "lock-gates/a/5-6-7", 576, 57, 15, 45, 117),
    ("E1", "warm-down", 693, 60, 0, 60, 120),
]


def test_a_day_with_band_night_adds_up_by_hand(laid_out: Chosen) -> None:
    assert rows(laid_out("ruben", MONDAY, TUESDAY, RUBEN)) == RUBEN_ROWS


def test_the_goes_of_band_night_have_another_item_between(laid_out: Chosen) -> None:
    items = laid_out("ruben", MONDAY, TUESDAY, RUBEN).items
    assert [(item.id, item.go) for item in items if item.block == "B"] == [
        ("B1", 1), ("B2", 1), ("B3", 2), ("B4", 2),
    ]  # fmt: skip


def test_the_load_of_band_night_counts_the_band(laid_out: Chosen) -> None:
    # Band 120 x 0.55 x 3 = 198; frame 180 s of playing, 3; two goes of 0.38889 x 3 and of 0.38889 x 2; 0.9 x
    # 1; 0.9375 x 2: 198 + 3 + 3.88889 + 0.9 + 1.875 = 207.66389.
    day = laid_out("ruben", MONDAY, TUESDAY, RUBEN)
    assert (day.playing_load, day.load) == (198.0, 207.664)


def test_the_limit_of_band_night(laid_out: Chosen) -> None:
    # Beside other playing 0.55 x 1.25 x 20 = 13.75, and the band's own 198. Monday's is 1.25 x 40 = 50; both
    # together 0.9 x 261.75.
    day = laid_out("ruben", MONDAY, TUESDAY, RUBEN)
    assert (day.load_limit, day.load_two_days_limit) == (211.75, 235.575)


def test_monday_and_band_night_together(laid_out: Chosen) -> None:
    # Monday without turns: frame 330 s, 5.5, and the solo: 60 % of 720 s at intensity 3, 21.6.
    assert laid_out("ruben", MONDAY, TUESDAY, RUBEN).load_two_days == 234.764


# --- Ingrid, horn, the Tuesday before her audition, an hour, careful

BEFORE = date(2026, 9, 15)  # the audition is on Wednesday 16 September, 9 days after MONDAY
INGRID = ("cold-start/octave/5-6-7",)
INGRID_ROWS: list[Row] = [
    # Her own warm-up of 12 minutes, no more than a third of the day.
    ("A1", "warm-up", 0, 360, 0, 360, 720),
    # goal 20 s x 0.6073 = 12.1: 12 s. 3 breaths 36, between 6, rest 18, set-up before the music 45: 87
    ("B1", "cold-start/octave/5-6-7", 720, 36, 6, 45, 87),
    # 15 minutes, 60 % of them played
    ("C1", "audition-list", 807, 540, 0, 360, 900),
    ("D1", "warm-down", 1707, 90, 0, 90, 180),
]


def test_the_day_before_an_audition_adds_up_by_hand(laid_out: Chosen) -> None:
    assert rows(laid_out("ingrid", date(2026, 9, 14), BEFORE, INGRID)) == INGRID_ROWS


def test_the_load_of_the_day_before_an_audition(laid_out: Chosen) -> None:
    # Frame 450 s of playing, 7.5; list 9 x 4 = 36; 0.6 x 2 = 1.2. The day before, without turns, 43.5.
    day = laid_out("ingrid", date(2026, 9, 14), BEFORE, INGRID)
    assert (day.load, day.load_two_days) == (44.7, 88.2)


def test_the_limit_of_the_day_before_an_audition(laid_out: Chosen) -> None:
    # Three fifths of 1.25 x 60; with Monday's 75 nine tenths of 120.
    day = laid_out("ingrid", date(2026, 9, 14), BEFORE, INGRID)
    assert (day.load_limit, day.load_two_days_limit) == (45.0, 108.0)


def test_her_own_warm_up_keeps_its_name(laid_out: Chosen) -> None:
    day = laid_out("ingrid", date(2026, 9, 14), BEFORE, INGRID)
    assert day.items[0].title == "her own twelve minutes on natural horn"


def test_the_audition_day_is_twelve_minutes_of_warm_up(laid_out: Chosen) -> None:
    day = laid_out("ingrid", date(2026, 9, 14), date(2026, 9, 16), ())
    assert rows(day) == [("A1", "warm-up", 0, 360, 0, 360, 720)]

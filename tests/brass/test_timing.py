"""Seconds of breaths, pauses and rests. Worked by hand unless a source stands beside."""

from __future__ import annotations

from fractions import Fraction

import pytest

from planner.brass.tempo import (
    Timing,
    item_timing,
    lowest_mark_for_breath,
    mark_at_or_above,
    passes_in_breath,
    whole_seconds,
)


def rolling_fives(intensity: int = 3, passes: int = 4, capacity: float = 15) -> Timing:
    """5/8, one bar, eighth = 96, three positions, one round."""
    return item_timing(
        pass_eighths=5,
        eighths_per_minute=96,
        passes=passes,
        breaths=3,
        intensity=intensity,
        breath_capacity_seconds=capacity,
    )


def test_worked_example_lasts_81_seconds() -> None:
    # breath 4 * 5 * 60 / 96 = 12.5; playing 3 * 12.5 = 37.5; two pauses of 3; rest 37.5; ceil(81) = 81
    timing = rolling_fives()
    assert (timing.breath_seconds, timing.play_seconds) == (12.5, 37.5)
    assert whole_seconds(timing, timing.rest_seconds) == (38, 6, 37, 81)


def test_worked_example_is_a_load_of_1_9() -> None:
    # 0.625 minutes of playing times intensity 3 = 1.875
    assert round(float(rolling_fives().play_seconds) / 60 * 3, 1) == 1.9


def test_light_work_rests_half_as_long_as_it_plays() -> None:
    assert rolling_fives(intensity=2).rest_seconds == 18.75


def test_heavy_work_rests_after_every_breath() -> None:
    # 1.5 * 12.5 = 18.75 after each of three breaths: two between, one after
    timing = rolling_fives(intensity=4)
    assert timing.breath_pauses_seconds == 37.5
    assert timing.rest_seconds == 18.75


def test_heavy_work_rests_one_and_a_half_times_in_all() -> None:
    timing = rolling_fives(intensity=5)
    assert timing.breath_pauses_seconds + timing.rest_seconds == Fraction(3, 2) * timing.play_seconds


def test_long_pass_takes_breaths_inside_of_three_seconds() -> None:
    # 16 eighths at 60 are 16 s; a breath carries 7 s: two more breaths inside each of two, one between them
    timing = item_timing(
        pass_eighths=16,
        eighths_per_minute=60,
        passes=1,
        breaths=2,
        intensity=1,
        breath_capacity_seconds=7,
    )
    assert timing.breath_pauses_seconds == (1 + 2 * 2) * 3


def test_breath_that_just_fits_needs_no_other() -> None:
    assert rolling_fives(capacity=12.5).breath_pauses_seconds == 6


def test_set_up_that_is_longer_than_the_rest_counts() -> None:
    # 37.5 + 6 + 45 = 88.5, up to 89
    assert whole_seconds(rolling_fives(), 45) == (38, 6, 45, 89)


def test_last_item_of_the_day_has_no_pause() -> None:
    # 37.5 + 6 = 43.5, up to 44 = 38 + 6
    assert whole_seconds(rolling_fives(), 0) == (38, 6, 0, 44)


def test_pause_is_never_below_nothing() -> None:
    # 10.2 + 3.2 = 13.4 would be 14, but 11 + 4 = 15
    timing = Timing(Fraction(102, 10), Fraction(32, 10), Fraction(0), Fraction(5))
    assert whole_seconds(timing, 0) == (11, 4, 0, 15)


@pytest.mark.parametrize(
    ("passes", "one", "capacity", "fit"),
    # a tuba of 7 s gets two passes of 3.125 s, a trombone of 11 s three, a trumpet of 15 s all four
    [(4, 3.125, 7, 2), (4, 3.125, 11, 3), (4, 3.125, 15, 4), (4, 20, 7, 1), (1, 1, 15, 1), (3, 0.1, 0.3, 3)],
)
def test_breath_carries_so_many_passes(passes: int, one: float, capacity: float, fit: int) -> None:
    assert passes_in_breath(passes, one, capacity) == fit


@pytest.mark.parametrize(
    ("vital_capacity", "flow", "units", "exact", "mark"),
    # T = 0.8 * VC / Q seconds, slowest tempo 60 * units / T. VC from Hankinson et al. 1999 (NHANES III): man
    # of 175 cm, 30 years 5.2929 l; boy of 150 cm, 12 years 2.9454 l; woman of 165 cm, 30 years 3.8946 l.
    # Flows: Freour et al. 2010 (trumpet), Jacobs in Frederiksen, Song and Wind (soft 10 l/min, tuba 7 l/min)
    [
        (5.2929, 0.5, 16, 113.36, 116),
        (5.2929, 0.18, 80, 204.05, 208),
        (2.9454, 0.18, 80, 366.67, None),
        (5.2929, 2.0, 4, 113.36, 116),
        (3.8946, 7 / 60, 32, 71.89, 72),
        (3.8946, 0.63, 8, 97.06, 100),
        (5.2929, 10 / 60, 56, 132.25, 138),
    ],
)
def test_slowest_mark_at_which_one_breath_suffices(
    vital_capacity: float, flow: float, units: int, exact: float, mark: int | None
) -> None:
    slowest = lowest_mark_for_breath(units, 1, 0.8 * vital_capacity / flow)
    assert float(slowest) == pytest.approx(exact, abs=0.01)
    assert mark_at_or_above(float(slowest)) == mark


def test_boy_gets_four_passes_where_eight_are_too_many() -> None:
    # 2.9454 l: T = 0.8 * 2.9454 / 0.18 = 13.09 s; ten eighths at 208 are 2.885 s: four fit
    assert passes_in_breath(8, 10 * 60 / 208, 0.8 * 2.9454 / 0.18) == 4

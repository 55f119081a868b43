"""Marks, notches, meters and groupings. Sources beside each check."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.brass.tempo import (
    MARKS,
    BadMeter,
    eighths_per_minute,
    groupings,
    mark_at_or_above,
    mark_at_or_below,
    nearest_mark,
    next_mark,
    notches,
    parse_meter,
    quarter_beside,
    tempo_at,
)

# horn@music.memphis.edu archive, msg29183 and msg29184: by 2, 3, 4, 6 and 8
PUBLISHED_MARKS = (
    "40 42 44 46 48 50 52 54 56 58 60 63 66 69 72 76 80 84 88 92 96 100 104 108 112 116 120 "
    "126 132 138 144 152 160 168 176 184 192 200 208"
)


def test_scale_has_the_39_published_marks() -> None:
    assert [int(mark) for mark in PUBLISHED_MARKS.split()] == list(MARKS)


def test_doubles_of_the_lower_marks_are_marks() -> None:
    # a property of the scale: 40 to 104 doubled stay on it
    assert {2 * mark for mark in MARKS if mark <= 104} <= set(MARKS)


@pytest.mark.parametrize(
    ("mark", "after"), [(58, 60), (60, 63), (72, 76), (120, 126), (144, 152), (208, None)]
)
def test_next_mark_takes_the_step_of_the_scale(mark: int, after: int | None) -> None:
    assert next_mark(mark) == after


@given(st.floats(-64, 64), st.sampled_from(MARKS))
def test_a_tempo_so_many_notches_away_is_so_many_notches_away(level: float, goal: int) -> None:
    assert notches(tempo_at(level, goal), goal) == pytest.approx(level, abs=1e-9)


@pytest.mark.parametrize(
    ("bpm", "mark"), [(113, 112), (41.1, 42), (10, 40), (300, 208), (148.1, 152), (147.8, 144)]
)
def test_nearest_mark_is_nearest_in_ratio(bpm: float, mark: int) -> None:
    # between 144 and 152 the middle in ratio is sqrt(144 * 152) = 147.95
    assert nearest_mark(bpm) == mark


@pytest.mark.parametrize(
    ("bpm", "below", "above"), [(59.9, 58, 60), (60, 60, 60), (30, 40, 40), (209, 208, None)]
)
def test_marks_on_either_side_of_a_tempo(bpm: float, below: int, above: int | None) -> None:
    assert (mark_at_or_below(bpm), mark_at_or_above(bpm)) == (below, above)


def test_sixteen_notches_are_double_tempo() -> None:
    assert notches(120, 60) == 16
    assert notches(60, 120) == -16


def test_notch_is_the_mean_step_of_the_scale() -> None:
    # 38 steps from 40 to 208: 16 * log2(5.2) / 38 = 1.0014 notches a step
    assert notches(208, 40) / 38 == pytest.approx(1.0014, abs=0.0001)


@pytest.mark.parametrize(
    ("tempo", "beat", "eighths"),
    # eighth = eighth: dotted quarter 72 is eighth 216, quarter 84 is eighth 168
    [(216, "eighth", 216), (84, "quarter", 168), (72, "dotted quarter", 216), (60, "half", 240)],
)
def test_eighths_a_minute_of_each_beat(tempo: int, beat: str, eighths: int) -> None:
    assert eighths_per_minute(tempo, beat) == eighths  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("eighths", "meter", "seconds"),
    # a bar of n eighths lasts 60 n / E seconds, worked by hand
    [
        (168, "5/8", 1.7857),
        (168, "7/8", 2.5),
        (168, "11/8", 3.9286),
        (208, "5/8", 1.4423),
        (252, "7/8", 1.6667),
    ],
)
def test_seconds_of_a_bar_in_odd_meters(eighths: int, meter: str, seconds: float) -> None:
    assert float(parse_meter(meter).eighths_per_bar) * 60 / eighths == pytest.approx(seconds, abs=0.0001)


def test_quarter_is_shown_only_above_eighth_208() -> None:
    assert quarter_beside(208, "eighth") is None
    assert quarter_beside(216, "eighth") == 108
    assert quarter_beside(216, "quarter") is None


def test_grouping_counts_of_bars_from_two_to_thirteen() -> None:
    # ordered sums of 2 and 3: a(n) = a(n - 2) + a(n - 3)
    assert [len(groupings(n)) for n in range(2, 14)] == [1, 1, 1, 2, 2, 3, 4, 5, 7, 9, 12, 16]


def test_five_eight_is_counted_in_two_ways() -> None:
    # MSU open textbook, chapter 27: 3+2 or 2+3
    assert set(groupings(5)) == {(2, 3), (3, 2)}


def test_seven_eight_is_counted_in_three_ways() -> None:
    # coconote and buccheri: 2+2+3, 2+3+2, 3+2+2
    assert set(groupings(7)) == {(2, 2, 3), (2, 3, 2), (3, 2, 2)}


@pytest.mark.parametrize(
    ("meter", "grouping"),
    # common practice, no source
    [
        ("5/8", (2, 3)),
        ("7/8", (2, 2, 3)),
        ("6/8", (3, 3)),
        ("12/8", (3,) * 4),
        ("4/4", (4,)),
        ("5/4", (3, 2)),
    ],
)
def test_usual_grouping_where_none_is_given(meter: str, grouping: tuple[int, ...]) -> None:
    assert parse_meter(meter).grouping == grouping


@pytest.mark.parametrize("unit", [2, 4, 8, 16])
def test_usual_grouping_fills_every_bar(unit: int) -> None:
    meters = [parse_meter(f"{beats}/{unit}") for beats in range(1, 33)]
    assert all(sum(meter.grouping) == meter.beats for meter in meters)


def test_bar_of_five_sixteen_is_two_and_a_half_eighths() -> None:
    assert parse_meter("5/16").eighths_per_bar == Fraction(5, 2)


def test_grouping_that_does_not_fill_the_bar_is_refused() -> None:
    with pytest.raises(BadMeter, match=r"accents 2\+2 do not fill a bar of 5/8") as caught:
        parse_meter("5/8", (2, 2))
    assert caught.value.hint == "for example 2+3 or 3+2"


def test_a_bar_of_one_beat_has_one_group() -> None:
    with pytest.raises(BadMeter, match=r"accents 2 do not fill a bar of 1/8") as caught:
        parse_meter("1/8", (2,))
    assert caught.value.hint == "for example 1"


@pytest.mark.parametrize("text", ["5", "5/7", "0/8", "five/8", "4/4/4", "４/4", "99/8"])
def test_what_is_no_meter_is_refused(text: str) -> None:
    with pytest.raises(BadMeter, match="is not a meter"):
        parse_meter(text)

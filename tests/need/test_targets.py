from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from need.shelf import flexibility, player, scales, shelf
from scipy.stats import norm

from planner.inputs.curriculum import HoldSpan, TempoSpan
from planner.need.clean_tempo import CleanTempo
from planner.need.targets import Take, hold_target, level_for, need_of, take_of, tempo_target

SPAN = TempoSpan("eighth", 88, 160)
DESIGN = CleanTempo(-8.9, 2.1)
"""The estimate of the item worked out in the description of the plan: 96 of 160, success 0.84, need 0.69."""

LONG = replace(shelf(flexibility())[2], intensity=3)


def take(clean: CleanTempo = DESIGN, combination: Any = LONG, cautious: bool = False, **changes: Any) -> Take:
    articulation = combination.articulations[0]
    return take_of(combination, articulation, clean, player(**changes), cautious=cautious)


def test_the_target_is_the_tempo_that_is_clean_five_times_in_six() -> None:
    # -8.9 - 0.9945 x sqrt(2.1^2 + 2^2) = -11.78 notches; 160 x 2^(-11.78/16) = 96.0
    assert tempo_target(DESIGN, SPAN, 0.84, cautious=False) == 96


def test_success_at_the_target_is_what_boldness_asks() -> None:
    assert round(take().success, 2) == 0.84


@pytest.mark.parametrize("boldness", [0.75, 0.84, 0.92])
def test_the_level_has_the_probability_asked_for(boldness: float) -> None:
    # scipy.stats.norm as the outside reference
    level = level_for(DESIGN, boldness)
    assert norm.cdf(-8.9 - level, scale=(2.1**2 + 4) ** 0.5) == pytest.approx(boldness)


def test_a_careful_player_gets_a_slower_target() -> None:
    assert (
        tempo_target(DESIGN, SPAN, 0.92, cautious=False)
        < 96
        < tempo_target(DESIGN, SPAN, 0.75, cautious=False)
    )


def test_the_target_is_rounded_down_at_first_contact() -> None:
    # -8.3 - 2.884 = -11.18 notches: 98.6 lies nearer to 100 than to 96
    clean = CleanTempo(-8.3, 2.1)
    found = [tempo_target(clean, SPAN, 0.84, cautious=cautious) for cautious in (False, True)]
    assert found == [100, 96]


def test_the_target_is_never_above_the_goal() -> None:
    assert tempo_target(CleanTempo(12.0, 1.0), SPAN, 0.84, cautious=False) == 160


def test_a_target_falls_six_notches_below_first_at_most() -> None:
    # 88 x 2^(-6/16) = 67.9; the lowest mark not below it is 69
    assert tempo_target(CleanTempo(-40.0, 5.0), SPAN, 0.84, cautious=True) == 69


def test_a_target_is_never_below_the_slowest_mark() -> None:
    assert tempo_target(CleanTempo(-40.0, 5.0), TempoSpan("half", 40, 60), 0.84, cautious=True) == 40


def test_a_hold_is_asked_for_in_whole_seconds() -> None:
    # 16 s x 2^((-4 - 2.884)/16) = 11.87 s
    clean = CleanTempo(-4.0, 2.1)
    found = [hold_target(clean, HoldSpan(8, 16), 0.84, cautious=cautious) for cautious in (False, True)]
    assert found == [12, 11]


@pytest.mark.parametrize(("mean", "seconds"), [(-40.0, 8), (20.0, 16)], ids=["weak", "strong"])
def test_a_hold_stays_between_first_and_goal(mean: float, seconds: int) -> None:
    assert hold_target(CleanTempo(mean, 2.0), HoldSpan(8, 16), 0.84, cautious=False) == seconds


@pytest.mark.parametrize(
    ("mean", "sd", "need"), [(-8.9, 2.1, 688), (-20.0, 3.0, 1000), (3.0, 2.0, 0), (0.0, 4.0, 250)]
)
def test_need_is_the_shortfall_of_the_lower_bound(mean: float, sd: float, need: int) -> None:
    # (sd - mean) / 16 in thousandths, between 0 and 1000; 11/16 = 0.6875
    assert need_of(CleanTempo(mean, sd)) == need


def test_one_go_lasts_as_worked_by_hand() -> None:
    # 5/8 at 96, four passes in a breath: 12.5 s; three positions 37.5 s, two breaths 6 s, rest 37.5 s: 81 s
    found = take()
    assert (found.timing.breath_seconds, found.play_seconds, found.seconds) == (Fraction("12.5"), 38, 81)


def test_load_is_playing_minutes_times_intensity() -> None:
    assert take().load == Fraction("1.875")  # 37.5 s are 0.625 minutes, intensity 3


def test_passes_that_do_not_fit_a_breath_are_lowered() -> None:
    # one pass of 3.125 s at 96: three fit into 11 s, four are wanted
    assert take(breath_seconds=11.0).passes == 3


def test_passes_that_fit_a_breath_stay_as_they_are() -> None:
    assert take().passes == 4


def test_a_held_tone_is_one_tone_a_breath() -> None:
    [tone] = shelf(scales(measure="seconds", hold=HoldSpan(8, 16), keys=scales().keys[:1], passes=3))
    found = take(CleanTempo(-4.0, 2.1), tone)
    assert (found.hold_seconds, found.tempo, found.timing.breath_seconds) == (12, None, 12)


def test_an_excerpt_is_never_asked_for_below_its_band() -> None:
    [etude] = shelf(scales(measure="band", keys=scales().keys[:1]))
    assert take(CleanTempo(-20.0, 2.0), etude).tempo == 60

"""One day added up by hand, and the timing of single items worked on paper."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from plan.verify.builder import build
from plan.verify.shelf import SMALL

from planner.plan.verify import verify
from planner.plan.verify.lasting import Lasting, extremes, lasting, marks_of
from planner.plan.verify.repertoire import repertoire

# Trumpet, 5/8, one bar, positions 5-6-7, three breaths a round; last rated five days ago (slurred), so it is
# tongued now and the target is rounded to the nearest mark. Mean -6, spread 2, boldness 0.84 (z = 0.99446):
# -6 - 0.99446 x sqrt(2^2 + 2^2) = -8.813 notches; 160 x 2^(-8.813/16) = 109.2; nearest mark 108.
# One pass 5 x 60 / 108 = 2.778 s; four passes 11.111 s fit in a breath of 15 s (five would fit).
# Three breaths 33.333 s of playing, two pauses between them 6 s. Intensity 3: rest 33.333 s, but the set-up
# of the warm-down takes 45 s: 33.333 + 6 + 45 = 84.333, rounded up 85. 34 playing, 6 between, so 45 after.
# Load 33.333 / 60 x 3 = 1.667.
HAND = {
    "at": 480,
    "seconds": 85,
    "play_seconds": 34,
    "breath_pauses_seconds": 6,
    "pause_seconds": 45,
    "passes": 4,
    "tempo": 108,
    "articulation": "tongued",
    "keys": ["A-flat major", "G major", "F-sharp major"],
    "fingerings": ["23", "13", "123"],
    "positions": [5, 6, 7],
    "lowest": 66,
    "highest": 75,
    "intensity": 3,
    "load": 1.667,
    "need": 0.5,
    "turn_by": "2026-09-09",
}
# Monday, 30 minutes: warm-up 480 s, the item 85 s, warm-down 180 s. Load 240/60 + 1.667 + 90/60 = 7.167.
# Limit 1.25 x 30 = 37.5; two days (no minutes on Sunday) 0.9 x 37.5 = 33.75.
HAND_DAY = {
    "seconds_free": 1800,
    "available_seconds": 1140,
    "seconds_used": 745,
    "load": 7.167,
    "load_limit": 37.5,
    "load_two_days": 7.167,
    "load_two_days_limit": 33.75,
    "playing_load": 0.0,
}


@pytest.fixture(scope="module")
def hand_made() -> dict[str, Any]:
    plan = build(SMALL, {0: (("rolling-fives/a/5-6-7",),)})
    day = plan["days"][0]
    day.update(HAND_DAY)
    day["items"][1].update(HAND)
    return plan


def test_the_day_added_up_by_hand_is_sound(hand_made: dict[str, Any]) -> None:
    assert verify(SMALL.curriculum, SMALL.player, SMALL.ratings, hand_made) == ()


@pytest.mark.parametrize(
    "field", ["at", "seconds", "play_seconds", "breath_pauses_seconds", "tempo", "passes"]
)
def test_the_day_added_up_by_hand_leaves_no_room(hand_made: dict[str, Any], field: str) -> None:
    item = hand_made["days"][0]["items"][1]
    item[field] += 1
    found = verify(SMALL.curriculum, SMALL.player, SMALL.ratings, hand_made)
    item[field] -= 1
    assert found != ()


def timed(name: str, tempo: int | None, *, target: float = 0.0, breath: float = 15.0) -> Lasting:
    one = repertoire(SMALL.curriculum, SMALL.player)[name]
    return lasting(one, tempo, target, one.articulations[0], breath)


def test_three_breaths_of_fives_at_96_last_81_seconds() -> None:
    # 5 x 60 / 96 = 3.125 a pass, 12.5 a breath, 37.5 playing, 6 between, rest 37.5: 81 s. Load 0.625 x 3.
    found = timed("rolling-fives/a/5-6-7", 96)
    assert (found.breath, found.play, found.pauses, found.rest) == (
        Fraction(25, 2),
        Fraction(75, 2),
        6,
        Fraction(75, 2),
    )
    assert found.whole(found.rest) == (38, 6, 37, 81)
    assert found.load == Fraction(15, 8)


def test_a_short_breath_takes_fewer_passes() -> None:
    # 7 s hold two passes of 3.125 s and not three: 6.25 s a breath, 18.75 s playing
    found = timed("rolling-fives/a/5-6-7", 96, breath=7.0)
    assert (found.passes, found.breath, found.play) == (2, Fraction(25, 4), Fraction(75, 4))


def test_a_breath_that_does_not_reach_breathes_inside() -> None:
    # two bars of 4/4 at quarter = 60 last 8 s; a breath of 3 s needs two more of 3 s each; there is one place
    found = timed("quiet-thirds/a/c-major", 60, breath=3.0)
    assert (found.passes, found.breath, found.pauses) == (1, 8, 6)


def test_a_heavy_item_rests_after_every_breath() -> None:
    # 8 s a breath, three breaths: 24 s; between them and after the last 1.5 x 8 = 12 s each; load 0.4 x 4
    found = timed("high-steps/a/1-2-3", 60)
    assert (found.play, found.pauses, found.rest, found.load) == (24, 24, 12, Fraction(8, 5))


def test_a_held_tone_lasts_its_target() -> None:
    # three tones of 10 s, two pauses of 3 s; intensity 2 rests half of the 30 s
    found = timed("long-bells/a/1-2-3", None, target=10.0)
    assert (found.breath, found.play, found.pauses, found.rest) == (10, 30, 6, 15)


def test_whole_seconds_are_raised_when_the_parts_are_more() -> None:
    # 1.2 + 0.2 + 0 rounds up to 2, but 2 whole seconds of playing and 1 of pauses make 3
    found = Lasting(1, Fraction(6, 5), Fraction(6, 5), Fraction(1, 5), Fraction(0), Fraction(0))
    assert found.whole(Fraction(0)) == (2, 1, 0, 3)


@pytest.mark.parametrize("breath", [4.0, 9.0, 15.0, 40.0])
def test_extremes_are_those_of_every_mark(breath: float) -> None:
    # every exercise with a tempo, at every mark from six notches under its first tempo up to its goal
    for one in repertoire(SMALL.curriculum, SMALL.player).values():
        if one.exercise.hold is None:
            tempos = [(word, mark) for word, span in one.exercise.tempos.items() for mark in marks_of(span)]
            every = [lasting(one, mark, 0.0, word, breath) for word, mark in tempos]
            lengths = [item.play + item.pauses + item.rest for item in every]
            found = extremes(one, breath)
            assert (found.least_seconds, found.most_seconds) == (min(lengths), max(lengths))

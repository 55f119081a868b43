"""Lip work and first guesses: which of two passages is harder, as any player would say.

common practice, no source: the higher, wider, faster, more chromatic one.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from planner.brass.difficulty import _is_awkward
from planner.brass.figures import (
    Passage,
    first_guess_notches,
    intensity,
    read_figure,
    write_degrees,
    write_partials,
)
from planner.brass.instruments import instrument
from planner.brass.keys import parse_key
from planner.brass.tempo import parse_meter

TRUMPET = instrument("trumpet")
LOW, HIGH = 55, 79  # G3 to G5


def slurs(text: str, position: int = 1) -> Passage:
    count = len(text.split())
    figure = read_figure(" ".join(f"{word}e" for word in text.split()), parse_meter(f"{count}/8"), "partials")
    return write_partials(figure, TRUMPET, position)


def scale(key: str, octave: int = 0) -> Passage:
    figure = read_figure("1e 2 3 4 5 6 7 8", parse_meter("4/4"), "degrees")
    return write_degrees(figure, TRUMPET, parse_key(key), LOW, HIGH, octave)


def guess(passage: Passage, goal: int = 200, articulation: str = "slurred") -> float:
    return first_guess_notches([passage], goal, TRUMPET, articulation, LOW, HIGH)


def test_rolling_fives_on_long_tubes_are_ordinary_work() -> None:
    # the worked example: positions 5-6-7, written F sharp 4 to E flat 5, intensity 3
    passages = [slurs("4 5 6 5 4", place) for place in (5, 6, 7)]
    assert intensity(passages, LOW, HIGH) == 3


def test_the_highest_place_of_a_round_makes_a_first_guess_lower() -> None:
    low, high = slurs("4 5 6 5 4", 7), slurs("4 5 6 5 4", 1)
    in_turn = [first_guess_notches(each, 60, TRUMPET, "slurred", LOW, HIGH) for each in ([low], [low, high])]
    assert in_turn[1] < in_turn[0]


@pytest.mark.parametrize(
    ("one", "other", "awkward"),
    # fingers in contrary motion: 1-2 to 3 and 2-3 to 1 with the third, 1 to 2 without it; 1 to 1-2 is none
    [("12", "3", True), ("23", "1", True), ("1", "2", False), ("1", "12", False)],
)
def test_contrary_motion_is_awkward_where_the_third_finger_takes_part(
    one: str, other: str, awkward: bool
) -> None:
    note = slurs("4 5").notes[0]
    assert _is_awkward(replace(note, fingering=one), replace(note, fingering=other), TRUMPET) is awkward


def test_low_slurs_are_light_work() -> None:
    assert intensity([slurs("2 3 2 3 2")], LOW, HIGH) <= 2


def test_high_slurs_are_heavy_work() -> None:
    assert intensity([slurs("6 8 6 8 6")], LOW, HIGH) == 5


def test_five_known_notes_are_no_heavy_work() -> None:
    # a first-term pupil with C4 to G4 as whole range
    figure = read_figure("1e 2 3 4 5 4 3 2", parse_meter("4/4"), "degrees")
    assert intensity([write_degrees(figure, TRUMPET, parse_key("C"), 60, 67)], 60, 67) == 2


def test_lip_work_never_falls_when_the_tube_gets_shorter() -> None:
    work = [intensity([slurs("4 5 6 5 4", place)], LOW, HIGH) for place in (7, 6, 5, 4, 3, 2, 1)]
    assert work == sorted(work)


def test_higher_octave_is_guessed_slower() -> None:
    assert guess(scale("G", octave=1)) < guess(scale("G"))


def test_wider_slur_is_guessed_slower() -> None:
    assert guess(slurs("3 5 3 5 3")) < guess(slurs("4 5 4 5 4"))


def test_six_sharps_are_guessed_slower_than_none() -> None:
    # the same octave but for a semitone
    assert guess(scale("F#")) < guess(scale("G"))


def test_faster_goal_is_guessed_further_away() -> None:
    assert guess(scale("C"), goal=600) < guess(scale("C"), goal=200)


def test_fast_single_tongue_is_harder_than_a_slur() -> None:
    assert guess(scale("C"), goal=480, articulation="tongued") < guess(scale("C"), goal=480)


def test_fast_double_tongue_is_easier_than_single() -> None:
    single, double = (guess(scale("C"), goal=480, articulation=way) for way in ("tongued", "double"))
    assert double > single


def test_long_slide_travel_is_guessed_slower() -> None:
    trombone = instrument("trombone")
    figure = read_figure("1e 2 1 2 1 2 1 2", parse_meter("4/4"), "degrees")
    near = write_degrees(figure, trombone, parse_key("E"), 40, 65)  # E2 7, F sharp 2 5
    far = write_degrees(figure, trombone, parse_key("Bb"), 40, 65)  # Bb2 1, C3 6
    both = [first_guess_notches([passage], 200, trombone, "legato", 40, 65) for passage in (near, far)]
    assert both[1] < both[0]


def test_guess_stays_between_its_bounds() -> None:
    hardest = guess(slurs("2 8 2 8 2 8"), goal=1200, articulation="K")
    easiest = guess(slurs("3 3 3 3"), goal=80)
    assert hardest == -14
    assert -3 < easiest <= -1


def test_same_passage_has_the_same_guess() -> None:
    assert guess(scale("D")) == guess(scale("D"))

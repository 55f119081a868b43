"""Figures written out for instruments: notes, keys, fingerings, places touched."""

from __future__ import annotations

import re
from collections import Counter

import pytest

from planner.brass.figures import Figure, Passage, read_figure, write_degrees, write_partials
from planner.brass.instruments import instrument, position_of
from planner.brass.keys import MAJOR_KEYS, parse_key, parse_pitch
from planner.brass.tempo import parse_meter

FIVES = read_figure("4e> 5e 6e 5e 4e", parse_meter("5/8"), "partials")
SCALE = read_figure("1e 2 3 4 5 6 7 8 | 8e 7 6 5 4 3 2 1", parse_meter("4/4"), "degrees")


def line(text: str) -> Figure:
    """A line of eighths on degrees."""
    words = text.split()
    return read_figure(" ".join(f"{word}e" for word in words), parse_meter(f"{len(words)}/8"), "degrees")


def names(passage: Passage) -> str:
    return " ".join("rest" if note.pitch is None else note.pitch.name for note in passage.notes)


def fingers(passage: Passage) -> list[str]:
    return [note.fingering for note in passage.notes]


def trumpet_scale(key: str, figure: Figure = SCALE) -> Passage:
    return write_degrees(figure, instrument("trumpet"), parse_key(key), 54, 84)


def test_partials_four_five_six_on_a_trumpet_are_c_e_g() -> None:
    # written C5 E5 G5 on the open tube: any trumpet method
    assert names(write_partials(FIVES, instrument("trumpet"), 1)) == "C5 E5 G5 E5 C5"


def test_doubled_partials_on_the_f_side_are_the_same_notes() -> None:
    # partials 8, 10, 12 of the F horn are written C5 E5 G5 as well
    passage = write_partials(FIVES, instrument("horn"), 1)
    assert names(passage) == "C5 E5 G5 E5 C5"
    assert [note.partial for note in passage.notes] == [8, 10, 12, 10, 8]


def test_single_horn_doubles_partials_too() -> None:
    assert names(write_partials(FIVES, instrument("horn-f"), 1)) == "C5 E5 G5 E5 C5"


def test_b_flat_side_takes_partials_as_they_stand() -> None:
    # the B flat side is written in F: partial 4 is F4
    passage = write_partials(FIVES, instrument("horn"), 1, "B flat")
    assert names(passage) == "F4 A4 C5 A4 F4"
    assert passage.fingering_first == "T0"


def test_longest_tube_of_a_trumpet_is_written_in_f_sharp() -> None:
    passage = write_partials(FIVES, instrument("trumpet"), 7)
    assert names(passage) == "F♯4 A♯4 C♯5 A♯4 F♯4"
    assert (passage.key.name, passage.fingering_first) == ("F-sharp major", "123")


def test_trumpet_figure_sounds_a_tone_lower() -> None:
    passage = write_partials(FIVES, instrument("trumpet"), 1)
    assert [note.sounding for note in passage.notes] == [70, 74, 77, 74, 70]


def test_fifth_position_of_a_trombone_is_written_in_g_flat() -> None:
    passage = write_partials(FIVES, instrument("trombone"), 5)
    assert names(passage) == "G♭3 B♭3 D♭4 B♭3 G♭3"
    assert passage.fingering_first == "5"


def test_seventh_partial_is_spelled_as_a_flat_seventh() -> None:
    figure = read_figure("6q 7 8 7", parse_meter("4/4"), "partials")
    assert names(write_partials(figure, instrument("trumpet"), 1)) == "G5 B♭5 C6 B♭5"


def test_partials_touch_only_the_chosen_position() -> None:
    passage = write_partials(FIVES, instrument("trumpet"), 6)
    assert (passage.positions, passage.lowest, passage.highest) == ((6,), 67, 74)


def test_marks_of_the_figure_stand_on_the_notes() -> None:
    figure = read_figure("(4q>~ 4q 5qv) rq,", parse_meter("4/4"), "partials")
    notes = write_partials(figure, instrument("trumpet"), 1).notes
    assert [note.slur for note in notes] == ["start", "inside", "end", ""]
    assert (notes[0].accent, notes[0].tie, notes[2].bend, notes[3].breath) == (True, True, True, True)


def test_concert_scale_of_e_on_a_trumpet_is_written_f_sharp() -> None:
    # fingerings from the published chart, thewholehorn.com
    passage = trumpet_scale("F#")
    assert names(passage).startswith("F♯3 G♯3 A♯3 B3 C♯4 D♯4 E♯4 F♯4")
    assert fingers(passage)[:8] == ["123", "23", "1", "2", "123", "23", "1", "2"]


def test_tonic_goes_into_the_lowest_octave_that_fits() -> None:
    assert [trumpet_scale(key).lowest for key in ("F#", "G", "C", "F")] == [54, 55, 60, 65]


def test_octave_moves_the_scale_up_from_there() -> None:
    passage = write_degrees(SCALE, instrument("trumpet"), parse_key("G"), 54, 84, octave=1)
    assert (passage.lowest, passage.highest) == (67, 79)


def test_scale_too_wide_for_the_range_stands_above_its_top() -> None:
    # C major needs C4 to C5; the range ends at A4 (69)
    passage = write_degrees(SCALE, instrument("trumpet"), parse_key("C"), 60, 69)
    assert (passage.lowest, passage.highest) == (60, 72)


def test_note_that_the_instrument_lacks_has_no_fingering() -> None:
    passage = write_degrees(line("1 2 3"), instrument("trombone"), parse_key("A"), 33, 60)
    assert names(passage) == "A1 B1 C♯2"
    assert passage.missing == (parse_pitch("B1").midi, parse_pitch("C#2").midi)
    assert passage.positions == (2,)


@pytest.mark.parametrize(
    ("figure", "notes"),
    # melodic minor: sixth and seventh raised on the way up to the tonic, natural on the way down; by hand
    [
        ("5 6 7 8 7 6 5", "G A B C B♭ A♭ G"),
        ("8 7 8", "C B C"),
        ("5 6 5", "G A♭ G"),
        ("5 6 7 6 5", "G A♭ B♭ A♭ G"),
        ("3 2 1 -1 1", "E♭ D C B C"),
        ("1 -1 -2 -1 1", "C B A B C"),
        ("3 5 4 6 5 7 6 8", "E♭ G F A G B A C"),
        ("8 6 7 5 6 4 5 3", "C A♭ B♭ G A♭ F G E♭"),
        ("5 6", "G A"),
        ("8 7 6", "C B♭ A♭"),
        ("6 7 8", "A B C"),
        ("7 6 5", "B♭ A♭ G"),
    ],
)
def test_melodic_minor_follows_the_direction_of_the_line(figure: str, notes: str) -> None:
    passage = write_degrees(line(figure), instrument("trumpet"), parse_key("C melodic minor"), 57, 84)
    assert " ".join(re.sub("[0-9]", "", name) for name in names(passage).split()) == notes


def test_harmonic_minor_keeps_its_leading_note_downwards() -> None:
    passage = write_degrees(line("8 7 6 5"), instrument("trumpet"), parse_key("C harmonic minor"), 57, 84)
    assert names(passage) == "C5 B4 A♭4 G4"


def test_chromatic_figure_is_written_with_altered_degrees() -> None:
    passage = write_degrees(line("1 #1 2 b3 3"), instrument("trumpet"), parse_key("G chromatic"), 55, 84)
    assert names(passage) == "G3 G♯3 A3 B♭3 B3"


def test_one_octave_major_scales_touch_54_of_84_cells() -> None:
    # 12 keys x 7 positions, every scale in the lowest octave from F sharp 3 on: the design's figure
    assert sum(len(trumpet_scale(key.name).positions) for key in MAJOR_KEYS) == 54


def test_full_range_major_scales_touch_68_of_84_cells() -> None:
    # every note of each key from F sharp 3 to C6: the design's figure
    trumpet = instrument("trumpet")
    cells = {
        (key, position_of(trumpet, midi))
        for key in MAJOR_KEYS
        for midi in range(54, 85)
        if (midi - 7 * key.fifths) % 12 in {0, 2, 4, 5, 7, 9, 11}
    }
    assert len(cells) == 68


@pytest.mark.parametrize(
    ("starts", "times"),
    # cycles of three neighbours, counted by hand
    [((1, 3, 5), [1, 1, 2, 1, 2, 1, 1]), ((1, 2, 3, 4, 5), [1, 2, 3, 3, 3, 2, 1])],
)
def test_cycles_of_three_meet_the_positions_so_often(starts: tuple[int, ...], times: list[int]) -> None:
    trumpet = instrument("trumpet")
    met = Counter(
        position
        for start in starts
        for place in range(start, start + 3)
        for position in write_partials(FIVES, trumpet, place).positions
    )
    assert [met[place] for place in range(1, 8)] == times

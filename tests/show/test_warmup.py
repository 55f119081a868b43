"""The warm-up's four lines for any instrument.

Shape, notes and order of keys: common practice, no source. Written notes of partials: the published trumpet
chart (thewholehorn.com) and the trombone's slide table, partials 2 to 4.
"""

from __future__ import annotations

import re
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.brass.instruments import INSTRUMENTS, tube_note
from planner.brass.keys import parse_pitch
from planner.errors import UsageError
from planner.show.warmup import Reach, Step, instrument_name, is_slide, warm_up

MONDAY = date(2026, 9, 7)
FIRST_FIVE_NOTES = Reach(highest=67)  # C4 to G4


def texts(instrument: str, reach: Reach = Reach(), day: date = MONDAY) -> list[str]:  # noqa: B008 - frozen
    return [step.text.replace("\u00a0", " ") for step in warm_up(instrument, 480, day, reach)]


def test_eight_minutes_are_one_two_and_a_half_twice_and_two() -> None:
    assert [step.minutes for step in warm_up("trumpet", 480, MONDAY, Reach())] == ["1", "2½", "2½", "2"]


@pytest.mark.parametrize("seconds", [180, 240, 360, 480, 600, 720])
def test_the_steps_fill_the_warm_up_exactly(seconds: int) -> None:
    assert sum(step.half_minutes for step in warm_up("horn", seconds, MONDAY, Reach())) * 30 == seconds


@pytest.mark.parametrize(
    ("instrument", "notes"),
    [
        ("trumpet", "from written G4 down to C4"),
        ("horn", "from written G4 down to C4"),
        ("trombone", "from written B♭3 down to F3"),
        ("euphonium-treble", "from written C5 down to G4"),
        ("tuba-bb", "from written B♭2 down to F2"),
    ],
)
def test_long_tones_fall_in_the_comfortable_register(instrument: str, notes: str) -> None:
    assert texts(instrument)[1].endswith(notes)


@pytest.mark.parametrize(
    ("instrument", "notes"),
    [("trumpet", "C4-G4-C5"), ("horn", "C4-G4-C5"), ("trombone", "B♭2-F3-B♭3"), ("tuba-eb", "E♭2-B♭2-E♭3")],
)
def test_slurs_stand_on_the_low_partials_of_the_instrument(instrument: str, notes: str) -> None:
    assert f"soft slurs {notes} " in texts(instrument)[2]


def test_slurs_go_through_the_seven_valve_combinations() -> None:
    assert texts("cornet")[2].endswith(": 0 2 1 12 23 13 123")


def test_slurs_of_a_short_arm_stop_at_its_longest_position() -> None:
    assert texts("trombone", Reach(longest_position=5))[2].endswith("positions 1 to 5")


def test_first_notes_are_asked_for_no_note_above_them() -> None:
    assert "C5" not in " ".join(texts("trumpet", FIRST_FIVE_NOTES))


def test_first_notes_get_a_scale_of_five_notes() -> None:
    assert texts("trumpet", FIRST_FIVE_NOTES)[3].endswith("five notes, softly")


# concert B flat, E flat, F, A flat, C, D flat: common practice, no source
def test_the_easy_scale_turns_through_six_keys_in_six_days() -> None:
    days = [MONDAY + timedelta(days=n) for n in range(6)]
    keys = {texts("trombone", day=day)[3].split(": ")[1].split(",")[0] for day in days}
    assert keys == {"B♭ major", "E♭ major", "F major", "A♭ major", "C major", "D♭ major"}


@pytest.mark.parametrize("instrument", INSTRUMENTS)
def test_every_instrument_has_its_warm_up(instrument: str) -> None:
    assert len(texts(instrument)) == 4


def test_half_a_minute_is_written_as_a_half() -> None:
    assert Step(1, "").minutes == "½"


def test_positions_of_a_trombone_are_places_of_its_slide() -> None:
    assert is_slide("bass-trombone")


def test_a_trumpet_is_named_with_its_pitch() -> None:
    assert instrument_name("trumpet") == "Trumpet in B♭"


def test_an_unknown_instrument_is_refused_with_its_name() -> None:
    with pytest.raises(UsageError, match='no instrument is called "trumpett"'):
        warm_up("trumpett", 480, MONDAY, Reach())


# What a day's limit or a player's range leaves out is never asked for in the warm-up.
SCALE_STEPS = {"one octave": 12, "five notes": 7}


def notes_asked_for(instrument: str, reach: Reach, day: date) -> list[int]:
    """Written MIDI of every note that the lines name, the far end of the scale and of the slurs included."""
    of, lines = INSTRUMENTS[instrument], texts(instrument, reach, day)
    found = [
        parse_pitch(word.strip(",")).midi
        for line in lines
        for word in re.split(r"[ -]", line)
        if re.fullmatch(r"[A-G][♭♯]?\d,?", word)
    ]
    scale = re.search(r"from ([A-G][♭♯]?\d), (one octave|five notes)", lines[3])
    if scale:
        found.append(parse_pitch(scale[1]).midi + SCALE_STEPS[scale[2]])
    slurs = re.search(r"soft slurs ([A-G][♭♯]?\d).* (?:positions 1 to (\d)|([0-9FT ]+))$", lines[2])
    if slurs:
        tubes = int(slurs[2]) if slurs[2] else len(slurs[3].split())
        partial = next(p for p in range(1, 17) if tube_note(of, 1, p) == parse_pitch(slurs[1]).midi)
        found += [tube_note(of, position, partial) for position in range(1, tubes + 1)]
    return found


@given(
    instrument=st.sampled_from(sorted(INSTRUMENTS)),
    low=st.integers(0, 10),
    wide=st.integers(5, 30),
    day=st.dates(date(2026, 1, 1), date(2027, 12, 31)),
)
@settings(max_examples=200, deadline=None, derandomize=True)
def test_the_warm_up_stays_within_reach(instrument: str, low: int, wide: int, day: date) -> None:
    lowest = tube_note(INSTRUMENTS[instrument], 1, 4 if INSTRUMENTS[instrument].is_horn else 2) - low
    reach = Reach(lowest=lowest, highest=lowest + wide)
    assert [note for note in notes_asked_for(instrument, reach, day) if not reach.has(note)] == []


@pytest.mark.parametrize("top", ["C4", "D4", "E4", "G4", "A4", "C5"])
def test_a_top_note_holds_for_slurs_and_scale_of_a_trumpet(top: str) -> None:
    reach = Reach(lowest=54, highest=parse_pitch(top).midi)
    asked = [n for day in range(6) for n in notes_asked_for("trumpet", reach, MONDAY + timedelta(days=day))]
    assert max(asked, default=0) <= reach.highest


def test_a_scale_out_of_an_arms_reach_is_another_one() -> None:
    # A flat major from A flat 2 needs C3 in sixth position: with five positions another scale stands there.
    reach = Reach(lowest=43, highest=60, longest_position=5)
    days = (texts("trombone", reach, MONDAY + timedelta(days=n))[3] for n in range(6))
    assert not any("A♭ major, from A♭2" in line for line in days)


def test_in_one_minute_the_slurs_are_on_three_tubes() -> None:
    # 2½ minutes carry all seven: about 20 seconds a tube, common practice, no source
    line = warm_up("trumpet", 180, MONDAY, Reach())[2]
    assert (line.half_minutes, line.text.replace("\u00a0", " ")) == (
        2,
        "soft slurs C4-G4-C5 and the same on 0 2 1",
    )


def test_known_notes_above_the_top_note_are_left_out() -> None:
    line = texts("cornet", Reach(highest=64, known_notes=(60, 62, 64, 65, 67)))[1]
    assert line.endswith("on the notes you know: E4 D4 C4")

"""The warm-up's four lines for any instrument.

Shape, notes and order of keys: common practice, no source. Written notes of partials: the published trumpet
chart (thewholehorn.com) and the trombone's slide table, partials 2 to 4.
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from planner.brass.instruments import INSTRUMENTS
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

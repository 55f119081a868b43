"""Dates, tempos and keys in words."""

from __future__ import annotations

import pytest

from planner.show.words import clock, date_in_words, in_words, mark, minutes, pretty, spoken, without_need


# 7 September 2026 is a Monday, 28 December 2026 the Monday of week 53: any calendar
@pytest.mark.parametrize(
    ("iso", "words"),
    [("2026-09-07", "Monday 7 September 2026"), ("2026-12-28", "Monday 28 December 2026")],
)
def test_a_date_is_written_in_words(iso: str, words: str) -> None:
    assert date_in_words(iso) == words


def test_a_key_name_of_a_plan_is_written_with_its_sign() -> None:
    assert pretty("F-sharp melodic minor") == "F♯ melodic minor"


@pytest.mark.parametrize(
    ("sign", "words"),
    [
        ("A♭4", "A flat 4"),
        ("F♯ melodic minor", "F sharp melodic minor"),
        ("♪\u00a0=\u00a096", "eighth note = 96"),
        ("♩. = 60", "dotted quarter note = 60"),
        ("23 → 13", "23, then 13"),
        ("about 1 s", "about 1 second"),
        ("12 min", "12 minutes"),
        ("C4-G4-C5", "C4-G4-C5"),
        ("Trumpet in B♭", "Trumpet in B flat"),
    ],
    ids=lambda value: ascii(value),
)
def test_a_sign_is_written_out_for_reading_aloud(sign: str, words: str) -> None:
    assert spoken(sign) == words


def test_a_tempo_stands_in_the_exercises_own_beat() -> None:
    assert mark("quarter", 100).replace("\u00a0", " ") == "♩ = 100"


# 208 is the last mark of the metronome: horn mail archive msg29183; above it quarter = half of the eighths
def test_eighths_above_the_last_mark_show_their_quarter() -> None:
    assert mark("eighth", 252).replace("\u00a0", " ") == "♩ = 126 (♪ = 252)"


def test_a_half_note_is_named_because_fonts_lack_its_sign() -> None:
    assert mark("half", 60).replace("\u00a0", " ") == "half = 60"


@pytest.mark.parametrize(("seconds", "text"), [(38, "0:38"), (60, "1:00"), (432, "7:12")])
def test_seconds_stand_as_on_a_clock(seconds: int, text: str) -> None:
    assert clock(seconds) == text


@pytest.mark.parametrize(
    ("seconds", "text"), [(81, "1 minute 21 seconds"), (120, "2 minutes"), (1, "1 second"), (0, "0 seconds")]
)
def test_seconds_are_read_aloud_in_words(seconds: int, text: str) -> None:
    assert in_words(seconds) == text


def test_a_block_shorter_than_a_minute_counts_as_one() -> None:
    assert minutes(22).replace("\u00a0", " ") == "1 min"


def test_an_iso_date_in_a_reason_is_written_in_words() -> None:
    assert pretty("waiting since 2026-11-22") == "waiting since 22 Nov 2026"


@pytest.mark.parametrize(
    ("reason", "read"),
    [
        ("no room beside what needs it more (need 0.73)", "no room beside what needs it more"),
        (
            "no room beside what needs it more (need 0.73, waiting since 2026-09-02)",
            "no room beside what needs it more (waiting since 2026-09-02)",
        ),
        ("need 0.56, it was 0.31", "needed more than before"),
        ("need 0.31, it was 0.56", "needed less than before"),
        ("played on Monday 7", "played on Monday 7"),
    ],
)
def test_a_reason_on_the_screen_has_no_number_of_a_need(reason: str, read: str) -> None:
    assert without_need(reason) == read

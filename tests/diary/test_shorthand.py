"""Ratings as people type them, against one day's routine."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from diary.a_day import sheet
from diary.some_ratings import MONDAY

from planner.diary.rating import Rating
from planner.diary.shorthand import Sheet, WordsError, ratings_of, read_sheet, read_words
from planner.diary.values import Target
from planner.errors import BadData


def rated(line: str, **fields: Any) -> tuple[Rating, ...]:
    """The ratings of a line, nothing else rated."""
    return ratings_of(read_words(line, sheet(**fields)), sheet(**fields))


def wrong(line: str) -> str:
    """What is said about a line with one wrong word."""
    with pytest.raises(WordsError, match=r".") as told:
        read_words(line, sheet())
    (fault,) = told.value.faults
    return fault


def one(line: str, *names: str) -> tuple[Any, ...]:
    """The named fields of the one rating of a line."""
    (found,) = rated(line)
    return tuple(getattr(found, name) for name in names)


def test_a_number_above_five_is_the_highest_clean_mark() -> None:
    assert one("B1=108", "day", "combination", "articulation", "tempo", "clean", "grade") == (
        MONDAY, "up/a/c-major", "slurred", 96, 108, None,
    )  # fmt: skip


def test_a_number_up_to_five_is_a_grade_at_the_tempo_asked_for() -> None:
    assert one("B2=3", "combination", "tempo", "clean", "grade") == ("up/a/d-major", 108, None, 3)


def test_a_grade_may_name_its_own_mark() -> None:
    assert one("B2=3@100", "tempo", "grade") == (100, 3)


def test_seconds_held_steady_are_a_value() -> None:
    assert one("C1=14s", "value", "tempo", "grade") == (14.0, None, None)


def test_a_top_note_is_its_written_midi_number() -> None:
    # G5 is MIDI 79 where C4 is 60
    assert one("D1=G5", "value") == (79.0,)


@pytest.mark.parametrize(("word", "midi"), [("Bb5", 82), ("B♭5", 82), ("g5", 79), ("F#5", 78)])
def test_notes_are_understood_as_people_write_them(word: str, midi: int) -> None:
    assert one(f"D1={word}", "value") == (midi,)


@pytest.mark.parametrize(("word", "value"), [("E1=yes", 1), ("E1=no", 0), ("F1=in", 1), ("F1=OUT", 0)])
def test_bends_and_bands_are_yes_or_no(word: str, value: int) -> None:
    assert one(word, "value") == (value,)


@pytest.mark.parametrize(
    ("word", "reached"),
    [("G1=in", (None, None, 1)), ("G1=4", (None, 4, None)), ("G1=92", (92, None, None))],
)
def test_own_music_takes_a_band_a_grade_or_a_mark(word: str, reached: tuple[Any, ...]) -> None:
    assert one(word, "combination", "clean", "grade", "value") == ("own-music/harbour-suite", *reached)


def test_own_music_goes_by_its_id() -> None:
    assert one("harbour-suite=in", "combination", "value") == ("own-music/harbour-suite", 1)


@pytest.mark.parametrize("name", ["op3", "ab"])
def test_own_music_goes_by_an_id_that_looks_like_an_item_or_a_block(name: str) -> None:
    own = Target(name="G1", block="G", family="own music", measure="band",
                 combination=f"own-music/{name}", articulation="", tempo=None, aim=104.0,
                 lowest=60, highest=72, at=0)  # fmt: skip
    day = Sheet(MONDAY, (own,), lambda _: None)
    (found,) = ratings_of(read_words(f"{name}=in", day), day)
    assert (found.combination, found.value) == (f"own-music/{name}", 1)


def test_played_and_not_rated_is_a_turn_and_nothing_more() -> None:
    assert one("B1=played", "tempo", "clean", "grade", "value") == (None, None, None, None)


def test_skip_stores_nothing() -> None:
    assert rated("B1=skip") == ()


def test_a_letter_alone_is_the_whole_block() -> None:
    found = rated("B=5")
    assert [(one.combination, one.tempo, one.grade) for one in found] == [
        ("up/a/c-major", 96, 5), ("up/a/d-major", 108, 5), ("up/a/c-major", 96, 5),
    ]  # fmt: skip


def test_an_item_goes_before_its_block_in_any_order() -> None:
    for line in ("B=skip B2=4", "B2=4 B=skip"):
        assert [one.combination for one in rated(line)] == ["up/a/d-major"]


def test_small_letters_commas_and_spaces_are_understood() -> None:
    assert rated("b1 = 108, c1=14s;e1 =yes") == rated("B1=108 C1=14s E1=yes")


def test_a_combination_of_the_routine_goes_by_its_id() -> None:
    assert rated("up/a/d-major=3") == rated("B2=3")


def test_an_articulation_may_stand_behind_an_id() -> None:
    assert rated("up/a/d-major/tongued=3") == rated("B2=3")


def test_a_combination_off_the_shelf_has_the_articulation_planned_last() -> None:
    assert one("fives/a/5-6-7=4", "combination", "articulation", "tempo") == ("fives/a/5-6-7", "slurred", 88)


def test_another_articulation_needs_its_own_mark() -> None:
    assert "needs its tempo: fives/a/5-6-7/tongued=4@96" in wrong("fives/a/5-6-7/tongued=4")
    assert one("fives/a/5-6-7/tongued=4@96", "articulation", "tempo", "grade") == ("tongued", 96, 4)


def test_only_what_is_named_is_rated() -> None:
    assert len(rated("B2=108 C1=9s")) == 2


def test_the_rest_is_rated_clean_as_it_is_marked() -> None:
    found = {one.combination: one for one in ratings_of((), sheet(), rest_clean=True)}
    reached = {name: (one.tempo, one.grade, one.value) for name, one in found.items()}
    assert reached == {
        "up/a/c-major": (96, 4, None),
        "up/a/d-major": (108, 4, None),
        "still/p/c-major": (None, 4, 8.0),
        "peak/a/1-2-3": (None, None, 79.0),
        "bend/a/2-3-4": (None, None, 1.0),
        "solo/a/g-major": (None, None, 1.0),
        "own-music/harbour-suite": (None, None, 1.0),
    }


def test_a_combination_in_two_goes_is_rated_once() -> None:
    found = [one.combination for one in ratings_of((), sheet(), rest_clean=True)]
    assert found.count("up/a/c-major") == 1


def test_an_exception_to_one_go_counts_for_both() -> None:
    entries = read_words("B1=3", sheet())
    found = [
        one for one in ratings_of(entries, sheet(), rest_clean=True) if one.combination == "up/a/c-major"
    ]
    assert [one.grade for one in found] == [3]


def test_a_skipped_block_is_no_part_of_the_rest() -> None:
    found = ratings_of(read_words("B=skip", sheet()), sheet(), rest_clean=True)
    assert not any(one.combination.startswith("up/") for one in found)


def test_ratings_carry_the_order_of_the_day() -> None:
    assert [one.at for one in rated("C1=9s B2=3")] == [600, 800]


def test_a_rating_inside_a_limit_is_marked() -> None:
    assert [one.limited for one in rated("B2=3", limited=True)] == [True]


@pytest.mark.parametrize(
    ("word", "said"),
    [
        ("C1=9", "C1 is rated in seconds held steady: C1=14s"),
        ("B1=17", "17 is neither a grade (1 to 5) nor a metronome mark (40 to 208)"),
        ("B1=0", "0 is neither a grade (1 to 5) nor a metronome mark (40 to 208)"),
        ("B1=110", "110 is no metronome mark; nearest: 108 and 112"),
        ("B1=39", "39 is no metronome mark; nearest: 40"),
        ("B1=220", "220 is no metronome mark; nearest: 208"),
        ("B1=7@96", "7 is no grade: 1 fell apart, 2 uneven, 3 nearly, 4 clean, 5 comfortable"),
        ("B1=4@97", "97 is no metronome mark; nearest: 96 and 100"),
        ("B1=14s", "B1 is rated by the highest clean mark (B1=108) or a grade of 1 to 5 (B1=4)"),
        ("C1=0s", "0 seconds cannot be one breath: 1 to 180"),
        ("C1=900s", "900 seconds cannot be one breath: 1 to 180"),
        ("D1=G2", "that note lies far from what is played in D1"),
        ("D1=yes", "D1 is rated by the highest note that spoke softly, as it is written: D1=G5"),
        ("E1=in", "E1 is rated by whether the bend was reached and centred: E1=yes or E1=no"),
        ("F1=4", "F1 is rated by whether it was in its tempo band: F1=in or F1=out"),
        ("A1=4", "A1 is not rated: it is the warm-up"),
        ("B9=4", "'B9' is not in the routine of 2026-09-07: B1, B2, B3, C1, D1, E1, F1, G1"),
        ("B1", "a word is what was played, =, and what was reached: B2=108"),
        ("B1=", "a word is what was played, =, and what was reached: B2=108"),
        ("B1=fine", "'fine' is not understood: write a clean mark (108)"),
        ("B1=-4", "'-4' is not understood"),
        ("B1=٤", "'٤' is not understood"),
        ("B1=4=5", "'4=5' is not understood"),
        ("up/a/e-major=4", "there is no combination 'up/a/e-major'; did you mean up/a/d-major?"),
        ("B1=\x1b[2J", "'[2J' is not understood"),
    ],
)  # fmt: skip
def test_a_word_that_cannot_be_meant_is_explained(word: str, said: str) -> None:
    assert said in wrong(f"B2=108 {word}")


def test_a_wrong_word_is_named_with_its_place() -> None:
    assert wrong("B1=108 C1=14s B2=17 D1=G5").startswith("word 3, B2=17: 17 is neither")


def test_all_wrong_words_are_named_at_once() -> None:
    with pytest.raises(WordsError, match="word 1, B1=17") as told:
        read_words("B1=17 C1=14s B2=fine", sheet())
    assert [line.split(":")[0] for line in told.value.lines()] == ["word 1, B1=17", "word 3, B2=fine"]
    assert told.value.lines()[-1].endswith("(nothing was stored)")
    assert told.value.code == 2


def test_a_thing_named_twice_is_a_slip_of_the_pen() -> None:
    assert wrong("B1=108 C1=9s b1=3") == "B1 stands twice"


def test_without_a_routine_an_item_cannot_be_named() -> None:
    with pytest.raises(WordsError, match="no routine stands for 2026-09-07: name the combination"):
        read_words("B1=108", sheet(targets=()))


def whole_sheet(text: str) -> list[tuple[date, str, int | None]]:
    found = read_sheet(text, "sheet.txt", lambda day: replace(sheet(), day=day), MONDAY).ratings
    return [(one.day, one.combination, one.grade) for one in found]


def test_a_sheet_has_one_rating_a_line_with_a_date_before_it() -> None:
    text = "# Tuesday's lesson\n2026-09-01 fives/a/5-6-7=4@96\nB2=3   # today\n\n2026-09-02 B2=5 E1=yes\n"
    assert whole_sheet(text) == [
        (date(2026, 9, 1), "fives/a/5-6-7", 4),
        (MONDAY, "up/a/d-major", 3),
        (date(2026, 9, 2), "up/a/d-major", 5),
        (date(2026, 9, 2), "bend/a/2-3-4", None),
    ]


def test_a_date_alone_in_a_sheet_counts_for_the_lines_below() -> None:
    assert whole_sheet("2026-09-01\nB2=5\nB1=4\n2026-09-02\nB2=4\n") == [
        (date(2026, 9, 1), "up/a/c-major", 4),
        (date(2026, 9, 1), "up/a/d-major", 5),
        (date(2026, 9, 2), "up/a/d-major", 4),
    ]


@pytest.mark.parametrize("text", ["B2=2\nB=5\n", "B=5\nB2=2\n", "B2=2 B=5\n"])
def test_on_a_sheet_too_an_item_goes_before_its_block_in_any_order(text: str) -> None:
    assert (MONDAY, "up/a/d-major", 2) in whole_sheet(text)
    assert (MONDAY, "up/a/c-major", 5) in whole_sheet(text)
    assert len(whole_sheet(text)) == 2 + 1  # B1 and B3 are two goes of one combination


def test_of_two_words_for_one_thing_on_a_sheet_the_lower_holds() -> None:
    assert whole_sheet("B2=2\nB2=4\n") == [(MONDAY, "up/a/d-major", 4)]


def test_a_sheet_names_every_fault_with_line_and_column() -> None:
    text = "2026-09-01 B2=5 B1=17\n2026-09-31 B2=4\n2026-09-08 B2=4\nB2=fine\n"
    with pytest.raises(BadData, match=r".") as told:
        whole_sheet(text)
    assert [line[: line.index(" is") if " is" in line else 40] for line in told.value.lines()] == [
        "sheet.txt:1:17: B1=17: 17",
        "sheet.txt:2:1: 2026-09-31",
        "sheet.txt:3:1: 2026-09-08 lies after 202",
        "sheet.txt:4:1: B2=fine: 'fine'",
    ]


def test_every_day_of_a_sheet_is_held_against_its_own_limits() -> None:
    def day_sheet(day: date) -> Sheet:
        return replace(sheet(), day=day, limited=day.day == 1)

    found = read_sheet("2026-09-01 B2=5\n2026-09-02 B2=5\n", "sheet.txt", day_sheet, MONDAY).ratings
    assert [one.limited for one in found] == [True, False]


@pytest.mark.parametrize("word", ["23.11.", "23.11.2026", "11/23"])
def test_a_date_in_other_words_is_told_how_dates_are_written(word: str) -> None:
    with pytest.raises(BadData, match="a date is written 2026-11-23"):
        read_sheet(f"{word} B2=5\n", "sheet.txt", lambda day: replace(sheet(), day=day), MONDAY)

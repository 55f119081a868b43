"""Out of the diary and back in: the same ratings, harmless cells, every fault named."""

from __future__ import annotations

import io
import json
from datetime import date
from pathlib import Path

import pandas as pd
import pytest
from diary.some_ratings import FIVES, MONDAY, rating, ratings
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.diary.exchange import COLUMNS, from_text, read_file, to_csv, to_json
from planner.diary.rating import Rating
from planner.diary.rows import order
from planner.errors import BadData, NoInput

HEADING = "day,combination,articulation,tempo,clean,grade,value"


def faults(text: str, monday: date | None = None) -> list[str]:
    with pytest.raises(BadData, match=r".") as told:
        from_text(text, "old.csv", monday=monday)
    return list(told.value.lines())


@given(st.lists(ratings, max_size=8))
@settings(max_examples=150, deadline=None)
def test_what_goes_out_as_csv_comes_back_the_same(given_ratings: list[Rating]) -> None:
    assert from_text(to_csv(given_ratings), "x.csv") == tuple(sorted(given_ratings, key=order))


@given(st.lists(ratings, max_size=8))
@settings(max_examples=150, deadline=None)
def test_what_goes_out_as_json_comes_back_the_same(given_ratings: list[Rating]) -> None:
    assert from_text(to_json("anna", given_ratings), "x.json") == tuple(sorted(given_ratings, key=order))


@given(st.lists(ratings, min_size=1, max_size=5))
@settings(max_examples=60, deadline=None)
def test_an_independent_reader_finds_no_cell_that_would_run(given_ratings: list[Rating]) -> None:
    table = pd.read_csv(io.StringIO(to_csv(given_ratings)), dtype=str, keep_default_na=False)
    assert list(table.columns) == list(COLUMNS)
    assert len(table) == len(given_ratings)
    # ASVS 5.0 requirement 1.2.10
    texts = [*table["combination"], *table["articulation"]]
    assert [cell for cell in texts if cell.startswith(("=", "+", "-", "@", "\t", "\r"))] == []


@given(st.lists(ratings, min_size=1, max_size=5))
@settings(max_examples=60, deadline=None)
def test_an_independent_reader_finds_the_same_numbers(given_ratings: list[Rating]) -> None:
    table = pd.read_csv(io.StringIO(to_csv(given_ratings)), dtype=str, keep_default_na=False)
    expected = sorted(given_ratings, key=order)
    for name in ("tempo", "clean", "grade", "value"):
        found = [float(cell) if cell else None for cell in table[name]]
        assert found == [getattr(one, name) for one in expected]


def test_numbers_stay_untouched_in_the_csv() -> None:
    text = to_csv([rating(combination="=1+1", value=14.5, grade=None, tempo=None)])
    assert text.splitlines()[1] == "2026-09-07,'=1+1,slurred,,,,14.5,no,0"


def test_the_columns_of_an_earlier_history_are_enough() -> None:
    (found,) = from_text(f"{HEADING}\n2026-09-07,{FIVES},slurred,96,,4,\n", "old.csv")
    assert found == rating()


def test_columns_may_stand_in_any_order_with_further_ones() -> None:
    text = f"teacher,grade,tempo,articulation,combination,day\nMs Ray,4,96,slurred,{FIVES},2026-09-07\n"
    assert from_text(text, "old.csv") == (rating(),)


def test_a_file_saved_by_a_spreadsheet_is_read() -> None:
    # a byte order mark and CRLF line ends, as spreadsheets on Windows write them
    text = f"{HEADING}\r\n2026-09-07,{FIVES},slurred,96,,4,\r\n".encode("utf-8-sig")
    assert from_text(text.decode("utf-8-sig"), "old.csv") == (rating(),)


def test_a_fault_behind_a_quoted_cell_has_no_column() -> None:
    (fault,) = faults(f'{HEADING}\n2026-09-07,"{FIVES}",slurred,96,,9,\n')
    assert fault.startswith("old.csv:2: the grade '9'")


def test_days_before_a_monday_are_counted_from_it() -> None:
    # 12 days before Monday 7 September 2026 is 26 August
    (found,) = from_text(f"{HEADING}\n-12,{FIVES},slurred,96,,4,\n", "old.csv", monday=MONDAY)
    assert found.day == date(2026, 8, 26)


def test_days_before_a_monday_need_a_monday() -> None:
    (fault,) = faults(f"{HEADING}\n-12,{FIVES},slurred,96,,4,\n")
    assert fault == "old.csv:2:1: the day '-12' is no date: write 2026-09-07"


def test_every_fault_of_a_file_is_named_with_its_line() -> None:
    first = f"2026-09-31,{FIVES},slurred,96,,4,"
    text = f"{HEADING}\n{first}\n2026-09-07,{FIVES},sung,ninety,,9,\n2026-09-07,,slurred,,,,\n"
    assert faults(text) == [
        "old.csv:2:1: the day '2026-09-31' is not in the calendar",
        "old.csv:3:39: the tempo 'ninety' is not a whole number from 20 to 500",
        "old.csv:3:47: the grade '9' is not a whole number from 1 to 5",
        "old.csv:4: the combination is missing",
    ]


@pytest.mark.parametrize(
    ("cells", "said"),
    [
        (f"2026-09-07,{FIVES},slurred,９６,,4,", "the tempo '９６' is not a whole number"),
        (f"2026-09-07,{FIVES},slurred,1_0_0,,4,", "the tempo '1_0_0' is not a whole number"),
        (f"2026-09-07,{FIVES},slurred,,,,nan", "the value 'nan' is not a number"),
        (f"2026-09-07,{FIVES},slurred,,,,1e999", "the value '1e999' is not a number"),
        (f"2026-09-07,{FIVES},slurred,,,,-1", "the value '-1' is not a number from 0 to 10000"),
        (f"2026-09-07,{FIVES},sung,96,,4,", "the articulation 'sung' is not one of slurred"),
        (f"2026-09-07,{FIVES},slurred,96,,4,,5,6", "9 cells stand in this line"),
        ("20260907,x/a/1,slurred,96,,4,", "the day '20260907' is no date"),
        (",x/a/1,slurred,96,,4,", "the day '' is no date"),
        ("=cmd(),x/a/1,slurred,96,,4,", "the day '=cmd()' is no date"),
    ],
)
def test_a_cell_that_cannot_be_meant_is_refused(cells: str, said: str) -> None:
    (fault,) = faults(f"{HEADING}\n{cells}\n")
    assert said in fault


def test_a_file_without_its_columns_says_which_is_missing() -> None:
    (fault,) = faults("date;combination\n2026-09-07;x\n")
    assert fault.startswith("old.csv:1: the column day is missing (the first line names the columns")


def test_an_empty_file_says_that_its_columns_are_missing() -> None:
    (fault,) = faults("")
    assert "the column day is missing" in fault


def test_unseen_characters_are_taken_out_on_the_way_in() -> None:
    (found,) = from_text(f"{HEADING}\n2026-09-07,x\x1b[2J/a/\u202e1,slurred,96,,4,\n", "old.csv")
    assert found.combination == "x[2J/a/1"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("{", "old.csv:1:2: this is no JSON"),
        ("[]", "the format is not planner.diary/1 but None"),
        (
            '{"format": "planner.diary/2", "ratings": []}',
            "the format is not planner.diary/1 but planner.diary/2",
        ),
        ('{"format": "planner.diary/1", "ratings": [1]}', "rating 1 is not an object"),
        ("[" * 100_000, "this is no JSON that can be read"),
        ('{"a": ' + "1" * 5000 + "}", "this is no JSON that can be read"),
    ],
    ids=["broken", "a list", "a newer form", "a number", "deep", "a giant number"],
)
def test_json_that_is_no_diary_is_refused(text: str, said: str) -> None:
    assert said in faults(text)[0]


def test_a_wrong_rating_in_json_is_named_by_its_number() -> None:
    content = json.loads(to_json("anna", [rating(), rating(day=8)]))
    content["ratings"][1]["grade"] = 9
    assert faults(json.dumps(content)) == [
        "old.csv:1:249: rating 2: the grade '9' is not a whole number from 1 to 5"
    ]


def test_a_file_that_is_not_there_is_no_input(tmp_path: Path) -> None:
    with pytest.raises(NoInput, match="there is no file"):
        read_file(tmp_path / "old.csv")


def test_a_file_in_another_encoding_is_refused_with_its_line(tmp_path: Path) -> None:
    (tmp_path / "old.csv").write_bytes("day,combination\n2026-09-07,Etüde\n".encode("latin-1"))
    with pytest.raises(BadData, match=r"old\.csv:2: this is no UTF-8 text"):
        read_file(tmp_path / "old.csv")

"""Coverage as a table, read back by pandas. Cells: worked by hand in `show/sample_shelf.py`."""

from __future__ import annotations

import io
from dataclasses import replace
from datetime import date

import pandas as pd
import pytest
from show.sample_plan import PLAN
from show.sample_shelf import SHELF

from planner.exports.coverage_table import COLUMNS, coverage_csv

TUESDAY = date(2026, 9, 8)
HOSTILE = ["=1+1", '"a",b;c\r\nd', "@SUM(A1)", "+49", "-2", "\t=1", "\x00\u202e", "♭" * 200]


def read(text: str) -> pd.DataFrame:
    """The table, positions as the whole numbers that they are."""
    return pd.read_csv(io.StringIO(text), keep_default_na=False, na_values={"position": [""]}).astype(
        {"position": "Int64"}
    )


@pytest.fixture(scope="module")
def table() -> pd.DataFrame:
    return read(coverage_csv(PLAN, SHELF, TUESDAY))


def counts(table: pd.DataFrame, name: str, **where: object) -> list[list[object]]:
    """Met, planned and open of the rows that are asked for."""
    found = table[table["table"] == name]
    for column, value in where.items():
        found = found[found[column] == value]
    return found[["met", "planned", "open"]].values.tolist()


def test_the_columns_are_those_promised(table: pd.DataFrame) -> None:
    assert tuple(table.columns) == COLUMNS


# 3-4-5 is planned for Tuesday and holds B flat on its first tube; 1-2-3 has it last and is open
def test_a_cell_of_exercise_and_key_is_that_of_the_screen(table: pd.DataFrame) -> None:
    assert counts(table, "exercise by key", exercise="Rolling fives", key="B♭") == [[0, 1, 1]]


# 5-6-7 was met on Monday; 3-4-5, planned, ends on position 5
def test_a_cell_of_exercise_and_position_is_that_of_the_screen(table: pd.DataFrame) -> None:
    assert counts(table, "exercise by position", exercise="Rolling fives", position=5) == [[1, 1, 0]]


# five steps in D flat play 123 (position 7) and never 13 (position 6)
def test_a_cell_that_cannot_occur_has_no_row(table: pd.DataFrame) -> None:
    assert counts(table, "key by position", key="D♭", position=7) == [[0, 0, 1]]
    assert counts(table, "key by position", key="D♭", position=6) == []


# 1-2-3, 3-4-5 and 5-6-7 together stand on all seven tubes
def test_the_rows_of_an_exercise_are_its_keys(table: pd.DataFrame) -> None:
    rows = table[(table["table"] == "exercise by key") & (table["exercise"] == "Rolling fives")]
    assert sorted(rows["key"]) == sorted(["C", "B", "B♭", "A", "A♭", "G", "F♯"])


def test_days_are_iso_dates(table: pd.DataFrame) -> None:
    met = table[(table["table"] == "exercise by key") & (table["key"] == "G")]["last_met"]
    assert [date.fromisoformat(day) for day in met] == [date(2026, 9, 7)]


def test_an_empty_shelf_is_a_head_without_rows() -> None:
    assert coverage_csv(PLAN, [], TUESDAY) == ",".join(COLUMNS) + "\r\n"


@pytest.mark.parametrize("title", HOSTILE)
def test_a_hostile_title_adds_neither_row_nor_formula(table: pd.DataFrame, title: str) -> None:
    found = read(coverage_csv(PLAN, [replace(one, exercise=title) for one in SHELF[:3]], TUESDAY))
    plain = read(coverage_csv(PLAN, SHELF[:3], TUESDAY))
    assert len(found) == len(plain)
    assert not found["exercise"].str.startswith(("=", "+", "-", "@", "\t", "\r")).any()
    assert found["met"].tolist() == plain["met"].tolist()

"""Texts into the diary and out of it."""

from __future__ import annotations

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from planner.diary.text import guarded, shown, stripped, unguarded


@pytest.mark.parametrize(
    ("raw", "kept"),
    [
        ("\x1b[2Jscales", "[2Jscales"),  # ECMA-48: ESC [ 2 J clears the screen
        ("a\x9bb", "ab"),  # C1: the one-byte form of ESC [
        ("a\u202eb", "ab"),  # RIGHT-TO-LEFT OVERRIDE, Unicode 15 table of bidi controls
        ("a\u2066b\u2069", "ab"),  # isolates
        ("a\nb\tc\x00", "abc"),
        ("a\u2028b", "ab"),
        ("  B♭ étude  ", "B♭ étude"),
    ],
    ids=["escape", "c1", "override", "isolate", "line ends", "separator", "music signs stay"],
)
def test_unseen_characters_are_taken_out_of_a_text(raw: str, kept: str) -> None:
    assert stripped(raw) == kept


def test_a_message_shows_a_long_text_cut_short() -> None:
    assert shown("x" * 100, 10) == "x" * 9 + "…"


# ASVS 5.0 requirement 1.2.10: a single quote before = + - @ TAB and NUL at the start of a cell.
@pytest.mark.parametrize("first", ["=", "+", "-", "@", "\t", "\r"])
def test_a_cell_a_spreadsheet_would_run_gets_an_apostrophe(first: str) -> None:
    assert guarded(f"{first}1+1") == f"'{first}1+1"


def test_an_ordinary_text_cell_stays_as_it_is() -> None:
    assert guarded("rolling-fives/a/5-6-7") == "rolling-fives/a/5-6-7"


def test_an_apostrophe_that_was_meant_stays_when_read() -> None:
    assert unguarded("'tis") == "'tis"


@given(st.text())
@example("'")
@example("''")
@example("'=1")
@example("")
def test_a_guarded_cell_reads_back_as_its_text(text: str) -> None:
    assert unguarded(guarded(text)) == text

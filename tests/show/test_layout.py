"""Widths, wrapping and columns of text."""

from __future__ import annotations

import pytest

from planner.show.layout import Column, Faces, cells, clean, flow, page, side_by_side, wrap

PLAIN = Faces(on=False)


# widths by Unicode Standard Annex 11: W takes two columns; combining marks (here U+0308) take none
@pytest.mark.parametrize(
    ("text", "width"), [("B♭4", 3), ("小川", 4), ("Zoe\u0308", 3), ("♪ = 96", 6)], ids=ascii
)
def test_a_text_is_as_wide_as_a_terminal_sets_it(text: str, width: int) -> None:
    assert cells(text) == width


@pytest.mark.parametrize(
    ("hostile", "shown"),
    [
        ("\x1b]0;title\x07Suite", "]0;titleSuite"),
        ("\x9b2JSuite", "2JSuite"),
        ("Suite\u202egnp", "Suitegnp"),
        ("two\r\nlines\tand\u2028more", "two lines and more"),
        ("nul\x00del\x7f", "nuldel"),
    ],
    ids=["window title", "C1 sequence", "right-to-left override", "line ends", "NUL and DEL"],
)
def test_text_of_a_user_cannot_steer_the_terminal(hostile: str, shown: str) -> None:
    assert clean(hostile) == shown


def test_a_no_break_space_keeps_words_on_one_line() -> None:
    assert wrap("tempo ♪\u00a0=\u00a096", 9) == ["tempo", "♪\u00a0=\u00a096"]


def test_a_piece_too_long_for_a_line_breaks_at_its_no_break_spaces() -> None:
    assert wrap("4\u00a0in\u00a0a\u00a0breath", 6) == ["4 in a", "breath"]


def test_a_word_too_long_for_a_line_is_divided() -> None:
    assert wrap("Donaudampfschiff", 6) == ["Donaud", "ampfsc", "hiff"]


def test_a_part_moves_to_the_next_line_whole() -> None:
    assert flow(["slurred", "5/8, accents 2+3"], 20) == ["slurred", "5/8, accents 2+3"]


def test_a_cell_wraps_within_its_own_column() -> None:
    columns = (Column(3), Column(7), Column(4, right=True))
    assert side_by_side(("B1", "in work again", "0:38"), columns, PLAIN) == [
        "B1   in work  0:38",
        "     again",
    ]


def test_bold_is_set_around_the_words_and_not_the_spaces() -> None:
    assert side_by_side(("A", "b"), (Column(3, face="bold"), Column(1)), Faces(on=True)) == [
        "\x1b[1mA\x1b[0m    b"
    ]


def test_a_page_prints_no_break_spaces_as_spaces() -> None:
    assert page(["♪\u00a0=\u00a096  ", ""]) == "♪ = 96\n\n"

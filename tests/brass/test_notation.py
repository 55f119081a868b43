"""The figure notation: what it says and where it is refused."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest

from planner.brass.figures import Figure, FigureError, read_figure
from planner.brass.tempo import parse_meter


def partials(text: str, meter: str = "4/4") -> Figure:
    return read_figure(text, parse_meter(meter), "partials")


def degrees(text: str, meter: str = "4/4") -> Figure:
    return read_figure(text, parse_meter(meter), "degrees")


@pytest.mark.parametrize(
    ("letter", "eighths"),
    # whole, half, quarter, eighth, sixteenth; a dot adds half of the length
    [
        ("w", 8),
        ("h", 4),
        ("q", 2),
        ("e", 1),
        ("s", Fraction(1, 2)),
        ("h.", 6),
        ("q.", 3),
        ("e.", Fraction(3, 2)),
    ],
)
def test_length_letters_count_in_eighths(letter: str, eighths: Fraction) -> None:
    rest = Fraction(8) - eighths
    fill = " ".join(["4s"] * int(rest * 2))
    assert partials(f"4{letter} {fill}").tokens[0].eighths == eighths


def test_length_is_carried_over_from_the_note_before() -> None:
    assert [token.eighths for token in partials("4e 5 6 5 4", "5/8").tokens] == [1] * 5


def test_five_eighths_fill_one_bar_of_five_eight() -> None:
    figure = partials("4e> 5e 6e 5e 4e", "5/8")
    assert (figure.bars, figure.eighths) == (1, 5)
    assert [token.accent for token in figure.tokens] == [True, False, False, False, False]


def test_slur_marks_its_first_inner_and_last_note() -> None:
    tokens = partials("(4q 5q 6q) 5q").tokens
    assert [token.slur for token in tokens] == ["start", "inside", "end", ""]


def test_marks_may_stand_in_any_order() -> None:
    token = partials("4h>v, 4h").tokens[0]
    assert (token.accent, token.bend, token.breath, token.tie) == (True, True, True, False)


def test_degrees_take_signs_and_go_below_the_tonic() -> None:
    tokens = degrees("-1q 1q #4q b7q").tokens
    assert [(token.number, token.alter) for token in tokens] == [(-1, 0), (1, 0), (4, 1), (7, -1)]


def test_raised_degree_below_the_tonic_is_read() -> None:
    token = degrees("-#2h 1h").tokens[0]
    assert (token.number, token.alter) == (-2, 1)


def test_bar_line_between_bars_changes_nothing() -> None:
    with_line = partials("4h 5h | 6w")
    assert [token.number for token in with_line.tokens] == [4, 5, 6]
    assert with_line.bars == 2


def test_rest_counts_and_has_no_number() -> None:
    assert [token.number for token in partials("4h rh").tokens] == [4, None]


def test_equal_figures_are_one_for_the_cache() -> None:
    assert hash(partials("4w")) == hash(partials("4w"))


@pytest.mark.parametrize(
    ("text", "column", "words"),
    [
        ("4e 5x", 4, '"5x" is not a note of a figure'),
        ("4 5e", 1, "has no length"),
        ("4e 5e 6e 5e", 10, "the last bar of 5/8 is 4 eighths long"),
        ("4e 5e 6e | 5e 4e", 10, "this bar line stands 3 eighths into a bar of 5/8"),
        ("| 4e 5 6 5 4", 1, "no bar before it"),
        ("4q 5q 6q 5q 4q", 7, "this note crosses the bar line"),
        ("(4e 5 6 5 4", 1, "this slur has no end"),
        ("4e 5 6) 5 4", 6, "a slur ends that never began"),
        ("(4e (5 6) 5 4", 5, "a slur begins inside a slur"),
        ("(4e) 5 6 5 4", 1, "a slur joins at least two notes"),
        ("(4e r 6) 5 4", 5, "a rest inside a slur"),
        ("re> 5 6 5 4", 1, "a rest has no accent"),
        ("4e~ 5 6 5 4", 1, "a tie leads to the same note"),
        ("4e 5 6 5 4~", 10, "a tie leads to the same note"),
        ("4e>> 5 6 5 4", 1, "says the same twice"),
        ("0e 5 6 5 4", 1, "partials go from 1 to 16"),
        ("17e 5 6 5 4", 1, "partials go from 1 to 16"),
        ("#4e 5 6 5 4", 1, "a partial has no sign"),
        ("re r r r r", 1, "the figure has no notes"),
        ("", 1, "the figure has no notes"),
        ("\uff14e 5 6 5 4", 1, "is not a note of a figure"),
    ],
)
def test_fault_is_named_with_its_column(text: str, column: int, words: str) -> None:
    with pytest.raises(FigureError, match=re.escape(words)) as caught:
        partials(text, "5/8")
    assert caught.value.column == column


@pytest.mark.parametrize("text", ["0w", "23w"])
def test_degree_outside_three_octaves_is_refused(text: str) -> None:
    with pytest.raises(FigureError, match="degrees go from 1 to 22") as caught:
        degrees(text)
    assert "-1 the degree below" in caught.value.hint


def test_missing_length_of_the_last_bar_is_told() -> None:
    with pytest.raises(FigureError, match="is 7 eighths long") as caught:
        partials("4q 4q 4q 4e")
    assert caught.value.hint == "1 eighth more"

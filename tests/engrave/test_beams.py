"""Beams follow the accents of the bar. Expected joinings: common practice, no source, unless named."""

from __future__ import annotations

import pytest
from engrave.reading import beamed
from engrave.scores import partials

from planner.engrave.mei import mei_text


@pytest.mark.parametrize(
    ("figure", "meter", "grouping", "joined"),
    [
        ("4e 5 6 5 4", "5/8", None, "2 3"),
        ("4e 5 6 5 4", "5/8", (3, 2), "3 2"),
        ("2e 4 3 5 4 6 5", "7/8", None, "2 2 3"),
        ("2e 4 3 5 4 6 5", "7/8", (3, 2, 2), "3 2 2"),
        ("2e 4 3 5 4 6 5", "7/8", (2, 3, 2), "2 3 2"),
        ("2e 3 4 3 4 5 4 5 6 5 3", "11/8", None, "2 2 2 2 3"),
        ("2e 3 4 3 4 5 4 5 6 5 3", "11/8", (3, 3, 3, 2), "3 3 3 2"),
        ("2e 3 4 3 4 5 4 5", "8/8", (3, 3, 2), "3 3 2"),
        ("4s 5 4 5 4 5 4 5 4 5", "5/8", None, "4 6"),
        ("3e 4 5 3 4 5", "6/8", None, "3 3"),
        ("3e 4 5 4 3 4 5 4", "4/4", None, "4 4"),
        ("3s 4 5 4 3 4 5 4 3 4 5 4 3 4 5 4", "4/4", None, "4 4 4 4"),
        ("3e 4 5 4 3 4", "3/4", None, "6"),
        ("3e 4 5 4", "2/4", None, "4"),
        ("3e 4 5 4 3 4 5 6", "2/2", None, "4 4"),
        ("3e 4 5 4 3 4 5 4 3 4", "5/4", None, "6 4"),
    ],
)
def test_eighths_are_joined_by_the_accents(
    figure: str, meter: str, grouping: tuple[int, ...] | None, joined: str
) -> None:
    assert beamed(mei_text(partials(figure, meter, grouping=grouping))) == [joined]


def test_a_rest_ends_a_beam() -> None:
    assert beamed(mei_text(partials("4e r 5 4 5 6", "6/8"))) == ["3"]


def test_a_single_eighth_has_its_flag() -> None:
    assert beamed(mei_text(partials("3e 4q 5e 4q 3q", "4/4"))) == [""]


def test_a_syncopation_is_not_joined_over_the_beat() -> None:
    assert beamed(mei_text(partials("3e 4q 5e 4e 4e 3q", "4/4"))) == ["2"]


def test_no_beam_crosses_a_bar_line() -> None:
    assert beamed(mei_text(partials("4e 5 6 5 4 | 4e 5 6 5 4", "5/8"))) == ["2 3", "2 3"]

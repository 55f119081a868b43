"""What is played twice on a day is drawn once; its second go is a line that names the first."""

from __future__ import annotations

from typing import Any

from show.sample_plan import PLAN

from planner.engrave.sheet import Block
from planner.show.routine_pages import day_sheet


def written(one: dict[str, Any]) -> dict[str, Any]:
    """An item of block C with notes to draw."""
    notes = {"notation": "1e 2 3 2 1q 1q", "meter": "4/4", "grouping": [1, 1, 1, 1]}
    return one | notes if one["block"] == "C" else one


def block(letter: str) -> Block:
    """A block of Monday's sheet."""
    monday = PLAN["days"][0]
    page = day_sheet(PLAN, monday | {"items": [written(one) for one in monday["items"]]}).pages[0]
    return next(one for one in page.blocks if one.letter == letter)


def test_a_second_go_draws_no_figure_again() -> None:
    # Monday: C1, C2 and C4 in A flat, D and F sharp; C3 is C1 once more
    assert [len(row.cells) for row in block("C").rows] == [3, 0]


def test_a_second_go_names_the_first() -> None:
    assert block("C").rows[-1].title.replace("\u00a0", " ") == "Again: C3 as C1"


def test_a_second_go_is_not_filled_in_again() -> None:
    assert block("C").rows[-1].answer is None


def test_the_keys_of_a_cycle_stand_in_its_title() -> None:
    # positions 5, 6, 7 of a trumpet: the tubes of 23, 13 and 123 sound A flat, G and F sharp
    assert "A♭ G F♯" in block("B").rows[0].title.replace("\u00a0", " ")

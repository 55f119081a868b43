"""Coverage at a glance. Cells: by hand from `sample_shelf.py` and the days of `sample_plan.py`."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from show.sample_plan import PLAN
from show.sample_shelf import SHELF, cycle, steps

from planner.show.coverage import CoverageCell, coverage_tables, coverage_text
from planner.show.layout import cells

MONDAY, TUESDAY = date(2026, 9, 7), date(2026, 9, 8)
BY_KEY, BY_POSITION, BY_BOTH = coverage_tables(PLAN, SHELF, TUESDAY)


@pytest.mark.parametrize(
    ("cell", "text"),
    [
        (CoverageCell(met=2), "m2"),
        (CoverageCell(planned=1, open=3), "p1"),
        (CoverageCell(met=1, planned=2), "m1p2"),
        (CoverageCell(open=4), "o4"),
        (CoverageCell(), "–"),
    ],
    ids=["met", "planned", "both", "open", "cannot occur"],
)
def test_a_cell_speaks_in_letters_and_numbers(cell: CoverageCell, text: str) -> None:
    assert cell.text == text


# 5-6-7 was met on Monday and is in the key of A flat on its first tube
def test_a_combination_of_this_week_is_met_in_its_keys() -> None:
    assert BY_KEY.cell("Rolling fives", "G").text == "m1"


# 3-4-5 stands in the plan of Tuesday; B flat is its first tube, and the last of 1-2-3, which is open
def test_a_combination_of_the_days_to_come_is_planned() -> None:
    assert BY_KEY.cell("Rolling fives", "B♭") == CoverageCell(planned=1, open=1, last_met=date(2026, 8, 22))


def test_a_day_that_has_passed_plans_nothing_any_more() -> None:
    tables = coverage_tables(PLAN, [cycle(3, None)], date(2026, 9, 12))
    assert tables[0].cell("Rolling fives", "A").text == "o1"


# Monday's 5-6-7 is met in the calendar week, though this plan begins on Wednesday
def test_days_of_the_week_before_the_plan_begins_count_as_met() -> None:
    later = {**PLAN, "first_day": "2026-09-09", "days": PLAN["days"][2:]}
    table = coverage_tables(later, SHELF, date(2026, 9, 9))[0]
    assert table.cell("Rolling fives", "G").text == "m1"


def test_a_rating_of_last_week_does_not_count_as_met() -> None:
    table = coverage_tables(PLAN, [replace(SHELF[2], combination="x", last_met=date(2026, 9, 6))], MONDAY)[0]
    assert table.cell("Rolling fives", "G").text == "o1"


def test_a_key_that_no_combination_has_cannot_occur() -> None:
    assert BY_KEY.cell("Five steps and back", "B♭").text == "–"


# D flat major has 123, 23, 1, 2 under its five notes: position 6 (13) is not among them
def test_key_and_position_meet_only_where_a_note_does() -> None:
    assert (BY_BOTH.cell("D♭", "7\n123").text, BY_BOTH.cell("D♭", "6\n13").text) == ("o1", "–")


def test_columns_stand_in_the_order_of_fifths() -> None:
    assert BY_KEY.columns == ("D♭", "A♭", "E♭", "B♭", "C", "G", "D", "A", "B", "F♯")


def test_two_spellings_of_a_tonic_share_a_column() -> None:
    shelf = [
        steps("G-flat major", (2,), None),
        steps("F-sharp major", (2,), None),
        steps("F-sharp major", (2,), None),
    ]
    assert coverage_tables(PLAN, shelf, MONDAY)[0].columns == ("F♯",)


def test_modes_of_one_tonic_share_a_column() -> None:
    shelf = [steps("C major", (1,), None), steps("C harmonic minor", (1,), None)]
    assert coverage_tables(PLAN, shelf, MONDAY)[0].cell("Five steps and back", "C").open == 2


def test_valves_stand_under_the_number_of_their_position() -> None:
    assert BY_POSITION.columns[4] == "5\n23"


def test_positions_of_a_slide_stand_by_their_number_alone() -> None:
    assert coverage_tables(PLAN | {"instrument": "trombone"}, SHELF, MONDAY)[1].columns[4] == "5"


def test_what_was_never_met_is_named_before_what_rested_longest() -> None:
    shelf = [steps("D major", (1,), date(2026, 8, 1)), steps("E major", (1,), None)]
    said = "Open longest: Five steps and back in E (never met); Five steps and back in D (38 days)"
    assert said in coverage_text(PLAN, shelf, TUESDAY, width=100)


def test_the_summary_counts_every_combination_once() -> None:
    assert "9 combinations · 2 met · 1 planned · 6 open" in coverage_text(PLAN, SHELF, TUESDAY)


@pytest.mark.parametrize("boxes", [False, True], ids=["pipe", "terminal"])
@pytest.mark.parametrize("width", [40, 60, 80, 120])
def test_no_width_makes_a_line_too_long(width: int, boxes: bool) -> None:
    text = coverage_text(PLAN, SHELF, TUESDAY, width=width, boxes=boxes)
    assert max(cells(line) for line in text.splitlines()) <= width


def test_a_narrow_screen_continues_the_keys_in_a_second_table() -> None:
    heads = [
        line for line in coverage_text(PLAN, SHELF, TUESDAY, width=40).splitlines() if "F♯" in line.split()
    ]
    assert "D♭" not in heads[0]


def test_a_cell_is_read_aloud_with_its_states() -> None:
    said = coverage_text(PLAN, SHELF, TUESDAY, plain=True).splitlines()
    assert "Rolling fives in A flat: 1 met, 1 planned" in said


def test_what_cannot_occur_is_not_read_aloud() -> None:
    assert "Five steps and back in B flat" not in coverage_text(PLAN, SHELF, TUESDAY, plain=True)


@pytest.mark.parametrize("boxes", [False, True], ids=["pipe", "terminal"])
def test_an_empty_shelf_is_shown_as_empty(boxes: bool) -> None:
    assert "0 combinations" in coverage_text(PLAN, [], MONDAY, boxes=boxes)

"""What keeps a term from fitting, on terms small enough to see it by hand. An item takes 100 s."""

from __future__ import annotations

from dataclasses import replace

import pytest
from term.small_terms import request, small_term
from term.test_solve_term import exercise, group, room, term

from planner.horizon import term as module
from planner.horizon.term import grant, ready, why_not
from planner.plan.solve.term_reasons import in_the_way
from planner.plan.term.problem import Tally, TermProblem


def test_nothing_stands_in_the_way_of_a_term_that_fits() -> None:
    assert in_the_way(term((900, 900, 900), group(0, 1, 1, 1), span=9)) == ()


def test_minutes_stand_in_the_way_where_only_they_are_too_few() -> None:
    assert in_the_way(term((150, 900, 900), group(0, 2, 0, 0), span=9)) == ("the minutes",)


def test_blocks_stand_in_the_way_where_minutes_are_enough() -> None:
    problem = term((10**6,) * 3, group(0, 1, 0, 0), group(1, 1, 0, 0), span=9)
    one_block = tuple(replace(each, blocks=1) for each in problem.rooms)
    found = in_the_way(replace(problem, rooms=one_block))
    assert found == ("the number and length of blocks that a day holds",)


def test_keys_and_positions_stand_in_the_way_where_all_else_would_do() -> None:
    # Six turns are wanted in weeks 1 and 2, which hold two items of 100 s each.
    wants = replace(exercise("e0", 0), pair_turns=(0, 6, 0))
    problem = TermProblem(tuple(map(room, (100, 200, 200))), (wants,), (group(0, 1, 0, 0),), (9, 9, 9))
    assert in_the_way(problem) == ("that every key and position of an exercise is wanted within two weeks",)


def test_a_line_that_no_week_allows_is_said_to_have_no_days() -> None:
    barred = replace(group(0, 1, 0, 0), allowed=(False, False, False))
    assert in_the_way(term((900, 900, 900), barred, span=9)) == (
        "days on which what is to be met may not be played",
    )


def test_a_span_for_which_only_no_plan_was_found_is_not_called_impossible(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    costs = ready(request())
    assert grant(costs, None).weeks == 4
    found = [None, module.keeps_everything]

    def first_none(problem: TermProblem) -> Tally | None:
        search = found.pop(0) if len(found) > 1 else found[0]
        return search(problem) if search else None

    monkeypatch.setattr(module, "keeps_everything", first_none)
    proof = grant(costs, None).proof
    assert proof.endswith("every 4 weeks no plan was found")


def test_a_term_that_fits_gives_no_reason() -> None:
    assert small_term()["capacity"]["why"] == ""


def test_minutes_that_would_do_over_the_whole_term_are_told_as_weeks_that_would_not() -> None:
    problem = term((150, 900, 900), group(0, 2, 0, 0), span=9)
    assert why_not(problem, {"turns_asked": 2, "turns_carried": 19}) == (
        "over the whole term the sums would do, but not week by week; what stands in the way: the minutes"
    )


def test_too_much_for_the_whole_term_is_told_without_a_word_of_sums() -> None:
    problem = term((150, 150, 150), group(0, 2, 2, 2), span=9)
    told = why_not(problem, {"turns_asked": 6, "turns_carried": 4})
    assert told == "what stands in the way: the minutes"


def test_a_term_that_only_its_days_cannot_hold_is_told_of_blocks_not_of_minutes() -> None:
    told = why_not(term((900, 900, 900), group(0, 1, 1, 1), span=9), {})
    assert told.startswith(
        "by the sums of its weeks all would have its turn; but an exercise stands in whole"
    )

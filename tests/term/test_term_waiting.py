"""What a week without a block leaves waiting: the bound against every term there is, blocks made whole."""

from __future__ import annotations

from dataclasses import replace

import pytest
from term.test_solve_term import every_tally, exercise, group, room, term

from planner.plan.solve.term import fits
from planner.plan.solve.term_smaller import fewest_left_out
from planner.plan.solve.term_waiting import nothing_waits, waiting_bound, whole_blocks_weekly
from planner.plan.term.problem import BEHIND, Tally, TermProblem, cost_of

PLENTY = 10**6


def with_blocks(problem: TermProblem, *blocks: int) -> TermProblem:
    """The same term with so many blocks in each week."""
    rooms = (replace(room, blocks=most) for room, most in zip(problem.rooms, blocks, strict=True))
    return replace(problem, rooms=tuple(rooms))


def played(problem: TermProblem, tally: Tally, week: int) -> int:
    """How many exercises have a turn in a week: each takes a block at the least."""
    lines = zip(tally.first, tally.back, problem.groups, strict=True)
    return len({one.exercise for first, back, one in lines if first[week] + back[week]})


def test_one_new_combination_of_a_long_line_takes_a_whole_block() -> None:
    # By hand: two exercises with nine known combinations each meet one more in week 0, which has one block.
    # One of the two is met a week after its own, whatever share of a block ten combinations would leave it.
    lines = [replace(group(e, 1, 0, 0), met=9) for e in range(2)]
    problem = with_blocks(term((PLENTY,) * 3, *lines, span=9), 1, 1, 1)
    assert waiting_bound(problem) == pytest.approx(BEHIND)


@pytest.mark.parametrize("blocks", [(1, 1, 1), (2, 1, 1), (1, 0, 2), (0, 1, 1)], ids=str)
@pytest.mark.parametrize("seconds", [(200, 100, 200), (300, 300, 300)], ids=str)
def test_no_term_in_whole_blocks_is_below_the_bound(
    seconds: tuple[int, int, int], blocks: tuple[int, int, int]
) -> None:
    problem = with_blocks(term(seconds, group(0, 1, 1, 0), group(1, 1, 0, 0)), *blocks)
    possible = [
        tally
        for tally in every_tally(problem)
        if all(played(problem, tally, w) <= blocks[w] for w in range(3))
    ]
    assert waiting_bound(problem) <= min(cost_of(problem, tally) for tally in possible) + 1e-6


@pytest.mark.parametrize("blocks", [(1, 1, 1), (2, 1, 1), (1, 0, 2), (0, 1, 1)], ids=str)
def test_no_week_has_more_exercises_than_blocks(blocks: tuple[int, int, int]) -> None:
    lines = [group(e, 1, 1, 1) for e in range(4)]
    problem = with_blocks(term((PLENTY,) * 3, *lines), *blocks)
    tally = whole_blocks_weekly(problem)
    assert [played(problem, tally, w) <= blocks[w] for w in range(3)] == [True] * 3


def test_a_block_for_every_exercise_keeps_everything() -> None:
    problem = with_blocks(term((PLENTY,) * 3, group(0, 1, 0, 0), group(1, 1, 0, 0), span=9), 2, 0, 0)
    assert nothing_waits(problem)


def test_a_term_with_too_few_blocks_does_not_fit_though_fractions_of_blocks_would_do() -> None:
    lines = [replace(group(e, 1, 0, 0), met=9) for e in range(2)]
    problem = with_blocks(term((PLENTY,) * 3, *lines, span=9), 1, 1, 1)
    assert not fits(problem)


def test_an_exercise_without_a_block_in_its_week_is_left_out_whole() -> None:
    # By hand: of the two new ones in week 0 only one exercise has a block, so one combination stays out.
    lines = [replace(group(e, 1, 0, 0), met=9) for e in range(2)]
    problem = with_blocks(term((PLENTY,) * 3, *lines, span=9), 1, 1, 1)
    found = fewest_left_out(problem)
    assert found is not None
    assert found[:2] == (1, 1)


def test_what_leads_to_an_exercise_is_met_before_it_in_a_large_term_too() -> None:
    groups = (group(0, 0, 1, 0), group(1, 1, 0, 0))
    exercises = (exercise("first", 0), exercise("then", 1, after=(0,)))
    problem = TermProblem(tuple(map(room, (900,) * 3)), exercises, groups, (9, 9, 9))
    assert whole_blocks_weekly(problem).first[1] == (0, 1, 0)


def test_a_range_block_waits_for_a_day_that_allows_it() -> None:
    one = replace(exercise("high", 0), heavy=True)
    rooms = tuple(replace(room(900), heavy_blocks=most) for most in (0, 1, 1))
    problem = TermProblem(rooms, (one,), (group(0, 1, 0, 0),), (9, 9, 9))
    assert whole_blocks_weekly(problem).first == ((0, 1, 0),)


def test_an_even_term_gives_up_no_more() -> None:
    problem = term((400, 400, 400), group(0, 2, 1, 0), group(1, 1, 0, 0))
    even, plain = whole_blocks_weekly(problem, even=True), whole_blocks_weekly(problem)
    assert cost_of(problem, even) == cost_of(problem, plain)


def test_blocks_made_whole_are_the_same_every_time() -> None:
    problem = with_blocks(term((400,) * 3, group(0, 2, 1, 0), group(1, 1, 1, 1)), 1, 2, 1)
    assert whole_blocks_weekly(problem) == whole_blocks_weekly(problem)

"""The weeks of a term against every term there is: tiny ones, enumerated."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest

from planner.plan.solve.term import keeps_everything, least_cost_bound, solve_term
from planner.plan.solve.term_smaller import fewest_left_out
from planner.plan.term.problem import (
    BEHIND,
    BROKEN,
    Group,
    Tally,
    TermExercise,
    TermProblem,
    TermWeekRoom,
    cost_of,
    nothing_done,
)

WEEKS = 3


def room(seconds: int) -> TermWeekRoom:
    return TermWeekRoom(5, seconds, 10**6, 10**6, 10**6, 10**6, 30, 5)


def group(exercise: int, *arrivals: int, met: int = 0, waiting: tuple[int, ...] = (0, 0, 0)) -> Group:
    return Group(exercise, 100, 100, (1, 1, 1), arrivals, waiting, met, (True, True, True))


def exercise(name: str, *groups: int, after: tuple[int, ...] = ()) -> TermExercise:
    return TermExercise(name, False, groups, after, (0, 0, 0))


def term(seconds: tuple[int, ...], *groups: Group, span: int = 1) -> TermProblem:
    exercises = tuple(exercise(f"e{number}", number) for number in range(len(groups)))
    ends = tuple(week + span for week in range(WEEKS))
    return TermProblem(tuple(map(room, seconds)), exercises, groups, ends)


def every_tally(problem: TermProblem) -> list[Tally]:
    """Every way of spreading first turns and returns over the weeks that the rules allow."""
    lines = []
    for one in problem.groups:
        most = one.size
        lines.append(
            [
                (first, back)
                for first in product(range(most + 1), repeat=WEEKS)
                for back in product(range(most + 1), repeat=WEEKS)
                if allowed(one, first, back)
            ]
        )
    return [
        Tally(tuple(first for first, _ in chosen), tuple(back for _, back in chosen))
        for chosen in product(*lines)
        if all(
            sum(100 * (first[w] + back[w]) for first, back in chosen) <= problem.rooms[w].seconds
            for w in range(WEEKS)
        )
    ]


def allowed(one: Group, first: tuple[int, ...], back: tuple[int, ...]) -> bool:
    """Never met before it comes in, never back before it was met."""
    in_time = all(sum(first[: w + 1]) <= sum(one.arrivals[: w + 1]) for w in range(WEEKS))
    return in_time and all(back[w] <= one.met + sum(first[:w]) for w in range(WEEKS))


def test_a_first_turn_a_week_after_its_own_costs_a_thousand() -> None:
    problem = term((100, 100, 100), group(0, 1, 0, 0), span=9)
    assert cost_of(problem, Tally(((0, 1, 0),), ((0, 0, 0),))) == BEHIND == 1000


def test_a_wait_of_a_week_beyond_the_span_costs_five_hundred() -> None:
    problem = term((100, 100, 100), group(0, 1, 0, 0), span=1)
    # met in week 0 and back in week 2: the span ended in week 1; what was played in week 1 or 2 is not asked
    assert cost_of(problem, Tally(((1, 0, 0),), ((0, 0, 1),))) == BROKEN == 500


def test_what_was_met_before_and_is_not_back_in_time_costs_five_hundred_a_week() -> None:
    # wanted back by the end of week 1: missing at the end of weeks 1 and 2; back in week 2 it misses one
    problem = term((100, 100, 100), group(0, 0, 0, 0, met=1, waiting=(0, 1, 1)), span=9)
    costs = [cost_of(problem, Tally(((0, 0, 0),), (back,))) for back in ((0, 0, 0), (0, 0, 1), (0, 1, 0))]
    assert costs == [1000, 500, 0]


@pytest.mark.parametrize(
    "seconds", [(100, 100, 100), (200, 100, 100), (300, 200, 300), (0, 200, 200)], ids=str
)
def test_no_term_of_all_there_are_gives_up_less(seconds: tuple[int, ...]) -> None:
    problem = term(seconds, group(0, 1, 1, 0), group(1, 1, 0, 0))
    found = solve_term(problem)
    best = min(cost_of(problem, tally) for tally in every_tally(problem))
    assert cost_of(problem, found.tally) == best
    assert least_cost_bound(problem) <= best + 1e-6


def test_nothing_costs_less_than_its_bound() -> None:
    # items of 90 s in a week of 95: 1.0556 of 2 are met, 0.9444 x 1000 is given up in each of three weeks
    problem = term((95, 0, 0), replace(group(0, 2, 0, 0), seconds=90), span=9)
    found = solve_term(problem)
    assert (found.cost, found.bound, found.proven) == (2834, 2834, True)


def test_a_term_that_fits_gives_up_nothing() -> None:
    problem = term((200, 300, 300), group(0, 2, 0, 0))
    found = keeps_everything(problem)
    assert found is not None
    assert cost_of(problem, found) == 0


def test_where_fractions_cannot_keep_everything_no_term_is_found() -> None:
    problem = term((100, 100, 100), group(0, 2, 0, 0))
    assert least_cost_bound(problem) > 0
    assert keeps_everything(problem) is None


def test_an_exercise_waits_for_the_one_that_leads_to_it() -> None:
    groups = (group(0, 0, 1, 0), group(1, 1, 0, 0))
    exercises = (exercise("first", 0), exercise("then", 1, after=(0,)))
    problem = TermProblem(tuple(map(room, (900,) * 3)), exercises, groups, (9, 9, 9))
    assert solve_term(problem).tally.first[1][0] == 0


def test_an_exercise_does_not_wait_for_one_that_was_met_before_the_term() -> None:
    groups = (group(0, 0, 0, 0, met=1), group(1, 1, 0, 0))
    exercises = (exercise("first", 0), exercise("then", 1, after=(0,)))
    problem = TermProblem(tuple(map(room, (900,) * 3)), exercises, groups, (9, 9, 9))
    assert solve_term(problem).tally.first[1] == (1, 0, 0)


def test_what_was_met_before_comes_back_by_its_week() -> None:
    problem = term((100,) * 3, group(0, 0, 0, 0, met=2, waiting=(0, 1, 2)), span=9)
    back = solve_term(problem).tally.back[0]
    assert back[0] + back[1] >= 1
    assert sum(back) >= 2


def test_as_few_as_can_be_are_left_out() -> None:
    # Three arrive in a week that holds two, and none may wait: one is left out.
    problem = term((200, 900, 900), group(0, 3, 0, 0), span=9)
    assert fewest_left_out(problem) == (1, 1, (("e0", 1),))


def test_a_term_without_a_turn_gives_up_everything() -> None:
    problem = term((900,) * 3, group(0, 1, 0, 0), span=9)
    assert nothing_done(problem) == 3 * BEHIND  # behind at the end of each of three weeks


def test_the_same_term_comes_out_again() -> None:
    problem = term((300, 200, 300), group(0, 2, 1, 0), group(1, 1, 1, 1))
    assert solve_term(problem) == solve_term(problem)


def test_blocks_that_are_too_few_stand_in_the_bound_though_it_takes_fractions() -> None:
    problem = term((10**6,) * 3, group(0, 1, 0, 0), group(1, 1, 0, 0), span=9)
    one_block = tuple(replace(each, blocks=1) for each in problem.rooms)
    # by hand: one block in week 0 holds one of the two exercises, the other is met a week after its own
    assert least_cost_bound(replace(problem, rooms=one_block)) == pytest.approx(BEHIND)


def test_what_is_left_out_is_counted_in_whole_combinations() -> None:
    problem = term((150, 150, 150), group(0, 3, 0, 0), span=9)
    # by hand: 150 s of week 0 hold one item of 100 s and half a one, so two of three are left out, one and a
    # half in fractions
    found = fewest_left_out(problem)
    assert found is not None
    assert found[:2] == (2, 2)


def test_keys_and_positions_of_what_is_left_out_ask_for_nothing() -> None:
    # Nothing was met before, so that leaving out all that arrives always leaves a term that fits: by hand.
    asks = replace(exercise("e0", 0), pair_turns=(0, 3, 3))
    problem = TermProblem(tuple(map(room, (50,) * 3)), (asks,), (group(0, 3, 0, 0),), (9, 9, 9))
    assert fewest_left_out(problem) == (3, 3, (("e0", 3),))

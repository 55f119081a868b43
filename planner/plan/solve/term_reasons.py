"""What keeps a term from fitting: rules are taken away together, then given back while it still fits.

What cannot be given back is one smallest set of rules that stand in the way together. Everything is asked of
linear programs: what they cannot do with fractions of turns no plan of whole turns can.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from planner.plan.solve.term import fits
from planner.plan.term.problem import TermProblem, TermWeekRoom

PLENTY = 10**8
"""Seconds, load and blocks that no week of a term uses up."""

Relaxed = Callable[[TermProblem], TermProblem]


def _rooms(problem: TermProblem, change: Callable[[TermWeekRoom], TermWeekRoom]) -> TermProblem:
    rooms = (change(room) if room.practice_days else room for room in problem.rooms)
    return replace(problem, rooms=tuple(rooms))


def _minutes(problem: TermProblem) -> TermProblem:
    return _rooms(problem, lambda room: replace(room, seconds=PLENTY, new_seconds=PLENTY))


def _load(problem: TermProblem) -> TermProblem:
    return _rooms(problem, lambda room: replace(room, load=PLENTY))


def _blocks(problem: TermProblem) -> TermProblem:
    return _rooms(
        problem,
        lambda room: replace(room, blocks=PLENTY, block_seconds=PLENTY),
    )


def _new_days(problem: TermProblem) -> TermProblem:
    return _rooms(problem, lambda room: replace(room, new_seconds=max(room.new_seconds, room.seconds)))


def _range_days(problem: TermProblem) -> TermProblem:
    return _rooms(problem, lambda room: replace(room, heavy_blocks=PLENTY, heavy_seconds=PLENTY))


def without_pairs(problem: TermProblem) -> TermProblem:
    """The same term without the wish for every key and position within two weeks."""
    exercises = (replace(one, pair_turns=(0,) * len(one.pair_turns)) for one in problem.exercises)
    return replace(problem, exercises=tuple(exercises))


def _order(problem: TermProblem) -> TermProblem:
    return replace(problem, exercises=tuple(replace(one, after=()) for one in problem.exercises))


RULES: tuple[tuple[str, Relaxed], ...] = (
    ("the order in which exercises lead to each other", _order),
    ("the days that allow range work", _range_days),
    ("the days that allow something new", _new_days),
    ("the load that a day allows", _load),
    ("the minutes", _minutes),
    ("the number and length of blocks that a day holds", _blocks),
    ("that every key and position of an exercise is wanted within two weeks", without_pairs),
)
"""What a teacher can change, in words; what comes first is given back first, and so blamed last."""

NOTHING_ELSE = "days on which what is to be met may not be played"


def in_the_way(problem: TermProblem) -> tuple[str, ...]:
    """The rules that together keep a term from fitting; () where it fits with fractions of turns."""
    if fits(problem):
        return ()
    taken = list(RULES)
    if not fits(_without(problem, taken)):
        return (NOTHING_ELSE,)
    for rule in RULES:
        rest = [one for one in taken if one != rule]
        if fits(_without(problem, rest)):
            taken = rest
    return tuple(words for words, _ in reversed(taken))


def _without(problem: TermProblem, rules: list[tuple[str, Relaxed]]) -> TermProblem:
    for _, relaxed in rules:
        problem = relaxed(problem)
    return problem

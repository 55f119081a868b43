"""The term as a mixed-integer program: its variables and its rules, each one function.

A rule's docstring is the sentence a teacher would say. Turns are first turns and returns of a line in a week,
blocks those of an exercise in a week; what is given up has a price.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from planner.plan.solve.highs import TINY, answer_of, limit, linear_program, solver_of
from planner.plan.term.problem import BEHIND, BROKEN, PAIR, PAIR_WEEKS, TermProblem

NODES = 20
"""Of the tree of a search over whole numbers."""

Terms = list[tuple[int, float]]


@dataclass(slots=True)
class TermModel:
    """Variables with bounds and cost, rows, and where each turn stands: by group (or exercise) and week."""

    low: list[float] = field(default_factory=list)
    high: list[float] = field(default_factory=list)
    cost: list[float] = field(default_factory=list)
    whole: list[bool] = field(default_factory=list)
    rows: list[tuple[Terms, float, float]] = field(default_factory=list)
    first: dict[tuple[int, int], int] = field(default_factory=dict)
    back: dict[tuple[int, int], int] = field(default_factory=dict)
    block: dict[tuple[int, int], int] = field(default_factory=dict)
    asks: dict[int, tuple[str, int, int]] = field(default_factory=dict)
    """Rows that ask for turns of a group: by the row, "first" or "back", the group, the week."""
    pairs: dict[int, tuple[int, int]] = field(default_factory=dict)
    """Rows that ask for turns of an exercise for its keys and positions: by the row, exercise and week."""

    def variable(self, high: float, *, cost: float = 0, whole: bool = False) -> int:
        """A new variable from 0 to `high`."""
        self.low.append(0)
        self.high.append(high)
        self.cost.append(cost)
        self.whole.append(whole)
        return len(self.low) - 1

    def row(self, terms: Terms, *, low: float = -math.inf, high: float = math.inf) -> None:
        """A row over these terms; one without terms is left out."""
        if terms:
            self.rows.append((terms, low, high))

    def solved(
        self, *, whole: bool, gap: float = 0.0, share: float = 0.0
    ) -> tuple[list[float], float] | None:
        """Values and bound, with blocks as `whole` numbers or fractions; None without an answer.

        `gap` and `share` (of the cost) are how far from the best a search over whole numbers may end.
        """
        program = linear_program(self.cost, self.low, self.high, self.rows, self.whole if whole else None)
        solver = solver_of(program)
        limit(solver, gap=max(TINY, gap), share=share, nodes=NODES)
        return answer_of(solver, whole=whole)


def turns(model: TermModel, problem: TermProblem) -> None:
    """A combination is first met in its own week or later, and comes back when it was met before."""
    for g, group in enumerate(problem.groups):
        for w in range(len(problem.rooms)):
            open_ = group.allowed[w] and problem.rooms[w].practice_days > 0
            model.first[g, w] = model.variable(sum(group.arrivals[: w + 1]) if open_ else 0)
            model.back[g, w] = model.variable(group.size if open_ else 0)
        for w in range(len(problem.rooms)):
            firsts = [(model.first[g, v], 1.0) for v in range(w + 1)]
            arrived = sum(group.arrivals[: w + 1])
            behind = model.variable(arrived, cost=BEHIND)
            model.asks[len(model.rows)] = ("first", g, w)
            model.row([*firsts, (behind, 1.0)], low=arrived, high=arrived)
            before = [(variable, -1.0) for variable, _ in firsts[:-1]]
            model.row([(model.back[g, w], 1.0), *before], high=group.met)


def spans(model: TermModel, problem: TermProblem) -> None:
    """What was met comes back within its span."""
    weeks = len(problem.rooms)
    for g, group in enumerate(problem.groups):
        for w in range(weeks):
            if group.waiting[w]:
                backs = [(model.back[g, v], 1.0) for v in range(w + 1)]
                short = model.variable(group.waiting[w], cost=BROKEN)
                model.asks[len(model.rows)] = ("back", g, w)
                model.row([*backs, (short, 1.0)], low=group.waiting[w])
            end = problem.span_end[w]
            if end < weeks and group.size:
                backs = [(model.back[g, v], 1.0) for v in range(w + 1, end + 1)]
                met = [(model.first[g, v], -1.0) for v in range(w + 1)]
                short = model.variable(group.size, cost=BROKEN)
                model.asks[len(model.rows)] = ("back", g, w)
                model.row([*backs, *met, (short, 1.0)], low=group.met)


def minutes_and_load(model: TermModel, problem: TermProblem) -> None:
    """A week holds no more than its minutes and its load carry, and nothing new close to a concert."""
    for w, room in enumerate(problem.rooms):
        for attribute, most in (("seconds", room.seconds), ("load", room.load)):
            model.row(list(used_by(model, problem, w, attribute)), high=most)
        model.row(list(used_by(model, problem, w, "seconds", back=False)), high=room.new_seconds)


def used_by(
    model: TermModel,
    problem: TermProblem,
    w: int,
    attribute: str,
    groups: tuple[int, ...] | None = None,
    *,
    back: bool = True,
) -> Iterator[tuple[int, float]]:
    """The terms of "seconds" or "load" that turns take in week `w`: of all groups or some, returns or not."""
    for g in range(len(problem.groups)) if groups is None else groups:
        group = problem.groups[g]
        each = getattr(group, attribute)
        yield model.first[g, w], each * group.goes[w]
        if back:
            yield model.back[g, w], each


def blocks(model: TermModel, problem: TermProblem) -> None:
    """A week has at most so many blocks, no block is too long, and range rests a day between."""
    for e, exercise in enumerate(problem.exercises):
        for w, room in enumerate(problem.rooms):
            most = room.heavy_blocks if exercise.heavy else room.practice_days
            model.block[e, w] = block = model.variable(most, whole=True)
            used = list(used_by(model, problem, w, "seconds", exercise.groups))
            model.row([*used, (block, -float(room.block_seconds))], high=0)
    for w, room in enumerate(problem.rooms):
        model.row([(model.block[e, w], 1.0) for e in range(len(problem.exercises))], high=room.blocks)
    heavy = tuple(g for exercise in problem.exercises if exercise.heavy for g in exercise.groups)
    for w, room in enumerate(problem.rooms):
        model.row(list(used_by(model, problem, w, "seconds", heavy)), high=room.heavy_seconds)


def _one_turn_a_block(model: TermModel, problem: TermProblem) -> None:
    """A combination has one turn in a block at the most: so many turns of a line as it has combinations."""
    for (e, w), block in model.block.items():
        for g in problem.exercises[e].groups:
            group = problem.groups[g]
            known = group.met + sum(group.arrivals[: w + 1])
            if known:
                turns_of = [(model.first[g, w], 1.0), (model.back[g, w], 1.0)]
                model.row([*turns_of, (block, -float(known))], high=0)


def order_of_the_curriculum(model: TermModel, problem: TermProblem) -> None:
    """An exercise comes only after the exercises that lead to it have been met."""
    for exercise in problem.exercises:
        size = sum(problem.groups[g].size for g in exercise.groups)
        if not size or any(problem.groups[g].met for g in exercise.groups):
            continue
        for other in exercise.after:
            before = problem.exercises[other].groups
            if any(problem.groups[g].met for g in before) or not before:
                continue
            for w in range(len(problem.rooms)):
                mine = [(model.first[g, v], 1.0) for g in exercise.groups for v in range(w + 1)]
                theirs = [(model.first[g, v], -float(size)) for g in before for v in range(w + 1)]
                model.row([*mine, *theirs], high=0)


def pairs(model: TermModel, problem: TermProblem) -> None:
    """An exercise has as many turns within two weeks as its keys and positions ask for."""
    for e, exercise in enumerate(problem.exercises):
        for w, wanted in enumerate(exercise.pair_turns):
            if wanted:
                inside = [
                    (turn[g, v], 1.0)
                    for g in exercise.groups
                    for v in range(w, min(w + PAIR_WEEKS, len(problem.rooms)))
                    for turn in (model.first, model.back)
                ]
                short = model.variable(wanted, cost=PAIR)
                model.pairs[len(model.rows)] = (e, w)
                model.row([*inside, (short, 1.0)], low=wanted)


RULES: tuple[Callable[[TermModel, TermProblem], None], ...] = (
    turns,
    spans,
    minutes_and_load,
    blocks,
    order_of_the_curriculum,
    pairs,
)


def written(problem: TermProblem, *, tight: bool = True) -> TermModel:
    """Every rule as rows; `tight` adds what whole blocks imply, for where they may be fractions."""
    model = TermModel()
    for rule in RULES:
        rule(model, problem)
    if tight:
        _one_turn_a_block(model, problem)
    return model


def nothing_given_up(model: TermModel) -> None:
    """No turn behind its week, no span broken, no pair missed."""
    for variable, cost in enumerate(model.cost):
        model.high[variable] = 0 if cost else model.high[variable]

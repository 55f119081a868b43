"""The term as a mixed-integer program: whole turns a week for every line of combinations.

Two solves: first what has to be given up (first turns after their week, broken spans, pairs not met), then
the evenest term that gives up no more. HiGHS on one thread, ended by its gap or its nodes and never by the
clock, so that the same term comes out again. Each rule is one function; its docstring is the sentence a
teacher would say.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import accumulate

import highspy
import numpy as np
from highspy._core import _Highs

from planner.plan.solve.term_waiting import nothing_waits, waiting_bound, whole_blocks_weekly
from planner.plan.term.problem import (
    BEHIND,
    BROKEN,
    PAIR,
    PAIR_WEEKS,
    Tally,
    TermProblem,
    cost_of,
    nothing_done,
)

GAP = 0.003
"""Of what a term without a turn would give up: finer takes seconds and moves less than a turn."""

EVEN_GAP = 0.03
ROUNDS_UP = 6
"""Linear programs in which what is left out becomes whole; the last takes all that is still a fraction."""

NODES = 20
WHOLE_BLOCKS_UP_TO = 400
"""Exercises times weeks up to which the blocks of a week are kept whole."""

TINY = 1e-6
SHARE = 1000
BLOCK = 1.0
"""What a block counts beside a thousandth of the fullest week: few blocks leave room for the days."""

LEFT_OUT = 1000
"""What a combination left out counts; the week it comes in decides between equals."""

Terms = list[tuple[int, float]]


@dataclass(slots=True)
class _Model:
    """Variables with bounds and cost, rows, and where each turn stands."""

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
        self.low.append(0)
        self.high.append(high)
        self.cost.append(cost)
        self.whole.append(whole)
        return len(self.low) - 1

    def row(self, terms: Terms, *, low: float = -math.inf, high: float = math.inf) -> None:
        if terms:
            self.rows.append((terms, low, high))


@dataclass(frozen=True, slots=True)
class SolvedTerm:
    """The turns of every line in every week, what they cost, and the proven bound on that cost."""

    tally: Tally
    cost: int
    bound: int
    proven: bool


def least_cost_bound(problem: TermProblem) -> float:
    """The linear bound on what the term has to give up: 0 where fractions could keep everything."""
    return waiting_bound(problem)


def solve_term(problem: TermProblem, kept: Tally | None = None) -> SolvedTerm:
    """The term that gives up least, and among those an even one; `kept` where one is known."""
    kept = kept or keeps_everything(problem)
    if kept is not None:
        cost = cost_of(problem, kept)
        return SolvedTerm(kept, cost, 0, cost == 0)
    if _large(problem):
        tally = solve_again(problem)
        cost, floor = cost_of(problem, tally), math.ceil(least_cost_bound(problem) - TINY)
        return SolvedTerm(tally, cost, floor, cost <= floor)
    model = _written(problem, tight=False)
    solved = _run(model, whole=True, gap=GAP * nothing_done(problem))
    if solved is None:
        raise AssertionError("a term without any turn is always a solution")
    values, bound = solved
    given_up = sum(cost * value for cost, value in zip(model.cost, values, strict=True))
    even = _evened(model, problem, given_up)
    best = values if even is None else even
    bound = max(0, math.ceil(bound - TINY))
    cost = round(given_up)
    return SolvedTerm(_tally(problem, model, best), cost, bound, cost <= bound)


def solve_again(problem: TermProblem, *, even: bool = False) -> Tally:
    """The same in moments, for a large term and for the rest of a term after a cut: blocks week by week."""
    return whole_blocks_weekly(problem, even=even)


def _large(problem: TermProblem) -> bool:
    """Whether whole blocks would take too long: then fractions stand in, rounded as they add up."""
    return len(problem.exercises) * len(problem.rooms) > WHOLE_BLOCKS_UP_TO


def keeps_everything(problem: TermProblem) -> Tally | None:
    """An even term that gives up nothing, a large one next to nothing where fractions could keep everything.

    None where there is none, or none was found in the nodes given.
    """
    if least_cost_bound(problem) > 1 - TINY:
        return None
    if _large(problem):
        return solve_again(problem, even=True)
    model = _written(problem, tight=False)
    values = _evened(model, problem, 0.0)
    return None if values is None else _tally(problem, model, values)


def _written(problem: TermProblem, *, tight: bool = True) -> _Model:
    """Every rule as rows; `tight` adds what whole blocks imply, for where they may be fractions."""
    model = _Model()
    for rule in RULES:
        rule(model, problem)
    if tight:
        _one_turn_a_block(model, problem)
    return model


def turns(model: _Model, problem: TermProblem) -> None:
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


def spans(model: _Model, problem: TermProblem) -> None:
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


def minutes_and_load(model: _Model, problem: TermProblem) -> None:
    """A week holds no more than its minutes and its load carry, and nothing new close to a concert."""
    for w, room in enumerate(problem.rooms):
        for attribute, most in (("seconds", room.seconds), ("load", room.load)):
            model.row(list(_used(model, problem, w, attribute)), high=most)
        model.row(list(_used(model, problem, w, "seconds", back=False)), high=room.new_seconds)


def _used(
    model: _Model,
    problem: TermProblem,
    w: int,
    attribute: str,
    groups: tuple[int, ...] | None = None,
    *,
    back: bool = True,
) -> Iterator[tuple[int, float]]:
    for g in range(len(problem.groups)) if groups is None else groups:
        group = problem.groups[g]
        each = getattr(group, attribute)
        yield model.first[g, w], each * group.goes[w]
        if back:
            yield model.back[g, w], each


def blocks(model: _Model, problem: TermProblem) -> None:
    """A week has at most so many blocks, no block is too long, and range rests a day between."""
    for e, exercise in enumerate(problem.exercises):
        for w, room in enumerate(problem.rooms):
            most = room.heavy_blocks if exercise.heavy else room.practice_days
            model.block[e, w] = block = model.variable(most, whole=True)
            used = list(_used(model, problem, w, "seconds", exercise.groups))
            model.row([*used, (block, -float(room.block_seconds))], high=0)
    for w, room in enumerate(problem.rooms):
        model.row([(model.block[e, w], 1.0) for e in range(len(problem.exercises))], high=room.blocks)
    heavy = tuple(g for exercise in problem.exercises if exercise.heavy for g in exercise.groups)
    for w, room in enumerate(problem.rooms):
        model.row(list(_used(model, problem, w, "seconds", heavy)), high=room.heavy_seconds)


def _one_turn_a_block(model: _Model, problem: TermProblem) -> None:
    """A combination has one turn in a block at the most: so many turns of a line as it has combinations."""
    for (e, w), block in model.block.items():
        for g in problem.exercises[e].groups:
            group = problem.groups[g]
            known = group.met + sum(group.arrivals[: w + 1])
            if known:
                turns_of = [(model.first[g, w], 1.0), (model.back[g, w], 1.0)]
                model.row([*turns_of, (block, -float(known))], high=0)


def order_of_the_curriculum(model: _Model, problem: TermProblem) -> None:
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


def pairs(model: _Model, problem: TermProblem) -> None:
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


RULES: tuple[Callable[[_Model, TermProblem], None], ...] = (
    turns,
    spans,
    minutes_and_load,
    blocks,
    order_of_the_curriculum,
    pairs,
)


def _evened(model: _Model, problem: TermProblem, given_up: float) -> list[float] | None:
    """The same cost with the fullest week as empty as may be; None where HiGHS finds nothing in time."""
    if given_up < TINY:
        _nothing_given_up(model)
    else:
        model.row([(v, cost) for v, cost in enumerate(model.cost) if cost], high=given_up + TINY)
    _even(model, problem)
    solved = _run(model, whole=True, share=EVEN_GAP)
    return solved[0] if solved else None


def _even(model: _Model, problem: TermProblem) -> None:
    """What an even term with few blocks costs, in the place of what is given up."""
    fullest = model.variable(SHARE, cost=0)
    for w, room in enumerate(problem.rooms):
        if room.seconds > 0:
            used = list(_used(model, problem, w, "seconds"))
            model.row([*((v, each * SHARE / room.seconds) for v, each in used), (fullest, -1.0)], high=0)
    # A turn costs a little, so that nothing is promised that nobody asked for.
    model.cost = [0.0] * len(model.low)
    model.cost[fullest] = 1.0
    for variable in model.back.values():
        model.cost[variable] = 0.01
    for variable in model.block.values():
        model.cost[variable] = BLOCK


def _tally(problem: TermProblem, model: _Model, values: list[float]) -> Tally:
    """Whole turns: every week brings the sum so far to its nearest whole number."""

    def taken(turn: dict[tuple[int, int], int], g: int) -> tuple[int, ...]:
        shares = [values[turn[g, w]] for w in range(len(problem.rooms))]
        sums = [math.floor(total + 0.5) for total in accumulate(shares)]
        return tuple(now - before for now, before in zip(sums, [0, *sums], strict=False))

    groups = range(len(problem.groups))
    return Tally(tuple(taken(model.first, g) for g in groups), tuple(taken(model.back, g) for g in groups))


def _run(
    model: _Model, *, whole: bool, gap: float = 0.0, share: float = 0.0
) -> tuple[list[float], float] | None:
    """Values and bound; None where HiGHS ends without an answer."""
    solver = _Highs()  # the public class prints a banner before it can be told not to
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("threads", 1)
    solver.setOptionValue("mip_abs_gap", max(TINY, gap))
    solver.setOptionValue("mip_rel_gap", share)
    solver.setOptionValue("mip_max_nodes", NODES)
    solver.passModel(_program(model, whole=whole))
    solver.run()
    solution, info = solver.getSolution(), solver.getInfo()
    if not solution.value_valid:
        return None
    bound = info.mip_dual_bound if whole else info.objective_function_value
    return list(solution.col_value), float(bound)


def _program(model: _Model, *, whole: bool) -> highspy.HighsLp:
    program = highspy.HighsLp()
    program.num_col_, program.num_row_ = len(model.low), len(model.rows)
    program.col_cost_ = np.array(model.cost)
    program.col_lower_, program.col_upper_ = np.array(model.low), np.array(model.high, dtype=float)
    program.row_lower_ = np.array([low for _, low, _ in model.rows], dtype=float)
    program.row_upper_ = np.array([high for _, _, high in model.rows], dtype=float)
    matrix = program.a_matrix_
    matrix.format_ = highspy.MatrixFormat.kRowwise
    matrix.start_ = np.cumsum([0] + [len(terms) for terms, _, _ in model.rows])
    matrix.index_ = np.array([v for terms, _, _ in model.rows for v, _ in terms])
    matrix.value_ = np.array([each for terms, _, _ in model.rows for _, each in terms], dtype=float)
    if whole:
        kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
        program.integrality_ = [kinds[each] for each in model.whole]
    return program


def fits(problem: TermProblem) -> bool:
    """Whether the weeks, with fractions of turns, can keep everything."""
    return nothing_waits(problem)


def _nothing_given_up(model: _Model) -> None:
    """No turn behind its week, no span broken, no pair missed."""
    for variable, cost in enumerate(model.cost):
        model.high[variable] = 0 if cost else model.high[variable]


LeftOut = tuple[int, int, tuple[tuple[str, int], ...]]


def fewest_left_out(problem: TermProblem) -> LeftOut | None:
    """How few combinations must be left out for the rest to fit, the proven least, and of which exercises.

    None where that does not help. What comes in last is left out first.
    """
    model = _written(problem)
    _nothing_given_up(model)
    out = _left_out(model, problem)
    solved = _run(model, whole=False)
    if solved is None:
        return None
    values, bound = _made_whole(model, list(out), solved[0]), solved[1]
    counts = Counter({exercise.id: 0 for exercise in problem.exercises})
    for variable, g in out.items():
        counts[problem.exercises[problem.groups[g].exercise].id] += round(values[variable])
    where = tuple((name, count) for name, count in counts.most_common() if count)
    return counts.total(), math.ceil(bound / (LEFT_OUT + len(problem.rooms) + 1) - TINY), where


def _made_whole(model: _Model, variables: list[int], values: list[float]) -> list[float]:
    """Whole numbers of them, by linear programs: those nearest to the next whole number go up to it first.

    Leaving out more never makes a row harder to keep, so that every one of these programs has an answer.
    """
    for number in range(ROUNDS_UP + 1):
        parts = [v for v in variables if TINY < values[v] % 1 < 1 - TINY]
        parts.sort(key=lambda v: (-(values[v] % 1), v))
        up = parts if number == ROUNDS_UP else parts[: math.ceil(len(parts) / 3)]
        for variable in up:
            model.low[variable] = math.ceil(values[variable])
        solved = _run(model, whole=False) if up else None
        values = solved[0] if solved else values
    return values


def _left_out(model: _Model, problem: TermProblem) -> dict[int, int]:
    """A variable for everything that may be left out, in the rows that ask for it."""
    weeks = len(problem.rooms)
    out: dict[int, int] = {}
    by_week: list[tuple[list[int | None], int | None]] = []
    for g, group in enumerate(problem.groups):
        new = [
            model.variable(count, cost=LEFT_OUT + weeks - w, whole=True) if count else None
            for w, count in enumerate(group.arrivals)
        ]
        old = model.variable(group.met, cost=LEFT_OUT + weeks + 1, whole=True) if group.met else None
        out |= {variable: g for variable in (*new, old) if variable is not None}
        for w, variable in enumerate(new):
            if variable is not None:  # in the week in which it comes in it has a block, or all of it is out
                count = float(group.arrivals[w])
                model.row([(variable, 1.0), (model.block[group.exercise, w], count)], low=count)
        for row, (kind, owner, w) in model.asks.items():
            if owner == g:
                helping = new[: w + 1] if kind == "first" else [old]
                terms, low, high = model.rows[row]
                more = [(variable, 1.0) for variable in helping if variable is not None]
                model.rows[row] = ([*terms, *more], low, high)
        by_week.append((new, old))
    _pairs_ask_less(model, problem, by_week)
    return out


def _pairs_ask_less(
    model: _Model, problem: TermProblem, out: Sequence[tuple[list[int | None], int | None]]
) -> None:
    """Keys and positions of an exercise ask for as much less as is left out of it, in proportion."""
    for row, (e, w) in model.pairs.items():
        exercise = problem.exercises[e]
        groups = [problem.groups[g] for g in exercise.groups]
        inside = sum(group.met + sum(group.arrivals[:w]) for group in groups)
        helping = [v for g in exercise.groups for v in (*out[g][0][:w], out[g][1]) if v is not None]
        terms, low, high = model.rows[row]
        share = exercise.pair_turns[w] / max(1, inside)
        model.rows[row] = ([*terms, *((v, share) for v in helping)], low, high)

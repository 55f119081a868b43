"""A term as fractions that know what a week without a block leaves waiting, and whole blocks week by week.

A combination that comes in in week u is not met by week w where no block of its exercise stands in the weeks
u to w. Written down for every u and w (as lot sizing does for what waits; from memory: Pochet and
Wolsey, Production Planning by Mixed Integer Programming, 2006) this makes fractions of blocks nearly as dear
as whole ones: the bound rises, and few blocks stay fractions. Those become whole one week after the other,
each time from the last basis. HiGHS on one thread, never ended by the clock.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import accumulate

import highspy
import numpy as np
from highspy._core import _Highs

from planner.plan.solve.term_sheet import Sheet, Turn, solver_of
from planner.plan.term.problem import BEHIND, BROKEN, PAIR, PAIR_WEEKS, Group, Tally, TermProblem

TINY = 1e-6
SHARE = 1000
LIGHT_BLOCK = 0.02
"""What a block costs beside what is given up: few blocks leave room for the days."""

LIGHT_TURN = 0.0002
"""What a turn costs, so that nothing is promised that nobody asked for."""

LIGHT_FULLEST = 0.02
"""What a thousandth of the fullest week costs."""

REMEMBERED = 16
"""Bounds kept at hand: the search for the span asks for some of them again."""


@lru_cache(maxsize=REMEMBERED)
def waiting_bound(problem: TermProblem) -> float:
    """The least that any plan of these weeks gives up, by fractions of turns and blocks."""
    solver = solver_of(_sheet(problem))
    _solve(solver)
    return max(0.0, float(solver.getInfo().objective_function_value))


def nothing_waits(problem: TermProblem) -> bool:
    """Whether fractions of turns and blocks could keep everything: any answer will do, which is quick."""
    sheet = _sheet(problem, waiting=False)
    for group in problem.groups:
        for w, new in enumerate(group.arrivals):
            if new:  # nothing waits: it has its block in the week in which it comes in
                block = sheet.block[group.exercise, w]
                sheet.low[block] = 1.0
                if sheet.high[block] < 1:
                    return False
    sheet.high = [0.0 if cost else high for high, cost in zip(sheet.high, sheet.cost, strict=True)]
    sheet.cost = [0.0] * len(sheet.cost)
    solver = solver_of(sheet)
    solver.run()
    return bool(solver.getModelStatus() == highspy.HighsModelStatus.kOptimal)


def whole_blocks_weekly(problem: TermProblem, *, even: bool = False) -> Tally:
    """A term whose blocks are whole and whose turns stand in them, giving up little more than the bound.

    `even` makes the fullest week as empty as may be beside that; it takes about three times the work.
    """
    sheet = _sheet(problem)
    _light(sheet)
    if even:
        _even(sheet, problem)
    solver = solver_of(sheet)
    _solve(solver)
    for w in range(len(problem.rooms)):
        _make_whole(solver, sheet, problem, w)
    return _tally(sheet, problem, list(solver.getSolution().col_value))


def _sheet(problem: TermProblem, *, waiting: bool = True) -> Sheet:
    """Every rule of the term; without `waiting` a week without a block leaves fractions of it waiting."""
    sheet = Sheet()
    _blocks(sheet, problem)
    for g in range(len(problem.groups)):
        _turns(sheet, problem, g)
        _spans(sheet, problem, g)
    for e in range(len(problem.exercises)):
        if waiting:
            _waits_for_a_block(sheet, problem, e)
        _inside_blocks(sheet, problem, e)
        _pairs(sheet, problem, e)
        _order(sheet, problem, e)
    _rooms(sheet, problem)
    return sheet


def _blocks(sheet: Sheet, problem: TermProblem) -> None:
    """One block of an exercise a day, as many as the days hold, of range with a day between."""
    count = range(len(problem.exercises))
    heavy = [e for e in count if problem.exercises[e].heavy]
    for w, room in enumerate(problem.rooms):
        for e in count:
            most = room.heavy_blocks if problem.exercises[e].heavy else room.practice_days
            sheet.block[e, w] = sheet.column(most)
        sheet.at_most([sheet.block[e, w] for e in count], room.blocks)
        sheet.at_most([sheet.block[e, w] for e in heavy], room.heavy_blocks)


def _turns(sheet: Sheet, problem: TermProblem, g: int) -> None:
    """What has come in is met or goes on waiting; back comes what was met before; one turn in a block."""
    group = problem.groups[g]
    arrived = list(accumulate(group.arrivals))
    for w, room in enumerate(problem.rooms):
        open_ = group.allowed[w] and room.practice_days > 0
        first = sheet.first[g, w] = sheet.column(arrived[w] if open_ else 0)
        back = sheet.back[g, w] = sheet.column(group.size if open_ else 0)
        behind = sheet.behind[g, w] = sheet.column(arrived[w], BEHIND)
        before = [sheet.behind[g, w - 1]] if w else []
        new = group.arrivals[w]
        sheet.row([first, behind, *before], [1.0, 1.0, *(-1.0 for _ in before)], low=new, high=new)
        sheet.at_most([back, *before], group.met + (arrived[w - 1] if w else 0))
        known = group.met + arrived[w]
        if known and open_:
            sheet.row([first, back, sheet.block[group.exercise, w]], [1.0, 1.0, -float(known)], high=0)


def _spans(sheet: Sheet, problem: TermProblem, g: int) -> None:
    """What was met comes back within its span."""
    group, weeks = problem.groups[g], len(problem.rooms)
    arrived = list(accumulate(group.arrivals))
    for w in range(weeks):
        if group.waiting[w]:
            short = sheet.column(group.waiting[w], BROKEN)
            sheet.at_least([*(sheet.back[g, v] for v in range(w + 1)), short], group.waiting[w])
        end = problem.span_end[w]
        known = group.met + arrived[w]
        if end < weeks and known:
            short = sheet.column(known, BROKEN)
            backs = [sheet.back[g, v] for v in range(w + 1, end + 1)]
            sheet.at_least([*backs, sheet.behind[g, w], short], known)


def _waits_for_a_block(sheet: Sheet, problem: TermProblem, e: int) -> None:
    """Without a block of its exercise from its own week on, a combination goes on waiting."""
    exercise, weeks = problem.exercises[e], len(problem.rooms)
    groups = [(g, problem.groups[g]) for g in exercise.groups]
    comes_in = [w for w in range(weeks) if any(group.arrivals[w] for _, group in groups)]
    for w in range(weeks):
        none = {u: sheet.column(1.0) for u in comes_in if u <= w}
        for u, column in none.items():
            sheet.at_least([column, *(sheet.block[e, v] for v in range(u, w + 1))], 1.0)
        for g, group in groups:
            own = [u for u in none if group.arrivals[u]]
            if own:
                values = [-float(group.arrivals[u]) for u in own]
                sheet.row([sheet.behind[g, w], *(none[u] for u in own)], [1.0, *values], low=0)


def _inside_blocks(sheet: Sheet, problem: TermProblem, e: int) -> None:
    """No block is longer than it may be, and it holds whole items."""
    exercise = problem.exercises[e]
    shortest = max(1, min(problem.groups[g].seconds for g in exercise.groups))
    for w, room in enumerate(problem.rooms):
        block = sheet.block[e, w]
        columns, values = _used(sheet, problem, exercise.groups, w, "seconds")
        sheet.row([*columns, block], [*values, -float(room.block_seconds)], high=0)
        items = room.block_seconds // shortest
        sheet.row([*columns, block], [*(1.0 for _ in columns), -float(items)], high=0)


def _used(
    sheet: Sheet, problem: TermProblem, groups: Iterable[int], w: int, attribute: str
) -> tuple[list[int], list[float]]:
    """The turns of a week with what each takes: first turns in as many goes as the week gives them."""
    columns: list[int] = []
    values: list[float] = []
    for g in groups:
        group: Group = problem.groups[g]
        each = float(getattr(group, attribute))
        columns += sheet.first[g, w], sheet.back[g, w]
        values += each * group.goes[w], each
    return columns, values


def _pairs(sheet: Sheet, problem: TermProblem, e: int) -> None:
    """An exercise has as many turns within two weeks as its keys and positions ask for."""
    exercise, weeks = problem.exercises[e], len(problem.rooms)
    for w, wanted in enumerate(exercise.pair_turns):
        if wanted:
            inside = range(w, min(w + PAIR_WEEKS, weeks))
            places = [(g, v) for g in exercise.groups for v in inside]
            turns = [turn[place] for place in places for turn in (sheet.first, sheet.back)]
            sheet.at_least([*turns, sheet.column(wanted, PAIR)], wanted)


def _order(sheet: Sheet, problem: TermProblem, e: int) -> None:
    """An exercise comes only after the exercises that lead to it have been met."""
    exercise = problem.exercises[e]
    size = sum(problem.groups[g].size for g in exercise.groups)
    if not size or any(problem.groups[g].met for g in exercise.groups):
        return
    for other in exercise.after:
        before = problem.exercises[other].groups
        if not before or any(problem.groups[g].met for g in before):
            continue
        for w in range(len(problem.rooms)):
            mine = [sheet.first[g, v] for g in exercise.groups for v in range(w + 1)]
            theirs = [sheet.first[g, v] for g in before for v in range(w + 1)]
            sheet.row([*mine, *theirs], [1.0] * len(mine) + [-float(size)] * len(theirs), high=0)


def _rooms(sheet: Sheet, problem: TermProblem) -> None:
    """A week holds no more than its minutes and its load carry, and nothing new close to a concert."""
    everything = range(len(problem.groups))
    heavy = [g for exercise in problem.exercises if exercise.heavy for g in exercise.groups]
    for w, room in enumerate(problem.rooms):
        columns, values = _used(sheet, problem, everything, w, "seconds")
        sheet.row(columns, values, high=room.seconds)
        sheet.row(columns[::2], values[::2], high=room.new_seconds)
        sheet.row(*_used(sheet, problem, everything, w, "load"), high=room.load)
        sheet.row(*_used(sheet, problem, heavy, w, "seconds"), high=room.heavy_seconds)


def _light(sheet: Sheet) -> None:
    """Few turns and few blocks, at next to nothing beside what is given up."""
    for column in sheet.back.values():
        sheet.cost[column] = LIGHT_TURN
    for column in sheet.block.values():
        sheet.cost[column] = LIGHT_BLOCK


def _even(sheet: Sheet, problem: TermProblem) -> None:
    """The fullest week as empty as may be, at next to nothing."""
    fullest = sheet.column(SHARE, LIGHT_FULLEST)
    for w, room in enumerate(problem.rooms):
        if room.seconds > 0:
            columns, values = _used(sheet, problem, range(len(problem.groups)), w, "seconds")
            shares = [each * SHARE / room.seconds for each in values]
            sheet.row([*columns, fullest], [*shares, -1.0], high=0)


def _make_whole(solver: _Highs, sheet: Sheet, problem: TermProblem, w: int) -> None:
    """The blocks of a week as whole numbers: the largest fractions go up while the days hold more."""
    values = solver.getSolution().col_value
    shares = [values[sheet.block[e, w]] for e in range(len(problem.exercises))]
    whole = [math.floor(share + TINY) for share in shares]
    parts = [e for e, share in enumerate(shares) if share - whole[e] > TINY]
    parts.sort(key=lambda e: (whole[e] - shares[e], e))
    _round_up(problem, w, whole, parts)
    columns = np.array([sheet.block[e, w] for e in range(len(whole))], dtype=np.int32)
    bounds = np.array(whole, dtype=float)
    solver.changeColsBounds(len(whole), columns, bounds, bounds)
    if parts:
        _solve(solver)


def _solve(solver: _Highs) -> None:
    """Solve to the end: a term without any turn is always a solution, so there is a best one."""
    solver.run()
    if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        raise AssertionError("a term without any turn is always a solution")


def _round_up(problem: TermProblem, w: int, whole: list[int], parts: Sequence[int]) -> None:
    """One block more for as many of these exercises as the days of the week hold, the first first."""
    room, exercises = problem.rooms[w], problem.exercises
    left = room.blocks - sum(whole)
    heavy_left = room.heavy_blocks - sum(count for e, count in enumerate(whole) if exercises[e].heavy)
    for e in parts:
        if left > 0 and (heavy_left > 0 or not exercises[e].heavy):
            whole[e] += 1
            left, heavy_left = left - 1, heavy_left - exercises[e].heavy


def _tally(sheet: Sheet, problem: TermProblem, values: Sequence[float]) -> Tally:
    """Whole turns: every week brings the sum so far to its nearest whole number."""

    def taken(turn: Turn, g: int) -> tuple[int, ...]:
        sums = [math.floor(each + 0.5) for each in accumulate(values[turn[g, w]] for w in range(weeks))]
        return tuple(now - before for now, before in zip(sums, [0, *sums], strict=False))

    weeks, groups = len(problem.rooms), range(len(problem.groups))
    return Tally(tuple(taken(sheet.first, g) for g in groups), tuple(taken(sheet.back, g) for g in groups))

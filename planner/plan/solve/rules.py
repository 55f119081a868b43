"""The rules of the week, each one function; its docstring is the sentence a teacher would say.

RULES reads like the contract with the player; the order does not matter to the model.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from planner.plan.problem import (
    MISSING_FAMILY,
    MISSING_TOUCH,
    SINGLE_COMBINATION_BLOCK,
    Exercise,
    WeekProblem,
)
from planner.plan.solve.rows import Rows

Rule = Callable[[WeekProblem, Rows], None]


def minutes(problem: WeekProblem, rows: Rows) -> None:
    """A day holds no more than its free minutes, pauses and own music included."""
    for day, room in enumerate(problem.days):
        items = [(v, problem.candidates[c].seconds_on(room)) for (c, d), v in rows.x.items() if d == day]
        setups = [(v, problem.exercises[e].setup_seconds) for (e, d), v in rows.block.items() if d == day]
        if items:
            rows.add(items + setups, high=room.seconds)


def not_two_days_running(problem: WeekProblem, rows: Rows) -> None:
    """A combination that is kept up does not come on two days running."""
    for candidate, wish in enumerate(problem.candidates):
        if wish.may_follow:
            continue
        for first, second in problem.consecutive:
            if (candidate, first) in rows.x and (candidate, second) in rows.x:
                rows.add([(rows.x[candidate, first], 1), (rows.x[candidate, second], 1)], high=1)


def load(problem: WeekProblem, rows: Rows) -> None:
    """The lip is not overloaded, neither in a day nor over two days running, rehearsals counted."""
    limits: list[tuple[tuple[int, ...], int]] = [((day,), room.load) for day, room in enumerate(problem.days)]
    limits += [(pair.days, pair.load) for pair in problem.two_days]
    for days, limit in limits:
        terms = [
            (v, problem.candidates[c].load_on(problem.days[d])) for (c, d), v in rows.x.items() if d in days
        ]
        if terms:
            rows.add(terms, high=limit)


def heavy_families(problem: WeekProblem, rows: Rows) -> None:
    """Range work never comes on two days running."""
    heavy = [index for index, exercise in enumerate(problem.exercises) if exercise.heavy]
    for first, second in problem.consecutive:
        for one in heavy:
            for other in heavy:
                if (one, first) in rows.block and (other, second) in rows.block:
                    rows.add([(rows.block[one, first], 1), (rows.block[other, second], 1)], high=1)


def blocks(problem: WeekProblem, rows: Rows) -> None:
    """A day has at most so many blocks, and no block is too long."""
    for day, room in enumerate(problem.days):
        opened = [(v, 1) for (_, d), v in rows.block.items() if d == day]
        if opened:
            rows.add(opened, high=room.blocks)
    for (exercise, day), block in rows.block.items():
        items = _items(problem, rows, exercise, day)
        for item, _ in items:
            rows.add([(item, 1), (block, -1)], high=0)
        rows.add([(item, 1) for item, _ in items] + [(block, -1)], low=0)
        longest = problem.block_seconds - problem.exercises[exercise].setup_seconds
        rows.add([*items, (block, -longest)], high=0)


def pins(problem: WeekProblem, rows: Rows) -> None:
    """What is pinned stays."""
    for pin in problem.pins:
        rows.add([(rows.x[pin], 1)], low=1)


def order_of_the_curriculum(problem: WeekProblem, rows: Rows) -> None:
    """An exercise comes only after the exercises that lead to it have been met."""
    for index, exercise in enumerate(problem.exercises):
        for needed in exercise.after:
            for day in range(len(problem.days)):
                if (index, day) not in rows.block:
                    continue
                earlier = [(v, -1) for (e, d), v in rows.block.items() if e == needed and d < day]
                rows.add([(rows.block[index, day], 1), *earlier], high=0)


def turns(problem: WeekProblem, rows: Rows) -> None:
    """Every combination, and every pair of exercise and key or position, has its turn within its span."""
    costs: dict[tuple[int, ...], dict[frozenset[int], int]] = {}
    for window in problem.windows:
        inside = frozenset(rows.x[c, d] for c in window.candidates for d in window.days if (c, d) in rows.x)
        of_these = costs.setdefault(window.candidates, {})
        of_these[inside] = of_these.get(inside, 0) + window.cost
    for members, of_these in costs.items():
        in_order = sorted(of_these.items(), key=lambda pair: (len(pair[0]), sorted(pair[0])))
        rows.asked[members] = _chain_of_windows(rows, in_order)


def _chain_of_windows(rows: Rows, windows: Sequence[tuple[frozenset[int], int]]) -> list[int]:
    """Windows of the same combinations, shortest first; one that holds the one before it builds on it.

    Without a turn up to Tuesday and none on Wednesday there is none up to Wednesday: three terms a row
    instead of all the days, and the same relaxation.
    """
    before: tuple[frozenset[int], int] | None = None
    slacks = []
    for inside, cost in windows:
        without = rows.soft("turn", cost)
        slacks.append(without)
        if before and before[0] <= inside:
            added = sorted(inside - before[0])
            rows.add([*((v, 1) for v in added), (without, 1), (before[1], -1)], low=0)
        else:
            rows.add([*((v, 1) for v in sorted(inside)), (without, 1)], low=1)
        before = (inside, without)
    return slacks


def families(problem: WeekProblem, rows: Rows) -> None:
    """Every day works at several families."""
    for day, room in enumerate(problem.days):
        if room.families <= 0:
            continue
        shown = []
        for family in sorted({exercise.family for exercise in problem.exercises}):
            members = [
                v for (e, d), v in rows.block.items() if d == day and problem.exercises[e].family == family
            ]
            if members:
                shown.append((rows.any_of(members), 1))
        missing = rows.soft(str(day), MISSING_FAMILY, high=room.families)
        rows.add([*shown, (missing, 1)], low=room.families)


def block_size(problem: WeekProblem, rows: Rows) -> None:
    """A block has at least two combinations where the exercise has them."""
    for (exercise, day), block in rows.block.items():
        if len(problem.exercises[exercise].candidates) < 2:
            continue
        items = [(item, 1) for item, _ in _items(problem, rows, exercise, day)]
        single = rows.soft(f"{problem.exercises[exercise].id} {day}", SINGLE_COMBINATION_BLOCK)
        rows.add([*items, (block, -2), (single, 1)], low=0)


def touches(problem: WeekProblem, rows: Rows) -> None:
    """Every position and key group in scope is touched during the week."""
    for touch in problem.touches:
        inside = set(touch.candidates)
        items = [(v, 1) for (c, _), v in rows.x.items() if c in inside]
        missing = rows.soft(touch.name, MISSING_TOUCH, high=touch.least)
        rows.add([*items, (missing, 1)], low=touch.least)


RULES: tuple[Rule, ...] = (
    minutes,
    not_two_days_running,
    load,
    heavy_families,
    blocks,
    pins,
    order_of_the_curriculum,
    turns,
    families,
    block_size,
    touches,
)


def write_rules(problem: WeekProblem) -> Rows:
    """The week as rows: variables x (candidate, day), block (exercise, day), all rules, both objectives."""
    rows = Rows(exercise_of=tuple(candidate.exercise for candidate in problem.candidates))
    for candidate, wish in enumerate(problem.candidates):
        for day in wish.days:
            rows.x[candidate, day] = rows.variable()
    for index, exercise in enumerate(problem.exercises):
        for day in _days_of(problem, exercise):
            rows.block[index, day] = rows.variable()
    for rule in RULES:
        rows.rule = rule.__name__
        rule(problem, rows)
    _values(problem, rows)
    return rows


def _days_of(problem: WeekProblem, exercise: Exercise) -> list[int]:
    return sorted({day for c in exercise.candidates for day in problem.candidates[c].days})


def _items(problem: WeekProblem, rows: Rows, exercise: int, day: int) -> list[tuple[int, int]]:
    members = problem.exercises[exercise].candidates
    room = problem.days[day]
    return [(rows.x[c, day], problem.candidates[c].seconds_on(room)) for c in members if (c, day) in rows.x]


def _values(problem: WeekProblem, rows: Rows) -> None:
    """First turns count in full, further ones at `value_again`, which is never more."""
    rows.rule = "value"
    for candidate, wish in enumerate(problem.candidates):
        turns_of = [rows.x[candidate, day] for day in wish.days]
        if not turns_of or not wish.value:
            continue
        if len(turns_of) == 1:
            rows.value[turns_of[0]] = wish.value
            continue
        rows.value[rows.any_of(turns_of)] = wish.value - wish.value_again
        for v in turns_of:
            rows.value[v] = wish.value_again

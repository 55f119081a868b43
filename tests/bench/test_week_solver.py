"""The week's solver beside plain ways, on generated weeks whose reporting seeds nothing was chosen on.

gap = (cost of the soft rules - proven bound) / what the bound leaves to be saved, in per cent. Every answer
is recounted from the problem without any row (`weeks.hard_breaches`, `problem.soft_cost`); one that breaks a
hard rule counts as the empty week. CPU seconds of one core. Synthetic: a test of the model, not of music.
"""

from __future__ import annotations

import json
import random
import time
from collections.abc import Callable, Iterable
from pathlib import Path

import pytest
from heavy import heavy_count
from plan.solve.weeks import hard_breaches, week

from planner.plan.problem import Turns, WeekProblem, soft_cost
from planner.plan.solve.cpsat import solve_rows
from planner.plan.solve.draft import Draft, draft
from planner.plan.solve.highs import INFINITE, linear_program, solver_of
from planner.plan.solve.rules import write_rules
from planner.plan.solve.stages import Limits, solve_week
from planner.plan.stop import Stop

SIZES = (150, 300, 600, 1200)
WANTED = (0.7, 0.9, 1.3)
FIRST_REPORTING_SEED = 13
PLAIN_SECONDS = 8.0
MUST = {150: 1.2, 300: 1.2, 600: 1.5, 1200: 2.0}

Way = Callable[[WeekProblem], Turns]


def in_order(problem: WeekProblem, cells: Iterable[tuple[int, int]]) -> Turns:
    plan = Draft(problem)
    for candidate, day in cells:
        if plan.fits(candidate, day):
            plan.take(candidate, day)
    return frozenset(plan.turns)


def cells_of(problem: WeekProblem) -> list[tuple[int, int]]:
    return [(c, d) for c, wish in enumerate(problem.candidates) for d in wish.days]


def by_need(problem: WeekProblem) -> Turns:
    return in_order(problem, sorted(cells_of(problem), key=lambda x: (-problem.candidates[x[0]].need, x)))


def round_robin(problem: WeekProblem) -> Turns:
    days = range(len(problem.days))
    return in_order(problem, [(c, d) for d in days for c in range(len(problem.candidates))])


def at_random(problem: WeekProblem) -> Turns:
    cells = cells_of(problem)
    random.Random(1).shuffle(cells)
    return in_order(problem, cells)


def plain_cpsat(problem: WeekProblem) -> Turns:
    rows = write_rules(problem)
    answer = solve_rows(
        rows, rows.cost, maximise=False, hint=rows.complete(draft(problem)), work=100.0,
        seconds=PLAIN_SECONDS, seed=0, stop=Stop(),
    )  # fmt: skip
    return frozenset(t for t, v in rows.x.items() if answer and answer.values[v])


def plain_highs(problem: WeekProblem) -> Turns:
    rows = write_rules(problem)
    program = linear_program(
        cost=[rows.cost.get(variable, 0) for variable in range(len(rows.low))],
        low=rows.low,
        high=rows.high,
        rows=[
            (row.terms, -INFINITE if row.low is None else row.low, INFINITE if row.high is None else row.high)
            for row in rows.rows
        ],
        whole=[True] * len(rows.low),
    )
    solver = solver_of(program)
    solver.setOptionValue("time_limit", PLAIN_SECONDS)
    solver.run()
    solution = solver.getSolution()
    if not solution.value_valid:
        return frozenset()
    return frozenset(turn for turn, v in rows.x.items() if solution.col_value[v] > 0.5)


PLAIN: dict[str, Way] = {
    "constructive": draft,
    "by need": by_need,
    "round robin": round_robin,
    "random": at_random,
    "CP-SAT 8 s": plain_cpsat,
    "HiGHS 8 s": plain_highs,
}


def gap(problem: WeekProblem, turns: Turns, bound: int) -> float:
    empty = soft_cost(problem, frozenset())
    cost = empty if hard_breaches(problem, turns) else soft_cost(problem, turns)
    return 100 * (cost - bound) / max(1, empty - bound)


def measured(size: int, wanted: float, seed: int) -> dict[str, object]:
    problem = week(size, wanted, seed)
    started = time.process_time()
    moments: dict[str, float] = {}
    answer = solve_week(
        problem, Limits(), lambda stage: moments.setdefault(stage, time.process_time() - started)
    )
    seconds = time.process_time() - started
    bound = answer.stages[0].bound
    row: dict[str, object] = {
        "size": size, "wanted": wanted, "seed": seed, "ours": gap(problem, answer.turns, bound),
        "seconds": seconds, "seconds_a": moments.get("value", seconds),
        "value_proven": answer.stages[1].status == "proven",
    }  # fmt: skip
    return row | {name: gap(problem, way(problem), bound) for name, way in PLAIN.items()}


def table(rows: list[dict[str, object]]) -> str:
    names = ["ours", *PLAIN]
    lines = ["  n  wanted seed  CPU a   all  b  " + " ".join(f"{name:>13}" for name in names)]
    for row in rows:
        proven = "p" if row["value_proven"] else "-"
        head = f"{row['size']:>4} {row['wanted']:>5} {row['seed']:>4}"
        head += f" {row['seconds_a']:>6.1f} {row['seconds']:>5.1f}  {proven}  "
        lines.append(head + " ".join(f"{row[name]:>12.2f}%" for name in names))
    return "\n".join(lines)


@pytest.mark.bench
@pytest.mark.timeout(7200)
def test_the_gap_stays_within_what_is_promised(request: pytest.FixtureRequest, tmp_path: Path) -> None:
    seeds = heavy_count(request.config, "seeds of the solver benchmark")
    rows = [
        measured(size, wanted, FIRST_REPORTING_SEED + number)
        for size in SIZES
        for wanted in WANTED
        for number in range(seeds)
    ]
    (tmp_path / "week_solver.json").write_text(json.dumps(rows, indent=1))
    print(f"\n{table(rows)}\n{tmp_path / 'week_solver.json'}")  # noqa: T201 - the table is what a benchmark is for
    over = [row for row in rows if float(str(row["ours"])) > MUST[int(str(row["size"]))]]
    assert not over, table(over)

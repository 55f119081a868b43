"""The week's rows as a CP-SAT model, solved in stages with limits in work, never in time.

One worker, a fixed seed and a limit in deterministic work give the same plan on every run.
Statuses: optimal is "proven"; feasible is "not proven", its bound says how far it may be;
anything else leaves the plan before it as it is. An invalid model is our fault and raises.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from threading import Thread

from ortools.sat.python import cp_model

from planner.plan.solve.rows import Cutoff, Rows
from planner.plan.stop import Stop

LISTEN_SECONDS = 0.05


@dataclass(frozen=True, slots=True)
class Answer:
    """Values of all variables, objective and its proven bound; `proven` when they meet.

    `by_clock`: the wall clock ended the search before its work was done.
    """

    values: tuple[int, ...]
    objective: int
    bound: int
    proven: bool
    work: float
    by_clock: bool


def solve_rows(
    rows: Rows,
    objective: Mapping[int, int],
    *,
    maximise: bool,
    hint: tuple[int, ...] | None,
    work: float,
    seconds: float,
    seed: int,
    stop: Stop,
    at_most: Mapping[int, int] | None = None,
    cutoffs: Sequence[Cutoff] = (),
) -> Answer | None:
    """Solve the rows for one objective.

    `work` is the deterministic limit, `seconds` the wall clock as a safety stop. `at_most` lowers upper
    bounds of variables, each of `cutoffs` = (terms, low, high) adds a row. None where no plan was found.
    """
    model = cp_model.CpModel()
    at_most = at_most or {}
    variables = [
        model.new_int_var(low, at_most.get(v, high), "")
        for v, (low, high) in enumerate(zip(rows.low, rows.high, strict=True))
    ]
    for row in rows.rows:
        _add(model, variables, dict(row.terms), row.low, row.high)
    for cutoff in cutoffs:
        _add(model, variables, *cutoff)
    total = cp_model.LinearExpr.weighted_sum([variables[v] for v in objective], list(objective.values()))
    (model.maximize if maximise else model.minimize)(total)
    if hint:
        for variable, at in zip(variables, hint, strict=True):
            model.add_hint(variable, at)
    answer = _run(model, variables, stop, work=work, seconds=seconds, seed=seed)
    return _counted_again(answer, objective) if answer else None


def _counted_again(answer: Answer, objective: Mapping[int, int]) -> Answer:
    """The objective from the values in whole numbers; the solver's own figure is a fraction."""
    counted = sum(factor * answer.values[v] for v, factor in objective.items())
    assert counted == answer.objective, "the solver's objective is that of its values"
    return answer


def _add(
    model: cp_model.CpModel,
    variables: list[cp_model.IntVar],
    terms: Mapping[int, int],
    low: int | None,
    high: int | None,
) -> None:
    assert sum(abs(factor) for factor in terms.values()) < 2**31, "coefficients of a row stay below 2**31"
    total = cp_model.LinearExpr.weighted_sum([variables[v] for v in terms], list(terms.values()))
    model.add_linear_constraint(
        total,
        cp_model.INT32_MIN if low is None else low,
        cp_model.INT32_MAX if high is None else high,
    )


def _run(
    model: cp_model.CpModel,
    variables: list[cp_model.IntVar],
    stop: Stop,
    *,
    work: float,
    seconds: float,
    seed: int,
) -> Answer | None:
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.linearization_level = 2
    solver.parameters.random_seed = seed
    solver.parameters.max_deterministic_time = work
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.catch_sigint_signal = False  # it would leave the signal to end the program
    status = _listening(solver, model, stop)
    if status == cp_model.MODEL_INVALID:
        raise AssertionError(model.validate())
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    used = float(solver.response_proto.deterministic_time)
    return Answer(
        values=tuple(int(solver.value(v)) for v in variables),
        objective=round(solver.objective_value),
        bound=round(solver.best_objective_bound),
        proven=status == cp_model.OPTIMAL,
        work=used,
        by_clock=status == cp_model.FEASIBLE and solver.wall_time >= seconds and not stop.asked,
    )


def _listening(solver: cp_model.CpSolver, model: cp_model.CpModel, stop: Stop) -> cp_model.CpSolverStatus:
    """Solve beside the main thread, which stays free to hear Ctrl-C."""
    found: list[cp_model.CpSolverStatus] = []
    search = Thread(target=lambda: found.append(solver.solve(model)), daemon=True)
    with stop.calling(solver.stop_search):
        search.start()
        while search.is_alive():
            search.join(LISTEN_SECONDS)
    return found[0]

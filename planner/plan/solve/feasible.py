"""Whether named rules can hold together: a plan that keeps them, a proof that there is none, or neither.

One worker and limits in work, so the same question gets the same answer.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from ortools.sat.python import cp_model

from planner.plan.problem import Turns
from planner.plan.solve.effort import Effort
from planner.plan.solve.named import Line, Named, NamedWeek, part_of

WORK = 0.5
WORK_A_VARIABLE = 5e-5
"""What it takes to build a model, in the same units [measured]."""

SECONDS = 20.0


@dataclass(frozen=True, slots=True)
class Finding:
    """`turns`: a plan that keeps the rules, None where there is none. `sure`: whether that is proven.

    `extra` is what each elastic day was given (minutes) or which groups of wishes were given up (1 each),
    `least` whether no smaller sum would do.
    """

    turns: Turns | None
    sure: bool
    extra: Mapping[int, int]
    least: bool = False


class Question:
    """One week, asked about any choice of its rules. `work` is the deterministic limit of one answer.

    What is asked is counted in `effort`; it is for whoever asks to hold still where that is over.
    """

    def __init__(self, week: NamedWeek, work: float = WORK, effort: Effort | None = None) -> None:
        self.week, self.work, self.effort = week, work, effort or Effort()
        self.asked = 0

    def ask(self, rules: Iterable[Named]) -> Finding:
        """Whether these rules can hold together."""
        return self._solve(rules, {}, 0, lambda _: {})

    def least_extra(
        self, rules: Iterable[Named], days: Sequence[int], loads: Sequence[int], most: int
    ) -> Finding:
        """The fewest more minutes on `days` (in all, at most `most` a day) with which these rules hold.

        `loads[day]` is the load in thousandths that a minute more on that day may carry; two days carry nine
        tenths of both.
        """

        def relief(rule: Named) -> dict[int, int]:
            if rule.kind == "two days":
                pair = self.week.problem.two_days[rule.subject].days
                return {day: -(loads[day] * 9 // 10) for day in pair if day in days}
            each = {"minutes": 60, "load": loads[rule.subject] if rule.kind == "load" else 0}.get(rule.kind)
            return {rule.subject: -each} if each and rule.subject in days else {}

        return self._solve(rules, dict.fromkeys(days, 1), most, relief)

    def fewest_given_up(self, rules: Iterable[Named], groups: Mapping[Named, int]) -> Finding:
        """The fewest groups of wishes to give up so that all other rules hold; a wish may be in one group."""
        weights = dict.fromkeys(groups.values(), 1)
        return self._solve(rules, weights, 1, lambda rule: {groups[rule]: 1} if rule in groups else {})

    def _solve(
        self,
        rules: Iterable[Named],
        weights: Mapping[int, int],
        most: int,
        relief: Callable[[Named], Mapping[int, int]],
    ) -> Finding:
        """`relief(rule)`: the factors with which each elastic variable enters the lines of a rule."""
        self.asked += 1
        part = part_of(self.week, rules)
        model = cp_model.CpModel()
        variables = {v: model.new_bool_var("") for v in part.variables}
        more = {one: model.new_int_var(0, most, "") for one in weights}
        for line in part.structure:
            _add(model, variables, line, [])
        for rule, line in part.lines:
            _add(model, variables, line, [(more[one], by) for one, by in relief(rule).items()])
        if more:
            model.minimize(cp_model.LinearExpr.weighted_sum(list(more.values()), list(weights.values())))
        return self._run(model, variables, more)

    def _run(
        self,
        model: cp_model.CpModel,
        variables: Mapping[int, cp_model.IntVar],
        more: Mapping[int, cp_model.IntVar],
    ) -> Finding:
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.linearization_level = 2
        solver.parameters.random_seed = self.week.problem.seed
        solver.parameters.max_deterministic_time = self.work
        solver.parameters.max_time_in_seconds = SECONDS
        solver.parameters.catch_sigint_signal = False
        status = solver.solve(model)
        self.effort.spend(solver.deterministic_time + WORK_A_VARIABLE * len(variables))
        if status == cp_model.MODEL_INVALID:
            raise AssertionError(model.validate())
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return Finding(None, status == cp_model.INFEASIBLE, {})
        of = self.week.turns
        turns = frozenset(of[v] for v, variable in variables.items() if v in of and solver.value(variable))
        extra = {day: int(solver.value(v)) for day, v in more.items() if solver.value(v)}
        return Finding(turns, True, extra, status == cp_model.OPTIMAL)


def _add(
    model: cp_model.CpModel,
    variables: Mapping[int, cp_model.IntVar],
    line: Line,
    relief: Sequence[tuple[cp_model.IntVar, int]],
) -> None:
    whole = [*((variables[v], factor) for v, factor in line.terms), *relief]
    total = cp_model.LinearExpr.weighted_sum([v for v, _ in whole], [factor for _, factor in whole])
    low = cp_model.INT32_MIN if line.low is None else line.low
    high = cp_model.INT32_MAX if line.high is None else line.high
    model.add_linear_constraint(total, low, high)


def keeps(week: NamedWeek, rules: Iterable[Named], turns: Turns) -> bool:
    """Whether a plan keeps these rules, counted in whole numbers without any solver."""
    values = [0] * week.count
    for candidate, day in turns:
        values[week.x[candidate, day]] = 1
        values[week.block[week.problem.candidates[candidate].exercise, day]] = 1
    for (family, day), v in week.shown.items():
        values[v] = int(any(values[b] for b in week.blocks_of(family, day)))
    lines = [line for rule in rules for line in week.lines.get(rule, ())]
    return all(_within(line, values) for line in lines)


def _within(line: Line, values: Sequence[int]) -> bool:
    total = sum(factor * values[v] for v, factor in line.terms)
    return (line.low is None or line.low <= total) and (line.high is None or total <= line.high)

"""Whether named rules can hold together: a plan that keeps them, a proof that there is none, or neither.

Only turns that some wish can use are looked at: every limit is kept by leaving turns out, except the order of
the curriculum and the size of blocks, whose helpers are taken in. One worker and limits in work, so the same
question gets the same answer.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

import highspy
import numpy as np
from highspy._core import _Highs
from ortools.sat.python import cp_model

from planner.plan.problem import Turns
from planner.plan.solve.named import WISHES, Line, Named, NamedWeek, structure

WORK = 1.0
SECONDS = 20.0
NOTHING = 1e-7


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
    """One week, asked about any choice of its rules. `work` is the deterministic limit of one answer."""

    def __init__(self, week: NamedWeek, work: float = WORK) -> None:
        self.week, self.work = week, work
        self.structure = tuple(structure(week))
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
        chosen = [rule for rule in sorted(set(rules)) if rule in self.week.lines]
        used = self._used(chosen)
        model = cp_model.CpModel()
        variables = {v: model.new_bool_var("") for v in sorted(used)}
        more = {one: model.new_int_var(0, most, "") for one in weights}
        for line in self.structure:
            _add(model, variables, line, [])
        for rule in chosen:
            for line in self.week.lines[rule]:
                _add(model, variables, line, [(more[one], by) for one, by in relief(rule).items()])
        if more:
            model.minimize(cp_model.LinearExpr.weighted_sum(list(more.values()), list(weights.values())))
        return self._run(model, variables, more)

    def _used(self, rules: Sequence[Named]) -> set[int]:
        """The variables that these rules need: turns of their wishes, helpers, blocks, families shown."""
        turns = {v: turn for turn, v in self.week.x.items()}
        asked = {v for r in rules if r.kind in WISHES for line in self.week.lines[r] for v, _ in line.terms}
        cells = {turns[v] for v in asked if v in turns}
        if any(rule.kind == "family" for rule in rules):
            cells = set(self.week.x)
        cells |= self._helpers(cells, {rule.kind for rule in rules})
        blocks = {(self.week.problem.candidates[c].exercise, d) for c, d in cells}
        families = {v for (_, day), v in self.week.shown.items() if Named("family", day) in rules}
        return {self.week.x[cell] for cell in cells} | {self.week.block[b] for b in blocks} | families

    def _helpers(self, cells: set[tuple[int, int]], kinds: set[str]) -> set[tuple[int, int]]:
        candidates, exercises = self.week.problem.candidates, self.week.problem.exercises
        of = {candidates[c].exercise for c, _ in cells}
        wanted = set(of) if "block size" in kinds else set()
        if "order" in kinds:
            open_ = list(of)
            while open_:
                needed = set(exercises[open_.pop()].after) - wanted
                wanted |= needed
                open_ += needed
        return {cell for cell in self.week.x if candidates[cell[0]].exercise in wanted}

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
        if status == cp_model.MODEL_INVALID:
            raise AssertionError(model.validate())
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return Finding(None, status == cp_model.INFEASIBLE, {})
        turns = frozenset(t for t, v in self.week.x.items() if v in variables and solver.value(variables[v]))
        extra = {day: int(solver.value(v)) for day, v in more.items() if solver.value(v)}
        return Finding(turns, True, extra, status == cp_model.OPTIMAL)


def _add(
    model: cp_model.CpModel,
    variables: Mapping[int, cp_model.IntVar],
    line: Line,
    relief: Sequence[tuple[cp_model.IntVar, int]],
) -> None:
    """One line over the variables that are looked at; the others stay 0."""
    terms = [(variables[v], factor) for v, factor in line.terms if v in variables]
    if not terms and not relief and (line.low or 0) <= 0 <= (0 if line.high is None else line.high):
        return
    whole = [*terms, *relief]
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


def fractional_core(week: NamedWeek, rules: Sequence[Named]) -> tuple[Named, ...] | None:
    """Rules that clash even with fractions of turns, None where fractions can keep them all.

    Every named line may be broken at a price of its own size; the lines with a price in the cheapest way are
    a proof by themselves (the lemma of Farkas).
    """
    lines: list[tuple[Named | None, Line]] = [(None, line) for line in structure(week)]
    lines += [(rule, line) for rule in rules for line in week.lines.get(rule, ())]
    solver = _Highs()
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("threads", 1)
    solver.passModel(_elastic(week.count, lines))
    solver.run()
    if solver.getInfo().objective_function_value < NOTHING:
        return None
    prices = solver.getSolution().row_dual
    found = {rule for (rule, _), price in zip(lines, prices, strict=True) if rule and abs(price) > NOTHING}
    return tuple(sorted(found))


def _elastic(count: int, lines: Sequence[tuple[Named | None, Line]]) -> highspy.HighsLp:
    named = [number for number, (rule, _) in enumerate(lines) if rule]
    entries: list[tuple[int, int, float]] = []
    lows, highs = [], []
    slack = {number: count + place for place, number in enumerate(named)}
    for number, (_, line) in enumerate(lines):
        size = max([1, *(abs(factor) for _, factor in line.terms)])
        entries += [(number, v, factor / size) for v, factor in line.terms]
        if number in slack:
            entries.append((number, slack[number], 1.0 if line.low is not None else -1.0))
        lows.append(-highspy.kHighsInf if line.low is None else line.low / size)
        highs.append(highspy.kHighsInf if line.high is None else line.high / size)
    program = highspy.HighsLp()
    columns = count + len(named)
    program.num_col_, program.num_row_ = columns, len(lines)
    program.col_cost_ = np.array([0.0] * count + [1.0] * len(named))
    program.col_lower_ = np.zeros(columns)
    program.col_upper_ = np.array([1.0] * count + [highspy.kHighsInf] * len(named))
    program.row_lower_, program.row_upper_ = np.array(lows, dtype=float), np.array(highs, dtype=float)
    _fill(program, entries, len(lines))
    return program


def _fill(program: highspy.HighsLp, entries: Sequence[tuple[int, int, float]], rows: int) -> None:
    """The matrix by rows; the entries come row by row."""
    lengths = np.bincount([row for row, _, _ in entries], minlength=rows)
    matrix = program.a_matrix_
    matrix.format_ = highspy.MatrixFormat.kRowwise
    matrix.start_ = np.concatenate([[0], np.cumsum(lengths)])
    matrix.index_ = np.array([v for _, v, _ in entries])
    matrix.value_ = np.array([value for _, _, value in entries], dtype=float)

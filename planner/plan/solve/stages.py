"""The stages of a week: soft rules first, then value, then evenness; one plan at every moment.

(a) least cost of the soft rules; (b) most value, no granted turn withdrawn (every slack stays at most
where stage (a) left it); (c) evenness, few set-ups, few changes, allowed to spend 0.3 % of (b).
An unproven stage hands on its value, never its bound.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.plan.problem import Turns, WeekProblem, soft_cost, value
from planner.plan.solve.cpsat import Answer, solve_rows
from planner.plan.solve.draft import draft, rounded
from planner.plan.solve.rows import Rows
from planner.plan.solve.rules import write_rules
from planner.plan.stop import Stop

if TYPE_CHECKING:
    from planner.plan.solve.relax import Relaxed

SPEND_ON_EVENNESS = 0.003
RELAXED_GAP = (
    0.004  # of what the empty week costs: finer takes seconds and moves the plan by less than a turn
)
BLOCK_WEIGHT = 10
CHANGE_WEIGHT = 20


@dataclass(frozen=True, slots=True)
class Limits:
    """Nodes of the relaxation and the turns up to which it is tried, work of each solve, seconds for each.

    The wall clock is a stop for slow machines; a plan that it cut says so.
    """

    nodes: int = 20
    whole_blocks_up_to: int = 1500
    items: float = 0.5
    turns: float = 0.3
    value: float = 0.5
    evenness: float = 0.25
    seconds: float = 20.0


@dataclass(frozen=True, slots=True)
class StageResult:
    """One stage: its goal, the value reached, the proven bound, "proven", "not proven" or "stopped"."""

    goal: str
    value: int
    bound: int
    status: str


@dataclass(frozen=True, slots=True)
class Solved:
    """The turns of the best plan, how each stage ended, the work spent.

    `stopped_by`: "proven", "work" (the limits were reached), "clock" or "Ctrl-C".
    """

    turns: Turns
    stages: tuple[StageResult, ...]
    work: float
    stopped_by: str


Progress = Callable[[str], None]


def solve_week(problem: WeekProblem, limits: Limits, progress: Progress, stop: Stop | None = None) -> Solved:
    """The best plan within the limits, at the least the constructive one; `stop` ends it with that."""
    return _Run(problem, limits, progress, stop or Stop()).run()


class _Run:
    """One solve: the plan so far and what is known of it."""

    def __init__(self, problem: WeekProblem, limits: Limits, progress: Progress, stop: Stop) -> None:
        self.problem, self.limits, self.progress, self.stop = problem, limits, progress, stop
        self.turns = draft(problem)
        self.rows = Rows()
        self.stages: list[StageResult] = []
        self.work = 0.0
        self.by_clock = False

    def run(self) -> Solved:
        """All stages, or as many as there was time for."""
        self.rows = write_rules(self.problem)
        for stage in (self._least_cost, self._most_value, self._evenness):
            if not self.stop.asked:
                stage()
        self._say_what_was_stopped()
        proven = all(stage.status == "proven" for stage in self.stages)
        by = "Ctrl-C" if self.stop.asked else "clock" if self.by_clock else "proven" if proven else "work"
        return Solved(self.turns, tuple(self.stages), round(self.work, 3), by)

    def _say_what_was_stopped(self) -> None:
        """Stages that never began: the plan's own figures, and bounds that always hold."""
        reached = {stage.goal for stage in self.stages}
        if "turns" not in reached:
            self.stages.append(StageResult("turns", soft_cost(self.problem, self.turns), 0, "stopped"))
        if "value" not in reached:
            most = sum(
                c.value + max(0, len(c.days) - 1) * c.value_again for c in self.problem.candidates if c.days
            )
            self.stages.append(StageResult("value", value(self.problem, self.turns), most, "stopped"))

    def _least_cost(self) -> None:
        """Which blocks, by relaxations; which items in them, by CP-SAT; then whether anything is better."""
        self.progress("turns")
        bound = 0
        for relaxed in self._relaxations():
            bound = max(bound, relaxed.bound)
            chosen = {v: int(relaxed.values[v] > 0.5) for v in self.rows.block.values()}
            self._keep_better(rounded(self.problem, self.rows, relaxed))
            if not self._done(bound):
                self._improve(self.limits.items, at_most=chosen)
            if self._done(bound):
                break
        if not self._done(bound):
            answer = self._improve(self.limits.turns)
            bound = max(bound, answer.bound if answer else 0)
        self._note("turns", soft_cost(self.problem, self.turns), bound)

    def _done(self, bound: int) -> bool:
        return self.stop.asked or soft_cost(self.problem, self.turns) <= bound

    def _relaxations(self) -> Iterator[Relaxed]:
        """A dive first; where the week is small enough, the blocks in whole numbers for a better bound."""
        from planner.plan.solve.relax import dive, relax_blocks

        found = [dive(self.rows)]
        yield from (relaxed for relaxed in found if relaxed)
        if len(self.rows.x) <= self.limits.whole_blocks_up_to:
            gap = RELAXED_GAP * soft_cost(self.problem, frozenset())
            better = relax_blocks(self.rows, gap=gap, nodes=self.limits.nodes)
            yield from (relaxed for relaxed in [better] if relaxed)

    def _improve(self, work: float, at_most: dict[int, int] | None = None) -> Answer | None:
        answer = self._solve(self.rows.cost, maximise=False, work=work, at_most=at_most)
        if answer:
            self._keep_better(self._turns_of(answer))
        return answer

    def _keep_better(self, turns: Turns) -> None:
        if soft_cost(self.problem, turns) < soft_cost(self.problem, self.turns):
            self.turns = turns

    def _most_value(self) -> None:
        self.progress("value")
        before = value(self.problem, self.turns)
        answer = self._solve(self.rows.value, maximise=True, work=self.limits.value, at_most=self._granted())
        if answer and answer.objective >= before:
            self.turns = self._turns_of(answer)
        bound = answer.bound if answer else sum(self.rows.value.values())
        self._note("value", value(self.problem, self.turns), bound)

    def _granted(self) -> dict[int, int]:
        values = self.rows.complete(self.turns)
        return {slack: values[slack] for slack in self.rows.slack}

    def _evenness(self) -> None:
        self.progress("evenness")
        spread = evenness_terms(self.problem, self.rows)
        least = int(value(self.problem, self.turns) * (1 - SPEND_ON_EVENNESS))
        answer = self._solve(
            spread,
            maximise=False,
            work=self.limits.evenness,
            at_most=self._granted(),
            cutoff=(self.rows.value, least, None) if self.rows.value else None,
        )
        if answer:
            self.turns = self._turns_of(answer)
            self._note("evenness", answer.objective, answer.bound)

    def _solve(
        self,
        objective: dict[int, int],
        *,
        maximise: bool,
        work: float,
        at_most: dict[int, int] | None = None,
        cutoff: tuple[dict[int, int], int | None, int | None] | None = None,
    ) -> Answer | None:
        answer = solve_rows(
            self.rows,
            objective,
            maximise=maximise,
            hint=self.rows.complete(self.turns),
            work=work,
            seconds=self.limits.seconds,
            seed=self.problem.seed,
            stop=self.stop,
            at_most=at_most,
            cutoff=cutoff,
        )
        self.work += answer.work if answer else work
        self.by_clock |= bool(answer and answer.by_clock)
        return answer

    def _turns_of(self, answer: Answer) -> Turns:
        return frozenset(turn for turn, variable in self.rows.x.items() if answer.values[variable])

    def _note(self, goal: str, reached: int, bound: int) -> None:
        open_end = "stopped" if self.stop.asked else "not proven"
        status = "proven" if reached == bound else open_end
        self.stages.append(StageResult(goal, reached, bound, status))


def evenness_terms(problem: WeekProblem, rows: Rows) -> dict[int, int]:
    """Stage (c) as one sum: spread of the days in thousandths, blocks, changes against the last plan."""
    rows.rule = "evenness"
    fullest, emptiest = rows.variable(0, 1000), rows.variable(0, 1000)
    for day, room in enumerate(problem.days):
        used = [(v, 1000 * problem.candidates[c].seconds) for (c, d), v in rows.x.items() if d == day]
        used += [
            (v, 1000 * problem.exercises[e].setup_seconds) for (e, d), v in rows.block.items() if d == day
        ]
        if used and room.seconds > 0:
            rows.add([*used, (fullest, -room.seconds)], high=0)
            rows.add([*used, (emptiest, -room.seconds)], low=0)
    terms = dict.fromkeys(rows.block.values(), BLOCK_WEIGHT) | {fullest: 1, emptiest: -1}
    for turn in problem.last:
        if turn in rows.x:
            terms[rows.x[turn]] = terms.get(rows.x[turn], 0) - CHANGE_WEIGHT
    return terms

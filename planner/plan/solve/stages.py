"""The stages of a week: soft rules first, then value, then evenness; one plan at every moment.

(a) least cost of the soft rules; (b) most value, no granted turn withdrawn (every slack stays at most
where stage (a) left it); (c) evenness, few set-ups, few changes, allowed to spend 0.3 % of (b).
An unproven stage hands on its value, never its bound. After a missed week few changes come before value:
`returning.py` puts that stage between (a) and (b).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from time import monotonic
from typing import TYPE_CHECKING

from planner.plan.problem import Turns, WeekProblem, most_value, soft_cost, value
from planner.plan.solve.aggregate import Aggregate, aggregate
from planner.plan.solve.cpsat import NEARLY, Answer, solve_rows
from planner.plan.solve.draft import draft, rounded
from planner.plan.solve.rows import Cutoff, Rows
from planner.plan.solve.rules import write_rules
from planner.plan.stop import Stop

if TYPE_CHECKING:
    from planner.plan.solve.relax import Relaxed

KEPT_OF_VALUE = 997  # thousandths that evenness leaves of stage (b), rounded up
RELAXED_GAP = (
    0.004  # of what the empty week costs: finer takes seconds and moves the plan by less than a turn
)
BLOCK_WEIGHT = 10
CHANGE_WEIGHT = 20


@dataclass(frozen=True, slots=True)
class Limits:
    """Nodes of the block relaxation, work of each solve, wall clock seconds of each solve.

    Up to `whole_up_to` possible turns the blocks are kept whole in the whole week, up to `smaller_up_to` in
    the smaller one with fillers, beyond that nowhere. Up to `turns_up_to` the whole week is tried at last.

    The wall clock is a stop for slow machines; a plan that it cut says so.
    `stages`: how many of the stages are run, all as a rule.
    """

    nodes: int = 1
    whole_up_to: int = 8400
    smaller_up_to: int = 8400
    items: float = 0.5
    turns: float = 0.3
    turns_up_to: int = 1000
    changes: float = 0.3
    value: float = 0.5
    evenness: float = 0.25
    seconds: float = 20.0
    stages: int = 9


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
Reading = tuple[int, frozenset[tuple[int, int]], dict[tuple[int, int], float]]


def solve_week(problem: WeekProblem, limits: Limits, progress: Progress, stop: Stop | None = None) -> Solved:
    """The best plan within the limits, at the least the constructive one; `stop` ends it with that."""
    return Run(problem, limits, progress, stop or Stop()).run()


class Run:
    """One solve: the plan so far and what is known of it."""

    spends_turns = False
    """Whether a later stage may give up some of what the first one saved."""

    def __init__(self, problem: WeekProblem, limits: Limits, progress: Progress, stop: Stop) -> None:
        self.problem, self.limits, self.progress, self.stop = problem, limits, progress, stop
        self.turns = draft(problem)
        self.kept: tuple[Cutoff, ...] = ()
        self.rows = Rows()
        self.stages: list[StageResult] = []
        self.work = 0.0
        self.by_clock = False

    def run(self) -> Solved:
        """All stages, or as many as there was time for."""
        self.rows = write_rules(self.problem)
        for stage in self.in_order()[: self.limits.stages]:
            if not self.stop.asked:
                before = soft_cost(self.problem, self.turns)
                stage()
                worse = soft_cost(self.problem, self.turns) > before
                assert self.spends_turns or not worse, "a plan can only get better"
        self._say_what_was_stopped()
        self._count_turns_again()
        proven = all(stage.status == "proven" for stage in self.stages)
        by = "Ctrl-C" if self.stop.asked else "clock" if self.by_clock else "proven" if proven else "work"
        return Solved(self.turns, tuple(self.stages), round(self.work, 3), by)

    def in_order(self) -> Sequence[Callable[[], None]]:
        """The stages, the most important first."""
        return self.least_cost, self.most_value, self.evenness

    def _say_what_was_stopped(self) -> None:
        """Stages that never began: the plan's own figures, and bounds that always hold."""
        reached = {stage.goal for stage in self.stages}
        if "turns" not in reached:
            self.stages.append(StageResult("turns", soft_cost(self.problem, self.turns), 0, "stopped"))
        if "value" not in reached:
            reached_value, most = value(self.problem, self.turns), most_value(self.problem)
            self.stages.append(StageResult("value", reached_value, most, "stopped"))

    def _count_turns_again(self) -> None:
        """A later stage may have taken a turn more on its way: the figure is that of the finished plan."""
        first = self.stages[0]
        cost = soft_cost(self.problem, self.turns)
        if cost != first.value:
            unproven = "not proven" if first.status == "proven" else first.status
            status = "proven" if cost == first.bound else unproven
            self.stages[0] = replace(first, value=cost, status=status)

    def least_cost(self) -> None:
        """Which blocks, by a relaxation; which items in them, by CP-SAT; then whether anything is better."""
        self.progress("turns")
        bound, blocks, shares = self._relaxed()
        if blocks:
            self._items_inside(blocks, rounded(self.problem, blocks, shares), bound)
        if not self._done(bound) and len(self.rows.x) <= self.limits.turns_up_to:
            answer = self.solve(self.rows.cost, maximise=False, work=self.limits.turns)
            bound = max(bound, answer.bound if answer else 0)
            self._keep_better(self.rows.turns(answer.values) if answer else self.turns)
        self.note("turns", soft_cost(self.problem, self.turns), bound)

    def _done(self, bound: int) -> bool:
        return self.stop.asked or soft_cost(self.problem, self.turns) <= bound

    def _items_inside(self, blocks: frozenset[tuple[int, int]], start: Turns, bound: int) -> None:
        """The best items inside these blocks, found from `start`; kept where they beat what there is."""
        self._keep_better(start)
        if self._done(bound):
            return
        closed = {v: 0 for block, v in self.rows.block.items() if block not in blocks}
        answer = self.solve(
            self.rows.cost, maximise=False, work=self.limits.items, start=start, at_most=closed
        )
        if answer:
            self._keep_better(self.rows.turns(answer.values))

    def _relaxed(self) -> Reading:
        """Bound, open blocks and shares of turns, by the finest relaxation a week of this size allows."""
        from planner.plan.solve.relax import relax

        small, rows = Aggregate(self.problem, tuple(range(len(self.problem.candidates)))), self.rows
        if len(rows.x) > self.limits.whole_up_to:
            small = aggregate(self.problem)
            rows = write_rules(small.problem)
        found = relax(
            rows,
            whole_blocks=len(rows.x) <= self.limits.smaller_up_to,
            gap=RELAXED_GAP * soft_cost(self.problem, frozenset()),
            nodes=self.limits.nodes,
        )
        return _reading(small, rows, found) if found else (0, frozenset(), {})

    def _keep_better(self, turns: Turns) -> None:
        if soft_cost(self.problem, turns) < soft_cost(self.problem, self.turns):
            self.turns = turns

    def most_value(self) -> None:
        """Stage (b): the most value with the granted turns."""
        self.progress("value")
        before = value(self.problem, self.turns)
        answer = self.solve(
            self.rows.value,
            maximise=True,
            work=self.limits.value,
            at_most=self.granted(),
            cutoffs=self.kept,
        )
        if answer and answer.objective >= before:
            self.turns = self.rows.turns(answer.values)
        bound = answer.bound if answer else sum(self.rows.value.values())
        self.note("value", value(self.problem, self.turns), bound)

    def granted(self) -> dict[int, int]:
        """Upper bounds that keep every slack where the plan has it."""
        values = self.rows.complete(self.turns)
        return {slack: values[slack] for slack in self.rows.slack}

    def evenness(self) -> None:
        """Stage (c): the most even plan with nearly all of the value."""
        self.progress("evenness")
        spread = evenness_terms(self.problem, self.rows)
        least = -(-value(self.problem, self.turns) * KEPT_OF_VALUE // 1000)
        answer = self.solve(
            spread,
            maximise=False,
            work=self.limits.evenness,
            at_most=self.granted(),
            cutoffs=(*self.kept, *(((self.rows.value, least, None),) if self.rows.value else ())),
        )
        if answer:
            self.turns = self.rows.turns(answer.values)
            self.note("evenness", answer.objective, answer.bound)

    def solve(
        self,
        objective: dict[int, int],
        *,
        maximise: bool,
        work: float,
        start: Turns | None = None,
        at_most: Mapping[int, int] | None = None,
        cutoffs: Sequence[Cutoff] = (),
    ) -> Answer | None:
        """One CP-SAT solve from the plan so far (or `start`); None where it found nothing."""
        started = monotonic()
        answer = solve_rows(
            self.rows,
            objective,
            maximise=maximise,
            hint=self.rows.complete(self.turns if start is None else start),
            work=work,
            seconds=self.limits.seconds,
            seed=self.problem.seed,
            stop=self.stop,
            at_most=at_most,
            cutoffs=cutoffs,
        )
        self.work += answer.work if answer else work
        unanswered = answer is None and monotonic() - started >= NEARLY * self.limits.seconds
        self.by_clock |= (answer.by_clock if answer else unanswered) and not self.stop.asked
        return answer

    def note(self, goal: str, reached: int, bound: int) -> None:
        """Write down how a stage ended."""
        open_end = "stopped" if self.stop.asked else "not proven"
        status = "proven" if reached == bound else open_end
        self.stages.append(StageResult(goal, reached, bound, status))


def _reading(small: Aggregate, rows: Rows, relaxed: Relaxed) -> Reading:
    """What a relaxation of the smaller week says about the whole one: bound, open blocks, shares of turns."""
    turns = relaxed.turns(rows).items()
    shares = {(small.kept[c], day): share for (c, day), share in turns if c < len(small.kept)}
    return relaxed.bound, relaxed.blocks(rows), shares


def evenness_terms(problem: WeekProblem, rows: Rows) -> dict[int, int]:
    """Stage (c) as one sum: spread of the days in thousandths, blocks, changes against the last plan."""
    rows.rule = "evenness"
    fullest, emptiest = rows.variable(0, 1000), rows.variable(0, 1000)
    for day, room in enumerate(problem.days):
        turns = [(v, problem.candidates[c]) for (c, d), v in rows.x.items() if d == day]
        used = [(v, 1000 * candidate.seconds_on(room)) for v, candidate in turns]
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

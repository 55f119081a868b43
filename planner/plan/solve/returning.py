"""The week after a missed stretch: as many turns as can still be taken, then few changes, then the rest.

Stage (a) is the week's own. Of what it saves, a twentieth may be spent on leaving turns of the plan before
where they stood; the turns that were missed are not among what is spent: each of them that stage (a) takes is
taken. A change is a turn of the plan before that no longer stands on its day. Its bound is "given these
turns", as that of the value is: no plan that breaks no soft rule further than this one changes fewer.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from planner.plan.problem import Turns, WeekProblem, changes, soft_cost
from planner.plan.solve.draft import repaired
from planner.plan.solve.rows import Cutoff
from planner.plan.solve.stages import Limits, Progress, Run, Solved
from planner.plan.stop import Stop

LIMITS = Limits(
    whole_up_to=1500,
    smaller_up_to=8400,
    items=0.2,
    turns=0.3,
    turns_up_to=1000,
    changes=0.2,
    value=0.2,
    evenness=0.1,
)
"""Less than a week's own: a rebalance answers in seconds, also for 400 combinations."""

LONGER = 5
"""How much more work fewer changes get where they are more than a tenth over their bound."""

KEPT_OF_TURNS = 950
"""Thousandths of what stage (a) saves that few changes leave [assumption]."""

LEAST_OF_BOUND = 900
"""Thousandths of what any plan can save that few changes leave: less is spent where stage (a) fell short."""


def solve_return(
    problem: WeekProblem, limits: Limits, progress: Progress, stop: Stop | None = None
) -> Solved:
    """The best plan within the limits with few changes against `problem.last` before value."""
    return _Return(problem, limits, progress, stop or Stop()).run()


def solve_quickly(
    problem: WeekProblem, limits: Limits, progress: Progress, stop: Stop | None = None
) -> Solved:
    """The plan before as far as it fits, filled by hand: milliseconds, every hard rule kept, no bound."""
    return _Quick(problem, limits, progress, stop or Stop()).run()


class _Return(Run):
    """One solve with the stages in the order that holds after a missed stretch."""

    spends_turns = True

    def __init__(self, problem: WeekProblem, limits: Limits, progress: Progress, stop: Stop) -> None:
        super().__init__(problem, limits, progress, stop)
        self.nearest = repaired(problem)
        if soft_cost(problem, self.nearest) < soft_cost(problem, self.turns):
            self.turns = self.nearest

    def in_order(self) -> Sequence[Callable[[], None]]:
        """The stages, the most important first."""
        return self.least_cost, self._fewest_changes, self.most_value, self.evenness

    def _fewest_changes(self) -> None:
        """Towards the plan before as far as the conditions let it; then no granted turn is withdrawn."""
        self.progress("changes")
        last = self.problem.last
        stay = {self.rows.x[turn]: 1 for turn in last if turn in self.rows.x}
        if changes(self.problem, self.turns) > len(last) - len(stay):
            conditions = self._conditions()
            self._nearer(stay, conditions)
            self._turns_again(stay, conditions)
        most = self._most(stay)
        reached = changes(self.problem, self.turns)
        self.kept = ((stay, len(last) - reached, None),) if stay else ()
        self.note("changes", reached, len(last) - most)

    def _most(self, stay: dict[int, int]) -> int:
        """The most turns of the plan before that any plan can keep that grants what this one grants."""
        from planner.plan.solve.relax import most

        def reached() -> int:
            return len(self.problem.last) - changes(self.problem, self.turns)

        if reached() == len(stay):
            return len(stay)
        bound = most(self.rows, stay, self.granted())
        bound = len(stay) if bound is None else min(bound, len(stay))
        if reached() == bound:
            return bound
        for work in (self.limits.changes, LONGER * self.limits.changes):
            answer = self.solve(stay, maximise=True, work=work, at_most=self.granted())
            if answer and answer.objective > reached():
                self.turns = self.rows.turns(answer.values)
            bound = min(bound, answer.bound) if answer else bound
            if self._few_enough(bound):
                break
        return bound

    def _few_enough(self, bound: int) -> bool:
        """Whether no more than a tenth more changes than where `bound` turns stay."""
        last = len(self.problem.last)
        return 10 * changes(self.problem, self.turns) <= 11 * (last - bound)

    def _conditions(self) -> tuple[Cutoff, ...]:
        """What few changes must leave: nearly all that stage (a) saves, and every missed turn it takes."""
        empty, cost = soft_cost(self.problem, frozenset()), soft_cost(self.problem, self.turns)
        allowed = empty - -(-(empty - cost) * KEPT_OF_TURNS // 1000)
        bound = next((stage.bound for stage in self.stages if stage.goal == "turns"), cost)
        allowed = min(allowed, max(cost, empty - -(-(empty - bound) * LEAST_OF_BOUND // 1000)))
        values = self.rows.complete(self.turns)
        missed = [v for c in self.problem.missed for v in self.rows.asked.get((c,), ())]
        taken = {v: 1 for v in missed if not values[v]}
        return ((self.rows.cost, None, allowed), *(((taken, None, 0),) if taken else ()))

    def _nearer(self, stay: dict[int, int], conditions: Sequence[Cutoff]) -> None:
        """The plan with the fewest changes of those made of turns that either plan has."""
        start = self.nearest if self._keeps(self.nearest, conditions) else self.turns
        if changes(self.problem, start) < changes(self.problem, self.turns):
            self.turns = start
        answer = self.solve(
            stay,
            maximise=True,
            work=self.limits.changes,
            start=start,
            at_most=self._outside(),
            cutoffs=conditions,
        )
        found = self.rows.turns(answer.values) if answer else self.turns
        if changes(self.problem, found) < changes(self.problem, self.turns):
            self.turns = found

    def _keeps(self, turns: Turns, conditions: Sequence[Cutoff]) -> bool:
        values = self.rows.complete(turns)
        return all(
            sum(factor * values[v] for v, factor in terms.items()) <= high
            for terms, _, high in conditions
            if high is not None
        )

    def _outside(self) -> dict[int, int]:
        """Turns of neither plan, closed; what was missed and is taken may stand on any day."""
        taken = {candidate for candidate, _ in self.turns} & set(self.problem.missed)
        inside = self.turns | self.nearest | set(self.problem.last)
        inside |= {turn for turn in self.rows.x if turn[0] in taken}
        return {v: 0 for turn, v in self.rows.x.items() if turn not in inside}

    def _turns_again(self, stay: dict[int, int], conditions: Sequence[Cutoff]) -> None:
        """With these changes, as much of what the turns save as can be had."""
        reached = sum(1 for turn in self.problem.last if turn in self.turns)
        cutoffs = ((stay, reached, None), *conditions[1:])
        answer = self.solve(self.rows.cost, maximise=False, work=self.limits.turns, cutoffs=cutoffs)
        found = self.rows.turns(answer.values) if answer else self.turns
        if soft_cost(self.problem, found) < soft_cost(self.problem, self.turns):
            self.turns = found


class _Quick(_Return):
    """No solver at all: for weeks that are planned again before anybody plays them."""

    def in_order(self) -> Sequence[Callable[[], None]]:
        """No stage; their figures are those of the plan."""
        return ()

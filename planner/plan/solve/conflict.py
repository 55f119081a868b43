"""Why a week does not hold everything: a smallest set of rules that clash.

`clash_of` asks in three steps and stops at the first that fails: the pins with the limits; then turns,
families and the like; then the days on which turns come. A set is smallest in the sense that every rule in it
is necessary: for each there is a plan that keeps all the others, and it is kept as a witness.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from planner.plan.problem import Turns, WeekProblem
from planner.plan.solve.effort import Effort
from planner.plan.solve.feasible import WORK, Question, keeps
from planner.plan.solve.fractional import fractional_core, shrunk
from planner.plan.solve.named import LIMITS, PINS, TIMELY, TURNS, WISHES, Named, NamedWeek, named_week

STEPS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("pins", (*LIMITS, *PINS)),
    ("turns", (*LIMITS, *PINS, *TURNS)),
    ("timely", (*LIMITS, *PINS, *TURNS, *TIMELY)),
)
QUICK_WORK = 0.1


@dataclass(frozen=True, slots=True)
class Clash:
    """Rules that cannot hold together, wishes and limits, in the step in which they were found.

    `witnesses[i]` keeps all of them but rule i; None where none was found within the work, which makes the
    set not surely smallest. `proven`: the clash itself is proven.
    """

    step: str
    rules: tuple[Named, ...]
    witnesses: tuple[Turns | None, ...]
    proven: bool

    @property
    def smallest(self) -> bool:
        """Whether every rule in the set is known to be necessary."""
        return self.proven and all(witness is not None for witness in self.witnesses)

    @property
    def limits(self) -> tuple[Named, ...]:
        """The limits in the set."""
        return tuple(rule for rule in self.rules if rule.kind in LIMITS)

    @property
    def wishes(self) -> tuple[Named, ...]:
        """The wishes in the set."""
        return tuple(rule for rule in self.rules if rule.kind in WISHES)


def rules_of(week: NamedWeek, step: str) -> tuple[Named, ...]:
    """The rules of a step, in order."""
    kinds = dict(STEPS)[step]
    return tuple(rule for rule in sorted(week.lines) if rule.kind in kinds)


def clash_of(
    problem: WeekProblem,
    steps: Sequence[str] = ("pins", "turns", "timely"),
    work: float = WORK,
    effort: Effort | None = None,
) -> Clash | None:
    """The first clash of the week; None where every rule of these steps can hold, or nothing is known.

    Where `effort` is over before a clash is small, it is told as large as it is, and not as a smallest one.
    """
    week = named_week(problem)
    question = Question(week, work, effort)
    for step in steps:
        rules = rules_of(week, step)
        core = _core(question, rules)
        if core is not None:
            return smallest(question, step, core)
    return None


def further_clashes(
    problem: WeekProblem, first: Clash, most: int, effort: Effort | None = None
) -> Iterator[Clash]:
    """Clashes of the same step that share no wish with those before, as long as `effort` is not over.

    One that is still large then is not told.
    """
    week = named_week(problem)
    question = Question(week, effort=effort)
    left = tuple(rule for rule in rules_of(week, first.step) if rule not in first.wishes)
    for _ in range(most):
        core = _core(question, left)
        if core is None:
            return
        found = smallest(question, first.step, core)
        if question.effort.over and not found.smallest:
            return  # a hundred rules that say little
        yield found
        left = tuple(rule for rule in left if rule not in found.wishes)


def _core(question: Question, rules: tuple[Named, ...]) -> tuple[Named, ...] | None:
    """Rules among these that clash, of few days running where it may be; None where none is proven."""
    effort = question.effort
    if question.ask(rules).turns is not None:
        return None
    quick = Question(question.week, QUICK_WORK, effort)
    for first, last in _stretches(len(question.week.problem.days)):
        if effort.over:
            return None
        inside = [rule for rule in rules if rule.kind in LIMITS or _lies_in(question.week, rule, first, last)]
        if all(rule.kind in LIMITS for rule in inside):
            continue
        core = fractional_core(question.week, inside, effort)
        if core is not None:
            core = shrunk(question.week, _preferred(question.week, core)[::-1], effort)
        if core is not None and not _holds(question, core):
            return core
        found = quick.ask(inside) if len(inside) < len(rules) else question.ask(inside)
        if found.turns is None and found.sure:
            return tuple(inside)
    return None


def _stretches(days: int) -> Iterator[tuple[int, int]]:
    """Days running, shortest first, the whole week last."""
    for length in range(1, days + 1):
        yield from ((first, first + length - 1) for first in range(days - length + 1))


def _lies_in(week: NamedWeek, rule: Named, first: int, last: int) -> bool:
    """Whether a wish can only be met on these days."""
    days = [week.day_of[v] for line in week.lines[rule] for v, _ in line.terms]
    return all(first <= day <= last for day in days)


def _holds(question: Question, rules: Iterable[Named]) -> bool:
    """Not proven to clash."""
    found = question.ask(rules)
    return found.turns is not None or not found.sure


def _may_hold(question: Question, rules: Iterable[Named]) -> bool:
    """The same, and where nothing more is to be tried, "it may hold": so more rules stay than are needed."""
    return question.effort.over or _holds(question, rules)


def smallest(question: Question, step: str, core: Sequence[Named]) -> Clash:
    """The fewest rules of several tries, each necessary, checked anew at the end."""
    week = question.week
    tries = [divide(question, (), order, grown=False) for order in _orders(week, core)]
    shortest = min((len(found), sorted(found)) for found in tries)[1]
    rules = tuple(sorted(shortest, key=_place))
    witnesses: list[Turns | None] = []
    for rule in rules:
        others = [one for one in rules if one != rule]
        turns = None if question.effort.over else question.ask(others).turns
        assert turns is None or keeps(week, others, turns), "a witness keeps what it is a witness for"
        witnesses.append(turns)
    return Clash(step, rules, tuple(witnesses), not _holds(question, rules))


def _place(rule: Named) -> tuple[int, Named]:
    return ((*WISHES, *LIMITS).index(rule.kind), rule)


def _orders(week: NamedWeek, core: Sequence[Named]) -> list[list[Named]]:
    """What stands first is kept rather than what stands last: limits first, or wishes first."""
    rules = _preferred(week, core)
    limits = [rule for rule in rules if rule.kind in LIMITS]
    return [rules, [*(rule for rule in rules if rule.kind in WISHES), *limits]]


def _preferred(week: NamedWeek, core: Sequence[Named]) -> list[Named]:
    """Limits, pins, then long turns before short ones: so that few are enough."""
    limits = sorted(rule for rule in core if rule.kind in LIMITS)
    wishes = [(rule.kind != "pin", -least_seconds(week, rule), rule) for rule in core if rule.kind in WISHES]
    return [*limits, *(rule for _, _, rule in sorted(wishes))]


def least_seconds(week: NamedWeek, rule: Named) -> int:
    """How many seconds a wish takes at the least; 0 for what is no turn."""
    if rule.kind not in ("pin", "turn", "pair", "shelf", "later", "rhythm"):
        return 0
    problem = week.problem
    asked = (rule.subject,) if rule.kind == "pin" else problem.windows[rule.subject].candidates
    return min(problem.candidates[c].seconds for c in asked)


def divide(
    question: Question, kept: tuple[Named, ...], rules: Sequence[Named], *, grown: bool
) -> list[Named]:
    """A smallest clashing part of `rules` beside what is `kept`, by halves.

    Junker: QuickXplain, preferred explanations and relaxations for over-constrained problems, AAAI 2004.
    """
    if grown and not _may_hold(question, kept):
        return []
    if len(rules) <= 1:
        return list(rules)
    middle = len(rules) // 2
    first, second = rules[:middle], rules[middle:]
    of_second = divide(question, (*kept, *first), second, grown=bool(first))
    of_first = divide(question, (*kept, *of_second), first, grown=bool(of_second))
    return [*of_first, *of_second]

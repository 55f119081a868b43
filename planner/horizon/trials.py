"""What a combination would cost on another day, or left out: each tried with the week planned again.

The turn is forced by a pin, within limited work, and what the week then gives up is told in the words of the
rules. A thousandth of a turn is the unit of what the soft rules cost.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date

from planner.horizon.pinned import day_name, why_not_on
from planner.need.weigh import Wish
from planner.plan.build import Week
from planner.plan.problem import Turns, WeekProblem, breaches, soft_cost, value
from planner.plan.solve.force import Forced, forced
from planner.plan.stop import Stop

MOST_NAMED = 5
"""New breaches that are named one by one; the others are counted."""

Breaches = Counter[tuple[str, str, int]]


@dataclass(frozen=True, slots=True)
class Trial:
    """What another day (or none at all: `day` is None) would cost.

    `possible` False: `reason` says why. `turns` is what the soft rules cost more, `value` the change of the
    items' value; `gives_up` counts broken rules by name, `names` says which. `proven`: it cannot cost less.
    """

    day: date | None
    possible: bool
    reason: str
    turns: int
    value: int
    gives_up: Mapping[str, int]
    names: tuple[str, ...]
    proven: bool


@dataclass(frozen=True, slots=True)
class Case:
    """The week, its problem, the plan's turns, and the one combination among the wishes."""

    week: Week
    problem: WeekProblem
    turns: Turns
    number: int
    past: frozenset[int]
    least: int
    stop: Stop | None

    @property
    def wish(self) -> Wish:
        """What the week wants of it."""
        return self.week.wishes[self.number]

    @property
    def days(self) -> tuple[int, ...]:
        """The days of the plan on which it stands."""
        return tuple(sorted(day for candidate, day in self.turns if candidate == self.number))

    @property
    def coming(self) -> tuple[int, ...]:
        """The same from today on."""
        return tuple(day for day in self.days if day not in self.past)


def trial_on(case: Case, day: int) -> Trial:
    """The turn on another day: instead of its next one where it has one, else as one more."""
    facts = case.week.days[day]
    if day not in case.problem.candidates[case.number].days:
        return _impossible(facts.date, why_not_on(case.week, case.number, day))
    off = frozenset(case.coming[:1]) if case.coming else frozenset[int]()
    found = forced(
        case.problem,
        case.turns,
        case.number,
        onto=day,
        off=off,
        fixed=case.past,
        least=case.least,
        stop=case.stop,
    )
    if found is None:
        return _impossible(facts.date, "it clashes there with what is pinned or already stands")
    return _weighed(case, found, facts.date)


def trial_without(case: Case) -> Trial:
    """The week without any further turn of it."""
    off = frozenset(range(len(case.week.days))) - case.past
    problem = replace(case.problem, pins=tuple(pin for pin in case.problem.pins if pin[0] != case.number))
    found = forced(
        problem,
        case.turns,
        case.number,
        onto=None,
        off=off,
        fixed=case.past,
        least=case.least,
        stop=case.stop,
    )
    if found is None:
        return _impossible(None, "what is pinned or already stands comes after it")
    return _weighed(case, found, None)


def _impossible(day: date | None, reason: str) -> Trial:
    return Trial(day, False, reason, 0, 0, {}, (), proven=True)


def _weighed(case: Case, found: Forced, day: date | None) -> Trial:
    before, after = (counted(case.problem, turns) for turns in (case.turns, found.turns))
    more = after - before
    fewer = before - after
    counts = Counter({rule: 0 for rule, _, _ in more})
    for (rule, _, _), number in more.items():
        counts[rule] += number
    for (rule, _, _), number in fewer.items():
        counts[rule] -= number
    dearest = sorted((one for one in more if counts[one[0]] > 0), key=lambda one: (-one[2], one[:2]))
    return Trial(
        day=day,
        possible=True,
        reason="",
        turns=found.cost - soft_cost(case.problem, case.turns),
        value=found.value - value(case.problem, case.turns),
        gives_up={rule: number for rule, number in sorted(counts.items()) if number},
        names=tuple(_named(case, rule, what) for rule, what, _ in dearest[:MOST_NAMED]),
        proven=found.proven,
    )


def counted(problem: WeekProblem, turns: Turns) -> Breaches:
    """Every broken soft rule as (rule, what, cost), with how often."""
    return Counter(breaches(problem, turns))


def _named(case: Case, rule: str, what: str) -> str:
    """One broken rule in a few words, with the day where it is about one."""
    return WORDS[rule].format(what=with_day(case, rule, what))


def with_day(case: Case, rule: str, what: str) -> str:
    """Days stand in breaches as their index; here they get their names."""
    head, _, last = what.rpartition(" ")
    if rule in ("families", "block size") and last.isdigit():
        name = day_name(case.week.days[int(last)].date, case.week.first_day)
        return f"{head} on {name}" if head else name
    if rule == "touches" and what.startswith("key group "):
        return f"the key on {PITCHES[int(last)]}"
    return pair_words(what) if len(what.split(" ", 2)) > 2 else what


def pair_words(what: str) -> str:
    """A pair of exercise and key or position: "clock-stairs in A major", "clock-stairs on position 4"."""
    exercise, kind, name = what.split(" ", 2)
    return f"{exercise} in {name}" if kind == "key" else f"{exercise} on position {name}"


PITCHES = ("C", "D♭", "D", "E♭", "E", "F", "F♯", "G", "A♭", "A", "B♭", "B")
WORDS = {
    "turns": "no turn for {what} in its span",
    "pairs": "{what} not met within two weeks",
    "delay": "a day more without {what}",
    "rhythm": "more than three practice days between turns of {what}",
    "small shelf": "no turn for {what} all week",
    "families": "a family missing on {what}",
    "block size": "a block of one combination, {what}",
    "touches": "{what} met less often than wanted",
    "term": "no turn for {what}, which the term promised",
}

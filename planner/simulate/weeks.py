"""Weeks solved in full beside the ways that stand for it: the fast rule, a draft by hand, a reduced limit.

Conventions: a week is that of one simulated player on a Monday of a term played by the fast rule; costs and
values are those of planner.plan.problem on the same problem. The fast rule's week is what it would play on
each day with the estimates of the Monday.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict, dataclass, replace
from typing import Any

import numpy as np

from planner.plan.problem import Turns, WeekProblem, soft_cost, value
from planner.plan.solve.draft import draft
from planner.plan.solve.stages import Limits, solve_week
from planner.simulate.catalogue import Catalogue
from planner.simulate.learners import Codes
from planner.simulate.policies import Ours, places_in_work
from planner.simulate.rules import Morning, items_a_week
from planner.simulate.sample_shelves import shelf_of
from planner.simulate.solved import REDUCED, shelves_of, week_problem
from planner.simulate.term import Setting, Term

FORMAT = "planner.simulated-weeks/1"
SHELF, SEED = "84", 1
FIVE = ((Setting("A", "mixed"), (2, 6, 10)), (Setting("B", "equal"), (3, 9)))
"""The weeks of one player that are solved in full."""

WAYS = ("solved in full", "reduced limit", "fast rule", "draft by hand")


@dataclass(frozen=True, slots=True)
class Way:
    """One way of making a week; `shared` of the full plan's combinations stand in it."""

    name: str
    cost: int
    value: int
    turns: int
    shared: float


@dataclass(frozen=True, slots=True)
class Week:
    """One week in all ways; `proven` is the bound of the full solve on the cost, `work` what it took."""

    setting: Setting
    seed: int
    number: int
    bound: int
    work: float
    ways: tuple[Way, ...]


class _Watched:
    """The fast rule, with the Mondays it was asked about."""

    def __init__(self) -> None:
        self.ours = Ours()
        self.mondays: dict[int, Morning] = {}

    def __call__(self, morning: Morning) -> Codes:
        if morning.day % 7 == 0:
            kept = replace(morning, last=morning.last.copy(), met_pairs=morning.met_pairs.copy())
            self.mondays[morning.week] = kept
        return self.ours(morning)


def five_weeks(progress: Callable[[int, int], None]) -> list[Week]:
    """Five weeks on the synthetic shelf of 84, solved in full; `progress` is told how many are done."""
    found: list[Week] = []
    of = sum(len(numbers) for _, numbers in FIVE)
    for setting, numbers in FIVE:
        for week in weeks(setting, shelf_of(SHELF), SEED, numbers, Limits()):
            found.append(week)
            progress(len(found), of)
    return found


def weeks(
    setting: Setting, catalogue: Catalogue, seed: int, numbers: Sequence[int], limits: Limits
) -> Iterator[Week]:
    """The weeks with these numbers (from 1) of one term played by the fast rule."""
    watched = _Watched()
    Term(setting, catalogue, (seed,), places_in_work(items_a_week(catalogue))).run(watched)
    for number in numbers:
        yield _week(setting, seed, watched.mondays[number], limits)


def weeks_to_json(found: Sequence[Week]) -> dict[str, Any]:
    """The weeks as JSON values."""
    return {"format": FORMAT, "shelf": SHELF, "weeks": [asdict(week) for week in found]}


def _week(setting: Setting, seed: int, monday: Morning, limits: Limits) -> Week:
    problem = week_problem(shelves_of(monday, Ours())[0], monday)
    full = solve_week(problem, limits, lambda _: None)
    plans = (
        full.turns,
        solve_week(problem, REDUCED, lambda _: None).turns,
        fast_week(monday),
        draft(problem),
    )
    bound = next(stage.bound for stage in full.stages if stage.goal == "turns")
    ways = tuple(_way(name, problem, plan, full.turns) for name, plan in zip(WAYS, plans, strict=True))
    return Week(setting, seed, monday.week, bound, full.work, ways)


def _way(name: str, problem: WeekProblem, turns: Turns, full: Turns) -> Way:
    names, others = ({c for c, _ in plan} for plan in (turns, full))
    return Way(
        name, soft_cost(problem, turns), value(problem, turns), len(turns), len(names & others) / len(others)
    )


def fast_week(monday: Morning) -> Turns:
    """What the fast rule would play from this Monday to its Sunday with the estimates of the Monday."""
    ours = Ours()
    morning = replace(monday, last=monday.last.copy(), met_pairs=monday.met_pairs.copy())
    turns = set()
    for day in range(7):
        if not monday.calendar.practised(monday.day + day):
            continue
        morning.day = monday.day + day
        chosen = ours(morning)[0]
        turns |= {(int(combination), day) for combination in chosen}
        morning.last[0, chosen] = morning.day
        met = (monday.catalogue.pairs[chosen] > 0).any(axis=0)
        morning.met_pairs[0, np.flatnonzero(met)] = morning.day
    return frozenset(turns)

"""The weeks of a term laid out in days, one after the other, each by the real week with all its rules.

What a week laid out has turned into is the past of the next one. A week that cannot hold all that the term
promised for it sends a cut back: it keeps the promises it holds, and the rest of the term is solved again
with those it does not.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from fractions import Fraction
from functools import cached_property
from typing import Any

from planner.diary.rating import Rating
from planner.horizon.term_problem import FREE_SHARE, Costed, come_in, last_met, term_problem
from planner.horizon.term_shelf import TermShelf, assumed_turn, carried_on
from planner.horizon.week import Request, checked, plan_from
from planner.need.capacity import Capacity, capacity
from planner.need.combinations import Scope
from planner.need.turns import turns_before
from planner.need.weigh import Wish, lost_between, pairs_of, wishes
from planner.plan.build import HEAVY_FAMILY, DayBefore, Week, week_problem
from planner.plan.problem import WeekProblem
from planner.plan.solve.quick import by_hand, open_promises
from planner.plan.solve.stages import Limits, Solved
from planner.plan.solve.term import solve_again
from planner.plan.term.problem import Tally, TermProblem

Progress = Callable[[str], None]
QUICK = Limits(nodes=1, whole_up_to=0, smaller_up_to=0, items=0.1, turns_up_to=0, stages=1)
"""Fewer units of work for a week ahead: a relaxation without whole blocks, then the items inside them."""


@dataclass(frozen=True)
class LaidOut:
    """One week as it came out: the checked plan (JSON) and what the term had promised for it."""

    index: int
    plan: Mapping[str, Any]
    promised: tuple[str, ...]
    left: tuple[str, ...]
    cuts: int

    @cached_property
    def turns(self) -> list[tuple[str, date, str]]:
        """Combination, day and articulation of every turn."""
        return [
            (item["combination"], date.fromisoformat(day["date"]), item["articulation"])
            for day in self.plan["days"]
            for item in day["items"]
            if item["combination"] and item["go"] == 1
        ]


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a week wants before the term promises anything in it; it holds until the week is laid out."""

    shelf: Scope
    room: Capacity
    wishes: tuple[Wish, ...]


@dataclass(frozen=True, slots=True)
class Tried:
    """A week tried with some promises: the turns that stand, the promises that do not."""

    index: int
    week: Week
    problem: WeekProblem
    solved: Solved
    promised: tuple[str, ...]
    left: tuple[str, ...]


@dataclass(slots=True)
class Laying:
    """A term on its way through its weeks."""

    costs: Costed
    request: Request
    span_weeks: int
    free: Fraction
    progress: Progress
    ratings: list[Rating] = field(default_factory=list)
    had: Counter[str] = field(default_factory=Counter)
    weeks: list[LaidOut] = field(default_factory=list)
    sunday: tuple[date, Fraction] | None = None
    wanted: dict[int, Wanted] = field(default_factory=dict)

    @property
    def shelf(self) -> TermShelf:
        """The shelf the term is made from."""
        return self.costs.shelf

    def run(self, tally: Tally) -> tuple[LaidOut, ...]:
        """Every week laid out; `tally` is the term solved as a whole."""
        self.ratings = list(self.shelf.ratings)
        offset = 0
        for index in range(len(self.shelf.weeks)):
            self.progress(f"laying out week {self.shelf.weeks[index].number}")
            promised = self._promised(tally, index, index - offset)
            found = self._tried(index, promised)
            cuts = len(found.left)
            self._take(self._written(self._cut_back(found) if cuts else found, cuts))
            if cuts and index + 1 < len(self.shelf.weeks):
                tally, offset = self._solved_again(index + 1), index + 1
        return tuple(self.weeks)

    def _cut_back(self, found: Tried) -> Tried:
        """The week keeps the promises it holds, on the days it has for them.

        The others go back to the term, which is solved again from the next week on with all that is open.
        """
        kept = tuple(name for name in found.promised if name not in found.left)
        week = self._week(found.index, kept)
        problem = week_problem(week)
        return Tried(found.index, week, problem, by_hand(problem, found.solved.turns), kept, ())

    def _solved_again(self, index: int) -> Tally:
        """The rest of the term, even where everything fits."""
        return solve_again(self.problem_from(index), even=self.free == FREE_SHARE)

    def problem_from(self, index: int) -> TermProblem:
        """The term from a week on, as everything stands by then."""
        last = last_met(turns_before(self.ratings, self.shelf.weeks[index].first))
        return term_problem(self.costs, last, index, span_weeks=self.span_weeks, free=self.free)

    def _promised(self, tally: Tally, index: int, column: int) -> tuple[str, ...]:
        """Which combinations the numbers of a week mean: the first in the curriculum, the longest waiting."""
        first_day = self.shelf.weeks[index].first
        last = come_in(self.costs, last_met(turns_before(self.ratings, first_day)))
        found: list[str] = []
        for g, line in enumerate(self.costs.lines):
            here = [c for c in line.combinations if self.costs.own[c.id] <= index]
            open_ = [c for c in here if self.shelf.open_in(c, index)]
            new = [c.id for c in open_ if c.id not in last]
            met = sorted((last[c.id], c.id) for c in open_ if c.id in last)
            found += new[: tally.first[g][column]]
            found += [name for _, name in met[: tally.back[g][column]]]
        return tuple(found)

    def _wanted(self, index: int) -> Wanted:
        """What a week wants, as everything stands before it."""
        if index not in self.wanted:
            days, player, ratings = self.shelf.weeks[index], self.shelf.player, tuple(self.ratings)
            shelf = self.shelf.scope_in(index)
            estimates = carried_on(self.shelf.estimates, self.had, days.first)
            room = capacity(shelf, estimates, ratings, player, days.first)
            wished = wishes(shelf, estimates, ratings, player, days.first, days.last, room)
            self.wanted = {index: Wanted(shelf, room, wished)}
        return self.wanted[index]

    def _tried(self, index: int, promised: tuple[str, ...]) -> Tried:
        """The turns of one week with these promises."""
        week = self._week(index, promised)
        problem = week_problem(week)
        solved = _solved(problem)
        left = tuple(name for name in open_promises(problem, solved.turns) if name in promised)
        return Tried(index, week, problem, solved, promised, left)

    def _week(self, index: int, promised: tuple[str, ...]) -> Week:
        """One week with these promises."""
        days, wanted = self.shelf.weeks[index], self._wanted(index)
        wished = wanted.wishes
        ahead = tuple(w.id for w in wished if w.state == "kept up" and w.wanted and w.id not in promised)
        return Week(
            player=self.shelf.player,
            wishes=wished,
            pairs=pairs_of(wished, days.last, lambda met: lost_between(self.shelf.player, met, days.first)),
            capacity=wanted.room,
            days=days.facts,
            before=self._day_before(index),
            last_turns=frozenset(),
            pins=frozenset(),
            seed=self.request.seed,
            promised=(*promised, *ahead),
        )

    def _written(self, found: Tried, cuts: int) -> LaidOut:
        """A week as a plan of days, checked."""
        days, player, ratings = self.shelf.weeks[found.index], self.shelf.player, tuple(self.ratings)
        request = replace(
            self.request, player=player, ratings=ratings, first_day=days.first, last_day=days.last
        )
        shelf = self._wanted(found.index).shelf
        plan = plan_from(request, found.week, shelf, found.problem, found.solved).to_json()
        checked(self.shelf.curriculum, player, ratings, plan)
        return LaidOut(found.index, plan, found.promised, found.left, cuts)

    def _day_before(self, index: int) -> DayBefore:
        """The day before a week: the diary's for the first, the Sunday laid out for all others."""
        if index == 0 or self.sunday is None:
            from planner.horizon.week import day_before

            request = replace(self.request, first_day=self.shelf.first_day, ratings=self.shelf.ratings)
            return day_before(request, self.shelf.scope_in(0), self.shelf.estimates, self.shelf.ratings)
        day, load = self.sunday
        names = frozenset(rating.combination for rating in self.ratings if rating.day == day)
        heavy = {e.id for e in self.shelf.curriculum.exercises if e.family == HEAVY_FAMILY}
        return DayBefore(day, load, any(name.split("/")[0] in heavy for name in names), names)

    def _take(self, found: LaidOut) -> None:
        """What was laid out becomes the past of the weeks after it."""
        self.weeks.append(found)
        for name, day, articulation in found.turns:
            self.ratings.append(assumed_turn(day, name, articulation))
            self.had[name] += 1
        last = found.plan["days"][-1]
        day = date.fromisoformat(last["date"])
        self.sunday = (day, Fraction(str(last["load"])))


def _solved(problem: WeekProblem) -> Solved:
    """The week by hand where that holds everything promised, else with the solver."""
    from planner.plan.solve.quick import quick_week

    return quick_week(problem, QUICK)

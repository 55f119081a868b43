"""One plan and everything its rules are checked against, recomputed from the inputs once.

Reading: what is playable this week is what the plan lists in "combinations" (the rule "scope" checks that
list); only ratings of days before the first day count for states, turns and estimates.
"""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from planner.diary.rating import Rating
from planner.inputs.curriculum import Curriculum
from planner.inputs.player import Player
from planner.plan.verify.breach import Breach
from planner.plan.verify.days import DayFacts, day_facts, monday
from planner.plan.verify.notes import Notes
from planner.plan.verify.reckoning import PracticeDays, practice_days
from planner.plan.verify.repertoire import Combination, repertoire
from planner.plan.verify.term_dates import with_dates
from planner.plan.weekplan import CombinationState, PlanDay, PlanItem, WeekPlan

WEEK = 7
FRAME = ("warm-up", "warm-down")
OWN_MUSIC = "own music"


@dataclass(frozen=True, slots=True)
class Block:
    """Items of one exercise that stand together on a day."""

    exercise: str
    items: tuple[PlanItem, ...]

    @property
    def combinations(self) -> frozenset[str]:
        """The combinations in it."""
        return frozenset(item.combination for item in self.items)

    @property
    def intensity(self) -> int:
        """The intensity of its heaviest item."""
        return max(item.intensity for item in self.items)


@dataclass(frozen=True, slots=True)
class Day:
    """One day of the plan beside what its date allows."""

    plan: PlanDay
    facts: DayFacts
    blocks: tuple[Block, ...]

    @property
    def date(self) -> dt.date:
        """Its date."""
        return self.facts.date

    @property
    def combinations(self) -> frozenset[str]:
        """The combinations that have a turn on it."""
        return frozenset(item.combination for item in self.plan.items if item.combination)

    def families(self) -> frozenset[str]:
        """The families of its blocks and own music."""
        return frozenset(item.family for item in self.plan.items if item.family not in (*FRAME, ""))


@dataclass(frozen=True, slots=True)
class Case:
    """Inputs, plan and what was recomputed.

    `known` holds every combination of the curriculum, `playable` those of the week with what the plan says
    of them, `rated` all ratings before the week, `last` the last of each combination, `turns` the days of the
    week (0 to 6) of every turn, `new_before` what was first met in the week of the day before it, `usual` the
    practice days of the whole calendar week, whatever part of it is planned.
    """

    curriculum: Curriculum
    player: Player
    plan: WeekPlan
    notes: Notes
    days: tuple[Day, ...]
    before: DayFacts
    known: Mapping[str, Combination]
    playable: Mapping[str, CombinationState]
    last: Mapping[str, Rating]
    rated_before: tuple[Rating, ...]
    new_before: frozenset[str]
    rated: tuple[Rating, ...]
    turns: Mapping[str, tuple[int, ...]]
    calendar: PracticeDays
    usual: tuple[DayFacts, ...]

    @property
    def first_day(self) -> dt.date:
        """The first day of the week."""
        return self.days[0].date

    @property
    def last_day(self) -> dt.date:
        """The last day of the week."""
        return self.days[-1].date

    @property
    def practice(self) -> tuple[int, ...]:
        """The days of the week (0 to 6) on which there is anything to practise."""
        return tuple(index for index, day in enumerate(self.days) if day.facts.practice)

    def played(self) -> Iterator[tuple[Day, PlanItem, Combination]]:
        """Every item of a known combination that can be written for the instrument, with its day."""
        for day in self.days:
            for item in day.plan.items:
                one = self.known.get(item.combination)
                if one is not None and one.part is not None:
                    yield day, item, one


def breach(rule: str, day: Day | None, what: str) -> Breach:
    """A breach on a day, or about the week."""
    return Breach(rule, day.date if day else None, what)


def build(
    curriculum: Curriculum, player: Player, ratings: Sequence[Rating], plan: WeekPlan, notes: Notes
) -> Case:
    """Everything the rules need; the plan's seven dates have been checked."""
    player = with_dates(player, curriculum)
    first = plan.first_day
    known = repertoire(curriculum, player)
    earlier = sorted((one for one in ratings if one.day < first), key=lambda one: (one.day, one.at))
    last = {one.combination: one for one in earlier}
    earliest = min([first, *(one.day for one in last.values())]) - dt.timedelta(days=1)
    days = tuple(_day(player, day) for day in plan.days)
    eve = first - dt.timedelta(days=1)
    return Case(
        curriculum=curriculum,
        player=player,
        plan=plan,
        notes=notes,
        days=days,
        before=day_facts(player, eve),
        known=known,
        playable={one.combination: one for one in plan.combinations if _written(known, one.combination)},
        last=last,
        rated_before=tuple(one for one in earlier if one.day == eve),
        new_before=frozenset(last) - {one.combination for one in earlier if one.day < monday(eve)},
        rated=tuple(earlier),
        turns=_turns(days),
        calendar=practice_days(player, earliest, plan.last_day),
        usual=_usual(player, first),
    )


def _usual(player: Player, first: dt.date) -> tuple[DayFacts, ...]:
    """The practice days of the whole calendar week, Monday to Sunday, that the first day lies in."""
    start = monday(first)
    week = (day_facts(player, start + dt.timedelta(days=step)) for step in range(WEEK))
    return tuple(facts for facts in week if facts.practice)


def _written(known: Mapping[str, Combination], name: str) -> bool:
    return name in known and known[name].part is not None


def _day(player: Player, day: PlanDay) -> Day:
    worked = [item for item in day.items if item.combination]
    groups = groupby(worked, key=lambda item: item.exercise)
    blocks = tuple(Block(exercise, tuple(items)) for exercise, items in groups)
    return Day(day, day_facts(player, day.date), blocks)


def _turns(days: Sequence[Day]) -> Mapping[str, tuple[int, ...]]:
    found: dict[str, list[int]] = defaultdict(list)
    for index, day in enumerate(days):
        for name in sorted(day.combinations):
            found[name].append(index)
    return {name: tuple(indexes) for name, indexes in found.items()}

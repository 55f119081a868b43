"""One term beside everything its rules are checked against, recomputed from the inputs once.

Readings: days that cannot be practised are dates marked free and days whose limit leaves no minutes; a wait
counts the days from one turn to the next without those of them that lie strictly between the two; the last
wait of a combination ends with the last day of the term.
"""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from planner.diary.rating import Rating
from planner.inputs.curriculum import Curriculum
from planner.inputs.player import Player
from planner.plan.term.termplan import TermDay, TermItem, TermPlan, TermWeek
from planner.plan.verify.days import DayFacts, day_facts, not_practicable
from planner.plan.verify.repertoire import Combination, repertoire
from planner.plan.verify.term_dates import with_dates

WEEK = 7


@dataclass(frozen=True, slots=True)
class TermCase:
    """Inputs, term and what was recomputed; `last` is the last rating of everything met before the term."""

    curriculum: Curriculum
    player: Player
    term: TermPlan
    known: Mapping[str, Combination]
    last: Mapping[str, Rating]
    facts: Mapping[dt.date, DayFacts]
    turns: Mapping[str, tuple[dt.date, ...]]
    away: frozenset[dt.date]

    @property
    def days(self) -> Iterator[tuple[TermWeek, TermDay, DayFacts]]:
        """Every day of the term with its week and what its date allows."""
        for week in self.term.weeks:
            for day in week.days:
                yield week, day, self.facts[day.date]

    @property
    def items(self) -> Iterator[tuple[TermWeek, TermDay, TermItem]]:
        """Every item with its week and day."""
        for week in self.term.weeks:
            for day in week.days:
                for item in day.items:
                    yield week, day, item

    def waited(self, begin: dt.date, end: dt.date) -> int:
        """Days from `begin` to `end` without those between them that could not be practised."""
        days = (end - begin).days
        return days - sum(begin + dt.timedelta(days=n) in self.away for n in range(1, days))

    def waits(self, name: str) -> list[int]:
        """The waits of a combination, the last one up to the end of the term.

        What was met before and comes in in a week still ahead waits from that week on.
        """
        before = [self.last[name].day] if name in self.last else []
        comes_in = self.player.starts + dt.timedelta(weeks=self.known[name].week - 1)
        if comes_in > self.term.first_day:
            before = [max(day, comes_in) for day in before]
        marks = [*before, *self.turns.get(name, ())]
        ends = [*marks[1:], self.term.last_day][: len(marks)]
        return [self.waited(begin, end) for begin, end in zip(marks, ends, strict=True)]


def build_term(curriculum: Curriculum, player: Player, ratings: Sequence[Rating], term: TermPlan) -> TermCase:
    """Everything the rules need; the term's dates have been checked."""
    player = with_dates(player, curriculum)
    earlier = sorted((one for one in ratings if one.day < term.first_day), key=lambda one: (one.day, one.at))
    last = {one.combination: one for one in earlier}
    earliest = min([term.first_day, *(one.day for one in last.values())])
    count = (term.last_day - earliest).days + 1
    dates = [earliest + dt.timedelta(days=n) for n in range(count)]
    turns: dict[str, list[dt.date]] = defaultdict(list)
    for week in term.weeks:
        for day in week.days:
            for item in day.items:
                turns[item.combination].append(day.date)
    return TermCase(
        curriculum=curriculum,
        player=player,
        term=term,
        known=repertoire(curriculum, player),
        last=last,
        facts={day.date: day_facts(player, day.date) for week in term.weeks for day in week.days},
        turns={name: tuple(days) for name, days in turns.items()},
        away=frozenset(day for day in dates if not_practicable(player, day)),
    )

"""What a term is made of: its weeks, what is played in it, what was met before, as today's estimate has it.

Conventions: weeks are Monday to Sunday, the first may begin on a later day; indices count from 0. An estimate
of a later week is today's carried on: every turn lifts its combination by RISE_A_TURN notches, up to the goal
and never over it; the spread stays.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta

from planner.diary.rating import Rating
from planner.inputs.curriculum import Curriculum
from planner.inputs.player import Player
from planner.need.clean_tempo import CleanTempo, Estimates, estimate
from planner.need.combinations import Combination, Scope, barred, curriculum_week, scope
from planner.need.days import DayFacts, week_facts
from planner.need.parts import DEFAULT, Scales

RISE_A_TURN = 0.5
"""Notches by which one turn is assumed to lift a combination: half a mark of the metronome [assumption]."""


@dataclass(frozen=True, slots=True)
class TermDays:
    """One week of the term: its number in the curriculum and its days."""

    number: int
    first: date
    last: date
    facts: tuple[DayFacts, ...]

    @property
    def practice(self) -> tuple[DayFacts, ...]:
        """The days with free minutes."""
        return tuple(day for day in self.facts if day.practice)


@dataclass(frozen=True, slots=True)
class TermShelf:
    """Everything the term is planned from.

    `found` holds the scope of the last day without limits of single weeks; `estimates` are today's.
    """

    curriculum: Curriculum
    player: Player
    ratings: tuple[Rating, ...]
    weeks: tuple[TermDays, ...]
    found: Scope
    estimates: Estimates

    @property
    def first_day(self) -> date:
        """The first day planned."""
        return self.weeks[0].first

    @property
    def last_day(self) -> date:
        """The last day planned."""
        return self.weeks[-1].last

    @property
    def combinations(self) -> tuple[Combination, ...]:
        """All that comes in at some time of the term and can be played, limits aside."""
        return (*self.found.playable, *self.found.limited)

    def week_of(self, day: date) -> int:
        """The index of the week in which a day lies; below 0 before the term."""
        monday = self.weeks[0].first - timedelta(days=self.weeks[0].first.weekday())
        return (day - monday).days // 7

    def own_week(self, combination: Combination) -> int:
        """The index of the week in which it is first met: its own, or the first after it with practice.

        Negative where its week lies before the term.
        """
        index = combination.intro_week - self.weeks[0].number
        while 0 <= index < len(self.weeks) and not self.weeks[index].practice:
            index += 1
        return index

    def open_in(self, combination: Combination, week: int) -> bool:
        """Whether any day of a week lets it be played."""
        if not self.player.limits:
            return bool(self.weeks[week].practice)
        return any(not barred(combination, self.player, day.date) for day in self.weeks[week].practice)

    def scope_in(self, week: int) -> Scope:
        """The scope of one week, as `scope` would find it for its days."""
        days = self.weeks[week]
        excluded = dict(self.found.excluded)
        own: dict[str, list[Combination]] = {"playable": [], "later": [], "limited": []}
        for combination in (*self.found.playable, *self.found.later, *self.found.limited):
            excluded.pop(combination.id, None)
            reason = self._barred_throughout(combination, days)
            if reason:
                excluded[combination.id] = reason
            in_time = "playable" if combination.intro_week <= days.number else "later"
            own["limited" if reason else in_time].append(combination)
        order = {draft: place for place, draft in enumerate(self._order)}
        return replace(
            self.found,
            day=days.first,
            week=days.number,
            excluded=tuple(sorted(excluded.items(), key=lambda pair: order.get(pair[0], 0))),
            **{name: tuple(sorted(group, key=lambda c: order[c.id])) for name, group in own.items()},
        )

    @property
    def _order(self) -> tuple[str, ...]:
        from planner.need.combinations import drafts

        return tuple(draft.id for exercise in self.curriculum.exercises for draft in drafts(exercise))

    def _barred_throughout(self, combination: Combination, days: TermDays) -> str:
        if not self.player.limits:
            return ""
        reasons = [barred(combination, self.player, day.date) for day in days.facts]
        return reasons[0] if all(reasons) else ""


def term_shelf(
    curriculum: Curriculum,
    player: Player,
    ratings: Iterable[Rating],
    first_day: date,
    scales: Scales = DEFAULT,
) -> TermShelf:
    """The shelf of a term from `first_day` to the Sunday of the curriculum's last week."""
    earlier = tuple(rating for rating in ratings if rating.day < first_day)
    weeks = tuple(_weeks(curriculum, player, first_day))
    found = scope(curriculum, player, first_day, weeks[-1].last)
    return TermShelf(
        curriculum=curriculum,
        player=player,
        ratings=earlier,
        weeks=weeks,
        found=found,
        estimates=estimate(found.written, earlier, first_day, player, scales),
    )


def _weeks(curriculum: Curriculum, player: Player, first_day: date) -> Iterable[TermDays]:
    day = first_day
    while curriculum_week(player, day) <= curriculum.weeks:
        sunday = day + timedelta(days=6 - day.weekday())
        yield TermDays(curriculum_week(player, day), day, sunday, week_facts(player, day, sunday))
        day = sunday + timedelta(days=1)


def carried_on(estimates: Estimates, turns: Mapping[str, int], day: date) -> Estimates:
    """The estimates of a later day: lifted by the turns that every combination has had until then."""
    return Estimates(
        day,
        {
            name: _lifted(clean, turns[name[0]]) if turns.get(name[0]) else clean
            for name, clean in estimates.estimates.items()
        },
        estimates.first_guesses,
        estimates.rated,
    )


def _lifted(clean: CleanTempo, turns: int) -> CleanTempo:
    goal = max(0.0, clean.mean)
    return CleanTempo(round(min(goal, clean.mean + RISE_A_TURN * turns), 6), clean.sd)


def assumed_turn(day: date, combination: str, articulation: str) -> Rating:
    """A turn of the plan as the diary would have it, played and not rated."""
    return Rating(day, combination, articulation, None, None, None, None)

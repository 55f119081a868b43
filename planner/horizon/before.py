"""What the plans before a rebalance had: as stored, else as they would have been made, by hand."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

from planner.diary.rating import Rating
from planner.horizon.fates import Turn, sunday_of, turns_of
from planner.horizon.week import Request, week_of
from planner.inputs.player import Player
from planner.plan.build import week_problem
from planner.plan.solve.draft import draft

StoredPlan = Callable[[date], Mapping[str, Any] | None]


@dataclass(frozen=True, slots=True)
class Situation:
    """What a rebalance is made from.

    `request` is that of today's week under what was told; `before` the player without it; `missed` the days
    told as missed, past or to come, on which nothing was played; `stored` gives the plan of a day.
    """

    request: Request
    before: Player
    missed: tuple[date, ...]
    stored: StoredPlan


def turns_before(found: Situation, ahead: date) -> Iterator[Turn]:
    """The turns that the plans before had on missed days and from today on."""
    today = found.request.first_day
    wanted = {day for day in found.missed if day < today}
    day = min([*wanted, today])
    played = list(found.request.ratings)
    rated = {rating.day for rating in found.request.ratings}
    while day <= ahead:
        sunday = sunday_of(day)
        days = [day + timedelta(days=n) for n in range((sunday - day).days + 1)]
        inside = [one for one in days if one in wanted or one >= today]
        if inside:
            turns = [turn for turn in _stored_or_made(found, played, inside) if turn.day in set(inside)]
            yield from turns
            played += [as_played(turn) for turn in turns if turn.day not in rated]
        day = sunday + timedelta(days=1)


def _stored_or_made(found: Situation, played: Sequence[Rating], days: Sequence[date]) -> list[Turn]:
    """The turns of these days of one week as stored, else as they would have been made."""
    turns: list[Turn] = []
    without = []
    for day in days:
        plan = found.stored(day)
        if plan is None:
            without.append(day)
        else:
            turns += [turn for turn in turns_of(plan) if turn.day == day]
    if without:
        earlier = [*played, *(as_played(turn) for turn in turns if turn.day < without[0])]
        turns += [turn for turn in _sketch(found, earlier, without[0], days[-1]) if turn.day in set(without)]
    return sorted(turns, key=lambda turn: (turn.day, turn.combination))


def _sketch(found: Situation, played: Sequence[Rating], first: date, last: date) -> Iterator[Turn]:
    """A week as it would have been made, by the constructive plan alone."""
    request = replace(
        found.request,
        player=found.before,
        ratings=tuple(played),
        first_day=first,
        last_day=last,
        last_turns=frozenset(),
        missed=frozenset(),
        changes_first=False,
    )
    week, _ = week_of(request)
    counts: dict[str, int] = {}
    for candidate, index in sorted(draft(week_problem(week)), key=lambda turn: (turn[1], turn[0])):
        wish = week.wishes[candidate]
        take = wish.take(counts.get(wish.id, 0))
        counts[wish.id] = counts.get(wish.id, 0) + 1
        title = wish.combination.exercise.title
        yield Turn(week.days[index].date, wish.id, take.articulation, title, wish.state)


def as_played(turn: Turn) -> Rating:
    """A turn as if it had been played and not rated: it counts as a turn and moves no estimate up."""
    return Rating(turn.day, turn.combination, turn.articulation, None, None, None, None)

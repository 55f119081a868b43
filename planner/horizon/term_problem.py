"""From the shelf to the term as whole numbers: rooms of the weeks, lines of combinations, spans.

Conventions: seconds are whole, rounded up for an item and down for room; load is in thousandths. An item
costs what it costs today: as tempos rise it takes less time, which leaves room to spare.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass, replace
from datetime import date, timedelta
from fractions import Fraction

from planner.brass.tempo import SET_UP_SECONDS
from planner.horizon.term_shelf import TermDays, TermShelf
from planner.need.capacity import IN_WORK_EVERY, TWO_DAYS, USUAL_SET_UPS, in_work_places, next_take
from planner.need.clean_tempo import CleanTempo
from planner.need.combinations import Combination
from planner.need.days import practicable
from planner.need.targets import Take, take_of
from planner.need.turns import Turns, turns_before
from planner.need.weigh import MOST_NEW_IN_TWO_GOES
from planner.plan.build import HEAVY_FAMILY
from planner.plan.term.problem import PAIR_WEEKS, Group, TermExercise, TermProblem, TermWeekRoom

FREE_SHARE = Fraction(1, 4)


@dataclass(frozen=True, slots=True)
class Line:
    """The combinations of one group, in the order of the curriculum."""

    exercise: str
    combinations: tuple[Combination, ...]


@dataclass(frozen=True, slots=True)
class Costed:
    """The shelf with what one item of everything takes today, and the lines that follow from it.

    `item_seconds` and `item_load` are means over all items; `rooms` holds seconds and load for items, week by
    week; `own` is the week in which each combination is first met.
    """

    shelf: TermShelf
    takes: Mapping[str, Take]
    lines: tuple[Line, ...]
    item_seconds: Fraction
    item_load: Fraction
    rooms: tuple[tuple[int, Fraction], ...]
    own: Mapping[str, int]

    def on(self, shelf: TermShelf) -> Costed:
        """The same items on other weeks."""
        return replace(self, shelf=shelf, rooms=_rooms(shelf), own=_own(shelf))

    def items_in(self, week: int) -> int:
        """How many items a week carries."""
        seconds, load = self.rooms[week]
        if not self.takes:
            return 0
        return min(math.floor(seconds / self.item_seconds), math.floor(load / self.item_load))


def costed(shelf: TermShelf) -> Costed:
    """Every combination with its next item, in lines of the same exercise and the same lip work."""
    turns = turns_before(shelf.ratings, shelf.first_day)
    takes = {
        c.id: next_take(c, shelf.estimates, turns, shelf.player, shelf.first_day) for c in shelf.combinations
    }
    lines: dict[tuple[str, int], list[Combination]] = defaultdict(list)
    for combination in shelf.combinations:
        lines[combination.exercise.id, combination.intensity].append(combination)
    count = max(1, len(takes))
    return Costed(
        shelf=shelf,
        takes=takes,
        lines=tuple(Line(exercise, tuple(group)) for (exercise, _), group in lines.items()),
        item_seconds=Fraction(sum(take.seconds for take in takes.values()), count),
        item_load=sum((take.load for take in takes.values()), Fraction(0)) / count,
        rooms=_rooms(shelf),
        own=_own(shelf),
    )


def _own(shelf: TermShelf) -> dict[str, int]:
    return {combination.id: shelf.own_week(combination) for combination in shelf.combinations}


def _rooms(shelf: TermShelf) -> tuple[tuple[int, Fraction], ...]:
    return tuple(week_room(shelf, days) for days in shelf.weeks)


def term_problem(
    costs: Costed,
    last: Mapping[str, date],
    first_week: int,
    *,
    span_weeks: int,
    free: Fraction,
) -> TermProblem:
    """The term from week `first_week` on, with what was last met when; `free` is the share left to need."""
    shelf, last = costs.shelf, come_in(costs, last)
    weeks = range(first_week, len(shelf.weeks))
    exercises = tuple(dict.fromkeys(line.exercise for line in costs.lines))
    goes = _goes(costs, last, first_week)
    groups = tuple(
        _group(costs, line, exercises, last, weeks, goes=goes, span_weeks=span_weeks) for line in costs.lines
    )
    return TermProblem(
        rooms=tuple(_room(costs, last, week, free) for week in weeks),
        exercises=tuple(_exercise(costs, name, exercises, weeks) for name in exercises),
        groups=groups,
        span_end=tuple(_span_end(shelf, week, span_weeks) - first_week for week in weeks),
    )


def _group(
    costs: Costed,
    line: Line,
    exercises: Sequence[str],
    last: Mapping[str, date],
    weeks: range,
    *,
    goes: tuple[int, ...],
    span_weeks: int,
) -> Group:
    shelf, members = costs.shelf, line.combinations
    new = [max(weeks[0], costs.own[c.id]) for c in members if c.id not in last]
    back = [
        max(weeks[0], last_chance(shelf, last[c.id], weeks[0], span_weeks)) for c in members if c.id in last
    ]
    takes = [costs.takes[c.id] for c in members]
    return Group(
        exercise=exercises.index(line.exercise),
        seconds=math.ceil(Fraction(sum(take.seconds for take in takes), len(takes))),
        load=math.ceil(1000 * sum((take.load for take in takes), Fraction(0)) / len(takes)),
        goes=goes,
        arrivals=tuple(new.count(week) for week in weeks),
        waiting=tuple(sum(1 for end in back if end <= week) for week in weeks),
        met=len(back),
        allowed=tuple(any(shelf.open_in(c, week) for c in members) for week in weeks),
    )


def _goes(costs: Costed, last: Mapping[str, date], first_week: int) -> tuple[int, ...]:
    """Two goes for what is new where a week has few of it."""
    shelf = costs.shelf
    new = [max(first_week, costs.own[c.id]) for c in shelf.combinations if c.id not in last]
    return tuple(
        2 if new.count(week) <= MOST_NEW_IN_TWO_GOES else 1 for week in range(first_week, len(shelf.weeks))
    )


def last_chance(shelf: TermShelf, last: date, week: int, span_weeks: int) -> int:
    """The index of the week in which the span of what was last played on `last` ends."""
    end = last + timedelta(weeks=span_weeks)
    day = last + timedelta(days=1)
    while day < min(end, shelf.last_day):
        end += timedelta(days=not practicable(shelf.player, day))
        day += timedelta(days=1)
    return max(week, shelf.week_of(end))


def _span_end(shelf: TermShelf, week: int, span_weeks: int) -> int:
    """The last week in which what was played at the end of a week may come back."""
    return last_chance(shelf, shelf.weeks[week].last, week + 1, span_weeks)


def _room(costs: Costed, last: Mapping[str, date], week: int, free: Fraction) -> TermWeekRoom:
    shelf = costs.shelf
    days, player = shelf.weeks[week], shelf.player
    seconds, load = costs.rooms[week]
    items = costs.items_in(week)
    practice = len(days.practice)
    met = sum(1 for c in shelf.combinations if c.id in last or costs.own[c.id] < week)
    in_work = min(in_work_places(items, practice), met) * Fraction(practice, IN_WORK_EVERY) if items else 0
    set_ups = SET_UP_SECONDS * min(player.blocks_a_day, USUAL_SET_UPS)
    new = sum(max(0, day.available_seconds - set_ups) for day in days.practice if day.allows_new)
    block = 60 * player.minutes_a_block
    heavy = _apart([day.allows_range and day.most_blocks > 0 for day in days.facts])
    return TermWeekRoom(
        practice_days=sum(1 for day in days.practice if day.most_blocks),
        seconds=max(0, math.floor((1 - free) * seconds - in_work * costs.item_seconds)),
        load=max(0, math.floor(1000 * ((1 - free) * load - in_work * costs.item_load))),
        new_seconds=new,
        heavy_seconds=block * heavy,
        block_seconds=block,
        blocks=math.floor((1 - free) * sum(day.most_blocks for day in days.practice)),
        heavy_blocks=heavy,
    )


def _apart(open_days: Sequence[bool]) -> int:
    """How many of the open days can be taken with a day between them."""
    count, free = 0, True
    for open_ in open_days:
        taken = open_ and free
        count, free = count + taken, not taken
    return count


def week_room(shelf: TermShelf, days: TermDays) -> tuple[int, Fraction]:
    """Seconds and load that the practice days leave for items, as the capacity of a week counts them."""
    set_ups = SET_UP_SECONDS * min(shelf.player.blocks_a_day, USUAL_SET_UPS)
    load = sum(
        (TWO_DAYS * day.load_limit - day.fixed_load - day.playing_load for day in days.practice), Fraction(0)
    )
    return sum(max(0, day.available_seconds - set_ups) for day in days.practice), max(load, Fraction(0))


def _exercise(costs: Costed, name: str, exercises: Sequence[str], weeks: range) -> TermExercise:
    lines = [(g, line) for g, line in enumerate(costs.lines) if line.exercise == name]
    members = [c for _, line in lines for c in line.combinations]
    exercise = members[0].exercise
    have = [(costs.own[c.id], {*(key.name for key in c.keys), *map(str, c.positions)}) for c in members]
    ends = len(costs.shelf.weeks) - PAIR_WEEKS
    return TermExercise(
        id=name,
        heavy=exercise.family == HEAVY_FAMILY,
        groups=tuple(g for g, _ in lines),
        after=tuple(exercises.index(other) for other in exercise.after if other in exercises),
        pair_turns=tuple(_pair_turns(have, week) if week <= ends else 0 for week in weeks),
    )


def _pair_turns(have: Sequence[tuple[int, set[str]]], week: int) -> int:
    """Turns that the keys and positions of what was met before a week ask for within two weeks."""
    inside = [names for own, names in have if own < week]
    if not inside:
        return 0
    return len(set().union(*inside)) * len(inside) // sum(map(len, inside))


def come_in(costs: Costed, last: Mapping[str, date]) -> dict[str, date]:
    """What was met, of what is on the shelf by then: what was met before its own week waits for that week.

    So it is with a curriculum that is begun anew, and with what was rated ahead of its week: no week before
    its own can hold it, and in its own it comes in like what is new.
    """
    weeks = costs.shelf.weeks
    found = {}
    for name, day in last.items():
        own = costs.own.get(name, 0)
        if own <= 0 or (own < len(weeks) and day >= weeks[own].first):
            found[name] = day
    return found


def floor_problem(costs: Costed, last: Mapping[str, date], span_weeks: int) -> TermProblem:
    """The term as nobody could beat it: its linear bound holds for every plan of the weeks.

    Items at the shortest of today's tempo and the goal's, first turns in one go, nothing in work, nothing
    left free, no set-up, the load of every day to its limit; nothing of what waits for its week again.
    """
    costs = _without(costs, last.keys() - come_in(costs, last).keys())
    whole = term_problem(costs, last, 0, span_weeks=span_weeks, free=Fraction(0))
    lines = zip(whole.groups, costs.lines, strict=True)
    weeks = costs.shelf.weeks
    return replace(
        whole,
        groups=tuple(_shortest(costs, group, line) for group, line in lines),
        rooms=tuple(_widest(room, days) for room, days in zip(whole.rooms, weeks, strict=True)),
    )


def _without(costs: Costed, gone: Set[str]) -> Costed:
    """The term that asks nothing of these combinations."""
    kept = (
        replace(line, combinations=tuple(c for c in line.combinations if c.id not in gone))
        for line in costs.lines
    )
    return replace(costs, lines=tuple(line for line in kept if line.combinations))


def _widest(room: TermWeekRoom, days: TermDays) -> TermWeekRoom:
    return replace(
        room,
        seconds=sum(day.available_seconds for day in days.practice),
        load=math.ceil(1000 * sum((day.load_room for day in days.practice), Fraction(0))),
        new_seconds=sum(day.available_seconds for day in days.practice if day.allows_new),
    )


def _shortest(costs: Costed, group: Group, line: Line) -> Group:
    player, takes = costs.shelf.player, []
    for combination in line.combinations:
        takes.append(costs.takes[combination.id])
        for word in combination.articulations:
            clean = costs.shelf.estimates.at(combination.id, word)
            there = CleanTempo(max(0.0, clean.mean), clean.sd)
            takes += [take_of(combination, word, one, player, cautious=False) for one in (clean, there)]
    return replace(
        group,
        seconds=min(take.seconds for take in takes),
        load=math.floor(1000 * min(take.load for take in takes)),
        goes=tuple(1 for _ in group.goes),
    )


def last_met(ratings: Mapping[str, Turns]) -> dict[str, date]:
    """The last day of every combination that was met."""
    return {name: turns.last.day for name, turns in ratings.items()}

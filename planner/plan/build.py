"""From wishes and days to the week as whole numbers: every rule's parameters, nothing solved yet.

Conventions: seconds are rounded up and room is rounded down, so that a plan that fits here fits on the stand.
What a week is made from stands in `week.py`; its names can be had from here as well.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from fractions import Fraction

from planner.brass.tempo import SET_UP_SECONDS
from planner.need.capacity import TWO_DAYS
from planner.need.combinations import barred
from planner.need.days import SHORT_DAY_MINUTES, DayFacts, day_facts
from planner.need.weigh import Wish
from planner.plan.problem import Candidate, Day, Exercise, PairOfDays, Touch, WeekProblem
from planner.plan.week import DayBefore, Week
from planner.plan.windows import pair_windows, shelf_windows, term_windows, turn_windows

__all__ = ["HEAVY_FAMILY", "TOUCHES_A_WEEK", "DayBefore", "Week", "week_problem"]

HEAVY_FAMILY = "range"
MINUTES_A_FAMILY = 8
"""A day works at one family for so many of its free minutes, up to the player's own number [assumption]."""

TOUCHES_A_WEEK, USUAL_PRACTICE_DAYS = 2, 6
"""Every position and key group is touched so often in a week of so many practice days [assumption]."""

POSITIONS_TOUCHED = 7
"""Positions beyond these are a fourth valve's or an attachment's: nothing is asked of them."""


def week_problem(week: Week) -> WeekProblem:
    """The week as whole numbers."""
    exercises = _exercise_ids(week)
    candidates = tuple(_candidate(week, wish, exercises) for wish in week.wishes)
    number = {wish.id: index for index, wish in enumerate(week.wishes)}
    return WeekProblem(
        days=tuple(_day(week, facts) for facts in week.days),
        two_days=tuple(_pairs_of_days(week)),
        exercises=tuple(_exercise(week, name, exercises) for name in exercises),
        candidates=candidates,
        windows=(
            *turn_windows(week),
            *pair_windows(week, number),
            *shelf_windows(week),
            *term_windows(week, number),
        ),
        touches=tuple(_touches(week)),
        consecutive=tuple((index, index + 1) for index in range(len(week.days) - 1)),
        block_seconds=week.player.minutes_a_block * 60,
        pins=_turn_indices(week, week.pins, number),
        last=_turn_indices(week, week.last_turns, number),
        seed=week.seed,
        missed=tuple(sorted(number[name] for name in week.missed if name in number)),
    )


def _exercise_ids(week: Week) -> tuple[str, ...]:
    return tuple(dict.fromkeys(wish.combination.exercise.id for wish in week.wishes))


def _day(week: Week, facts: DayFacts) -> Day:
    return Day(
        seconds=facts.available_seconds,
        load=math.floor(1000 * facts.load_room),
        blocks=facts.most_blocks,
        families=max(0, _families(week, facts) - bool(facts.music)),
        slow=facts.slow,
    )


def _families(week: Week, facts: DayFacts) -> int:
    """How many families a day works at, own music counted as one; none on a short day or a concert's."""
    if facts.warm_up_only or facts.free_minutes < SHORT_DAY_MINUTES:
        return 0
    in_scope = len({wish.combination.exercise.family for wish in week.wishes})
    return min(week.player.families_a_day, in_scope, facts.free_minutes // MINUTES_A_FAMILY)


def _pairs_of_days(week: Week) -> Iterable[PairOfDays]:
    eve = day_facts(week.player, week.before.date)
    first = week.days[0]
    room = _two_days_room(eve.load_limit, first.load_limit, week.before.load, first)
    yield PairOfDays((0,), max(0, math.floor(1000 * room)))
    for index in range(len(week.days) - 1):
        one, other = week.days[index], week.days[index + 1]
        room = _two_days_room(one.load_limit, other.load_limit, one.fixed_load + one.playing_load, other)
        yield PairOfDays((index, index + 1), max(0, math.floor(1000 * room)))


def _two_days_room(one_limit: Fraction, limit: Fraction, taken: Fraction, facts: DayFacts) -> Fraction:
    return TWO_DAYS * (one_limit + limit) - taken - facts.fixed_load - facts.playing_load


def _candidate(week: Week, wish: Wish, exercises: Sequence[str]) -> Candidate:
    combination = wish.combination
    return Candidate(
        id=wish.id,
        exercise=exercises.index(combination.exercise.id),
        seconds=wish.goes * max(take.seconds for take in wish.takes),
        load=math.ceil(1000 * wish.goes * max(take.load for take in wish.takes)),
        days=tuple(i for i, facts in enumerate(week.days) if _may_stand(week, wish, i, facts)),
        value=wish.value,
        value_again=min(wish.value, wish.value_again),
        need=wish.need,
        may_follow=_may_follow(week, wish),
        positions=tuple(p for p in combination.positions if p <= POSITIONS_TOUCHED),
        keys=_key_groups(wish),
        slow_seconds=wish.goes * max((take.seconds for take in wish.slow_takes), default=0),
        slow_load=math.ceil(
            1000 * wish.goes * max((take.load for take in wish.slow_takes), default=Fraction(0))
        ),
    )


def _may_follow(week: Week, wish: Wish) -> bool:
    return wish.state != "kept up" or week.has_small_shelf


def _may_stand(week: Week, wish: Wish, index: int, facts: DayFacts) -> bool:
    heavy = wish.combination.exercise.family == HEAVY_FAMILY
    return (
        facts.most_blocks > 0
        and (facts.allows_new or wish.state != "new")
        and (not heavy or (facts.allows_range and not (index == 0 and week.before.heavy)))
        and not (index == 0 and wish.id in week.before.combinations and not _may_follow(week, wish))
        and not barred(wish.combination, week.player, facts.date)
        and not _waits_for_later(week, wish)
    )


def _waits_for_later(week: Week, wish: Wish) -> bool:
    """Whether an exercise that has to be met before is not in this week's scope at all."""
    if not wish.waits_for:
        return False
    inside = {other.combination.exercise.id for other in week.wishes}
    return any(name not in inside for name in wish.waits_for)


def _exercise(week: Week, name: str, exercises: Sequence[str]) -> Exercise:
    members = [
        (index, wish) for index, wish in enumerate(week.wishes) if wish.combination.exercise.id == name
    ]
    rests = [take.timing.rest_seconds for _, wish in members for take in (*wish.takes, *wish.slow_takes)]
    exercise = members[0][1].combination.exercise
    waits_for = members[0][1].waits_for
    return Exercise(
        id=name,
        family=exercise.family,
        heavy=exercise.family == HEAVY_FAMILY,
        setup_seconds=max(0, math.ceil(SET_UP_SECONDS - min(rests))),
        candidates=tuple(index for index, _ in members),
        after=tuple(exercises.index(other) for other in waits_for if other in exercises),
    )


def _touches(week: Week) -> Iterable[Touch]:
    days = sum(1 for facts in week.days if facts.practice)
    least = max(1, TOUCHES_A_WEEK * days // USUAL_PRACTICE_DAYS)
    touched: dict[str, list[int]] = {}
    for index, wish in enumerate(week.wishes):
        for position in wish.combination.positions:
            if position <= POSITIONS_TOUCHED:
                touched.setdefault(f"position {position}", []).append(index)
        for key in _key_groups(wish):
            touched.setdefault(f"key group {key}", []).append(index)
    for name in sorted(touched):
        yield Touch(name, tuple(touched[name]), least)


def _key_groups(wish: Wish) -> tuple[int, ...]:
    """Pitch classes of the written tonics."""
    return tuple(sorted({7 * key.fifths % 12 for key in wish.combination.keys}))


def _turn_indices(
    week: Week, turns: Iterable[tuple[str, date]], number: Mapping[str, int]
) -> tuple[tuple[int, int], ...]:
    return tuple(
        sorted(
            (number[name], week.index_of(day))
            for name, day in turns
            if name in number and 0 <= week.index_of(day) < len(week.days)
        )
    )

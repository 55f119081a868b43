"""What the minutes carry: items a week, and the span that what is kept up is granted, with its proof.

Conventions: a week is Monday to Sunday, also where a plan begins later; seconds are whole, means exact
fractions. The bound is linear: seconds for items over the mean seconds of an item, and load for items over
the mean load of an item, whichever is less. A quarter of the items stays free: simulations found every way
of choosing tied where none is (reference: span sweep of the practice simulations, 400 combinations at 18
items a day).
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction

from planner.brass.tempo import SET_UP_SECONDS
from planner.diary.rating import Rating
from planner.inputs.player import Player
from planner.need.capacity_words import proof, sentence
from planner.need.carried import FREE_SHARE, LONGEST_WEEKS, SHORTEST_WEEKS, Asked, Room
from planner.need.clean_tempo import Estimates
from planner.need.combinations import Combination, Scope, curriculum_week
from planner.need.days import DayFacts, week_facts
from planner.need.targets import Take, take_of
from planner.need.turns import Turns, after_a_break, articulations_in_turn, turns_before

__all__ = [
    "FREE_SHARE",
    "IN_WORK_EVERY",
    "LONGEST_WEEKS",
    "PAIR_SPAN_WEEKS",
    "RECENT_WEEKS",
    "SHORTEST_WEEKS",
    "TWO_DAYS",
    "USUAL_SET_UPS",
    "Capacity",
    "capacity",
    "choose_in_work",
    "in_work_places",
    "next_take",
]

USUAL_SET_UPS = 4
"""Blocks of a usual day, each with a set-up of its own [assumption]."""

TWO_DAYS = Fraction(9, 10)
"""Share of the load limits of two days running that both may use together [assumption]."""

IN_WORK_EVERY = 3
"""Practice days from one turn of a combination in work to the next."""

PAIR_SPAN_WEEKS = 2
RECENT_WEEKS = 2
"""Combinations of this curriculum week and so many before it count as in work."""


@dataclass(frozen=True, slots=True)
class Capacity:
    """What one week carries.

    `in_work` names the combinations in work, `new_room` is how many new ones there is room for a week,
    `kept_up` how many are kept up every `granted_weeks`. `fits` is False where even the longest
    span is too short. `sentence` is for the player, `proof` the arithmetic behind it.
    """

    items_per_week: int
    practice_days: int
    granted_weeks: int
    in_work: tuple[str, ...]
    new_room: int
    kept_up: int
    fits: bool
    sentence: str
    proof: str

    @property
    def granted_span_days(self) -> int:
        """The span of what is kept up, in days."""
        return 7 * self.granted_weeks


def capacity(
    scope: Scope,
    estimates: Estimates,
    ratings: Iterable[Rating],
    player: Player,
    first_day: date,
) -> Capacity:
    """What the week of `first_day`, Monday to Sunday, carries of the playable combinations."""
    turns = turns_before(ratings, first_day)
    takes = {c.id: next_take(c, estimates, turns, player, first_day) for c in scope.playable}
    room = _room(_whole_week(player, first_day), player, list(takes.values()))
    week = curriculum_week(player, first_day)
    in_work = choose_in_work(scope.playable, takes, turns, week, in_work_places(room.items, room.days))
    wanted = _wanted(scope.playable, turns, in_work, room)
    weeks, fits = _granted(wanted, room, player.spans.get("kept_up_weeks"))
    left = math.floor((1 - FREE_SHARE) * room.items - wanted.in_work - wanted.kept(weeks))
    kept_up = sum(wanted.kept_up.values())
    return Capacity(
        items_per_week=room.items,
        practice_days=room.days,
        granted_weeks=weeks,
        in_work=in_work,
        new_room=max(0, left),
        kept_up=kept_up,
        fits=fits,
        sentence=sentence(len(scope.playable), room, wanted, weeks, max(0, left), fits=fits),
        proof=proof(room, wanted, weeks),
    )


def next_take(
    combination: Combination,
    estimates: Estimates,
    turns: Mapping[str, Turns],
    player: Player,
    first_day: date,
) -> Take:
    """The combination as its next turn takes it."""
    mine = turns.get(combination.id)
    articulation = articulations_in_turn(combination, mine, player)[0]
    clean = estimates.at(combination.id, articulation)
    return take_of(combination, articulation, clean, player, cautious=after_a_break(mine, first_day))


def in_work_places(items_per_week: int, practice_days: int) -> int:
    """How many combinations are in work: a quarter of the items, each every three practice days."""
    return max(1, items_per_week // 4 * IN_WORK_EVERY // max(1, practice_days))


def choose_in_work(
    playable: Sequence[Combination],
    takes: Mapping[str, Take],
    turns: Mapping[str, Turns],
    week: int,
    places: int,
) -> tuple[str, ...]:
    """The combinations in work this week, by need: recent ones and those not yet clean at the goal."""
    met = [combination for combination in playable if combination.id in turns]
    names = [c.id for c in met if week - RECENT_WEEKS <= c.intro_week <= week or takes[c.id].mean < 0]
    return tuple(sorted(names, key=lambda name: (-takes[name].need, name))[:places])


def _whole_week(player: Player, first_day: date) -> tuple[DayFacts, ...]:
    """Monday to Sunday of a day's week: a plan that begins on Thursday lets nothing wait longer."""
    monday = first_day - timedelta(days=first_day.weekday())
    return week_facts(player, monday, monday + timedelta(days=6))


def _room(facts: Sequence[DayFacts], player: Player, takes: Sequence[Take]) -> Room:
    """Seconds and load that the practice days leave for items; two days carry nine tenths of their limits."""
    practice = [day for day in facts if day.practice]
    set_ups = SET_UP_SECONDS * min(player.blocks_a_day, USUAL_SET_UPS)
    load = sum((TWO_DAYS * d.load_limit - d.fixed_load - d.playing_load for d in practice), Fraction(0))
    count = max(1, len(takes))
    return Room(
        seconds=sum(max(0, day.available_seconds - set_ups) for day in practice),
        load=max(load, Fraction(0)),
        item_seconds=Fraction(sum(take.seconds for take in takes), count),
        item_load=sum((take.load for take in takes), Fraction(0)) / count,
        minutes=sum(day.free_minutes for day in practice),
        days=len(practice),
    )


def _wanted(
    playable: Sequence[Combination], turns: Mapping[str, Turns], in_work: Collection[str], room: Room
) -> Asked:
    """What asks for items: new ones once, what is in work every third practice day, what is kept up."""
    kept: dict[str, list[Combination]] = {}
    for combination in playable:
        if combination.id in turns and combination.id not in in_work:
            kept.setdefault(combination.exercise.id, []).append(combination)
    waiting = sum(1 for combination in playable if combination.id not in turns)
    return Asked(
        waiting=waiting,
        new=min(waiting, math.floor(FREE_SHARE * room.items)),
        in_work=Fraction(len(in_work) * room.days, IN_WORK_EVERY),
        kept_up={exercise: len(group) for exercise, group in kept.items()},
        pairs={exercise: _items_for_pairs(group) for exercise, group in kept.items()},
    )


def _items_for_pairs(group: Sequence[Combination]) -> Fraction:
    """Items a week that meet every key and position of these combinations within two weeks."""
    have = [{*(key.name for key in c.keys), *(str(position) for position in c.positions)} for c in group]
    distinct = len(set().union(*have))
    return Fraction(distinct * len(have), PAIR_SPAN_WEEKS * sum(len(own) for own in have))


def _granted(wanted: Asked, room: Room, own: int | None) -> tuple[int, bool]:
    """The smallest span in weeks that leaves a quarter of the items free, and whether it does."""
    carried = (1 - FREE_SHARE) * room.items
    if own is not None:
        return own, wanted.total(own) <= carried
    for weeks in range(SHORTEST_WEEKS, LONGEST_WEEKS + 1):
        if wanted.total(weeks) <= carried:
            return weeks, True
    return LONGEST_WEEKS, False

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
from planner.need.clean_tempo import Estimates
from planner.need.combinations import Combination, Scope, curriculum_week
from planner.need.days import DayFacts, week_facts
from planner.need.targets import Take, take_of
from planner.need.turns import Turns, after_a_break, articulations_in_turn, turns_before

USUAL_SET_UPS = 4
"""Blocks of a usual day, each with a set-up of its own [assumption]."""

TWO_DAYS = Fraction(9, 10)
"""Share of the load limits of two days running that both may use together [assumption]."""

FREE_SHARE = Fraction(1, 4)
SHORTEST_WEEKS, LONGEST_WEEKS = 4, 16
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


@dataclass(frozen=True, slots=True)
class _Room:
    """Seconds and load for items, what a mean item takes of both, and how many items that makes."""

    seconds: int
    load: Fraction
    item_seconds: Fraction
    item_load: Fraction
    minutes: int
    days: int

    @property
    def by_clock(self) -> int:
        return math.floor(self.seconds / self.item_seconds) if self.item_seconds else 0

    @property
    def by_load(self) -> int:
        return max(0, math.floor(self.load / self.item_load)) if self.item_load else 0

    @property
    def items(self) -> int:
        return min(self.by_clock, self.by_load)


@dataclass(frozen=True, slots=True)
class _Turns:
    """Items a week by what they are for; of each exercise what is kept up, and what its pairs ask for.

    `waiting` new combinations come in over the weeks, `new` of them this week: a quarter of the items at
    most, or a backlog would push the span of everything else to its end.
    """

    waiting: int
    new: int
    in_work: Fraction
    kept_up: Mapping[str, int]
    pairs: Mapping[str, Fraction]

    def kept(self, weeks: int) -> Fraction:
        """Items a week for what is kept up at a span of so many weeks, pairs included."""
        return sum(
            (max(Fraction(count, weeks), self.pairs[e]) for e, count in self.kept_up.items()), Fraction(0)
        )

    def total(self, weeks: int) -> Fraction:
        """All items a week at a span of so many weeks."""
        return self.new + self.in_work + self.kept(weeks)


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
        sentence=_sentence(len(scope.playable), room, wanted, weeks, max(0, left), fits=fits),
        proof=_proof(room, wanted, weeks),
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


def _room(facts: Sequence[DayFacts], player: Player, takes: Sequence[Take]) -> _Room:
    """Seconds and load that the practice days leave for items; two days carry nine tenths of their limits."""
    practice = [day for day in facts if day.practice]
    set_ups = SET_UP_SECONDS * min(player.blocks_a_day, USUAL_SET_UPS)
    load = sum((TWO_DAYS * d.load_limit - d.fixed_load - d.playing_load for d in practice), Fraction(0))
    count = max(1, len(takes))
    return _Room(
        seconds=sum(max(0, day.available_seconds - set_ups) for day in practice),
        load=max(load, Fraction(0)),
        item_seconds=Fraction(sum(take.seconds for take in takes), count),
        item_load=sum((take.load for take in takes), Fraction(0)) / count,
        minutes=sum(day.free_minutes for day in practice),
        days=len(practice),
    )


def _wanted(
    playable: Sequence[Combination], turns: Mapping[str, Turns], in_work: Collection[str], room: _Room
) -> _Turns:
    """What asks for items: new ones once, what is in work every third practice day, what is kept up."""
    kept: dict[str, list[Combination]] = {}
    for combination in playable:
        if combination.id in turns and combination.id not in in_work:
            kept.setdefault(combination.exercise.id, []).append(combination)
    waiting = sum(1 for combination in playable if combination.id not in turns)
    return _Turns(
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


def _granted(wanted: _Turns, room: _Room, own: int | None) -> tuple[int, bool]:
    """The smallest span in weeks that leaves a quarter of the items free, and whether it does."""
    carried = (1 - FREE_SHARE) * room.items
    if own is not None:
        return own, wanted.total(own) <= carried
    for weeks in range(SHORTEST_WEEKS, LONGEST_WEEKS + 1):
        if wanted.total(weeks) <= carried:
            return weeks, True
    return LONGEST_WEEKS, False


def _sentence(shelf: int, room: _Room, wanted: _Turns, weeks: int, new_room: int, *, fits: bool) -> str:
    """What the minutes carry, for the player; counts of items are turns a week."""
    if not room.days:
        return f"{shelf} on the shelf. No practice day this week."
    carried = f"{shelf} on the shelf. Your minutes carry {room.items} items a week"
    kept = sum(wanted.kept_up.values())
    if not fits:
        return f"{carried}; {_too_much(room, wanted, weeks, new_room)}."
    backlog = _backlog(wanted, new_room)
    if not kept:
        return f"{carried}: room for up to {new_room} new a week{backlog}."
    new = f"up to {new_room} new" if new_room else "no new ones"
    words = f"{carried}: {new} and about {kept} kept up, every {weeks} weeks"
    return f"{words}{backlog}{f'; {_ways_out(room, wanted)}' if weeks > SHORTEST_WEEKS else ''}."


def _backlog(wanted: _Turns, new_room: int) -> str:
    """How long the new ones take where more wait than one week has room for."""
    if wanted.waiting <= new_room:
        return ""
    if not new_room:
        return f"; {wanted.waiting} new ones wait for room"
    return (
        f"; {wanted.waiting} new ones wait, which takes {math.ceil(Fraction(wanted.waiting, new_room))} weeks"
    )


def _too_much(room: _Room, wanted: _Turns, weeks: int, new_room: int) -> str:
    """What the week asks for where that is more than three quarters of the items, and what would help."""
    kept = math.ceil(wanted.kept(weeks))
    asked = [f"{wanted.new} new"] if wanted.new else []
    asked += [f"{round(wanted.in_work)} turns in work"] if wanted.in_work else []
    asked += [f"{kept} turns for {sum(wanted.kept_up.values())} kept up every {weeks} weeks"] if kept else []
    carried = math.floor((1 - FREE_SHARE) * room.items)
    words = f"{' + '.join(asked)} are more than the {carried} that leave a quarter free"
    minutes = _minutes_for(wanted.total(weeks), room)
    return f"{words}: all of it takes {minutes} minutes a day{_backlog(wanted, new_room)}"


def _ways_out(room: _Room, wanted: _Turns) -> str:
    """What the shortest span would take: more minutes a day, or fewer combinations kept up."""
    minutes = _minutes_for(wanted.total(SHORTEST_WEEKS), room)
    spare = (1 - FREE_SHARE) * room.items - wanted.new - wanted.in_work
    fewer = max(0, math.floor(spare * SHORTEST_WEEKS))
    kept = sum(wanted.kept_up.values())
    words = f"for every {SHORTEST_WEEKS} weeks: {minutes} minutes a day"
    # Where the pairs ask for more than the span does, fewer combinations would not help.
    return f"{words}, or {fewer} kept up" if 0 < fewer < kept else words


def _minutes_for(turns: Fraction, room: _Room) -> int:
    """Mean minutes a practice day that carry so many turns a week with a quarter of the items free."""
    items = math.ceil(turns / (1 - FREE_SHARE))
    longer = (items * room.item_seconds - room.seconds) / 60
    # The load limit grows with the minutes.
    heavier = (items * room.item_load / max(room.load, Fraction(1)) - 1) * room.minutes
    return math.ceil((room.minutes + max(longer, heavier, Fraction(0))) / room.days)


def _proof(room: _Room, wanted: _Turns, weeks: int) -> str:
    """The arithmetic in one line each for items and span."""
    if not room.days or not room.item_seconds:
        return "no practice day or no combination in scope"
    kept = wanted.kept(weeks)
    return (
        f"{room.days} practice days leave {room.seconds} s for items, {float(room.item_seconds):.0f} s each:"
        f" {room.by_clock}; load for items {float(room.load):.0f}, {float(room.item_load):.2f} each:"
        f" {room.by_load}; so {room.items} a week, a quarter of them free:"
        f" {float((1 - FREE_SHARE) * room.items):.1f} >= {wanted.new} new"
        f" + {float(wanted.in_work):.1f} in work + {float(kept):.1f} kept up every {weeks} weeks"
        f" = {float(wanted.total(weeks)):.1f}{'' if weeks <= SHORTEST_WEEKS else _shorter(wanted, weeks)}"
    )


def _shorter(wanted: _Turns, weeks: int) -> str:
    return f"; every {weeks - 1} weeks it would be {float(wanted.total(weeks - 1)):.1f}"

"""From wishes and days to the week as whole numbers: every rule's parameters, nothing solved yet.

Conventions: seconds are rounded up and room is rounded down, so that a plan that fits here fits on the stand.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction

from planner.brass.tempo import SET_UP_SECONDS
from planner.inputs.player import Player
from planner.need.capacity import Capacity
from planner.need.combinations import barred
from planner.need.days import SHORT_DAY_MINUTES, DayFacts, day_facts, practice_days
from planner.need.weigh import Pair, Wish
from planner.plan.problem import (
    DAY_PAST,
    PROMISED,
    SMALL_SHELF,
    TURN,
    Candidate,
    Day,
    Exercise,
    PairOfDays,
    Touch,
    WeekProblem,
    Window,
)

HEAVY_FAMILY = "range"
TWO_DAYS_SHARE = Fraction(9, 10)
MINUTES_A_FAMILY = 8
TOUCHES_A_WEEK = 2
USUAL_PRACTICE_DAYS = 6
IN_WORK_EVERY = 3
OTHER_WINDOW = 200
SMALL_SHELF_DAYS = 3
POSITIONS_TOUCHED = 7


@dataclass(frozen=True, slots=True)
class DayBefore:
    """The day before the first day as the diary has it: load with rehearsals, heavy work, combinations."""

    date: date
    load: Fraction
    heavy: bool
    combinations: frozenset[str]


@dataclass(frozen=True, slots=True)
class Week:
    """Everything the week is made from, before it becomes numbers.

    `missed`: the combinations whose turns were missed, of which nothing may be silently dropped.
    """

    player: Player
    wishes: tuple[Wish, ...]
    pairs: tuple[Pair, ...]
    capacity: Capacity
    days: tuple[DayFacts, ...]
    before: DayBefore
    last_turns: frozenset[tuple[str, date]]
    pins: frozenset[tuple[str, date]]
    seed: int
    promised: tuple[str, ...] = ()
    """Combinations that the term promises a turn this week."""
    missed: frozenset[str] = frozenset()

    @property
    def first_day(self) -> date:
        """The first day."""
        return self.days[0].date

    @property
    def last_day(self) -> date:
        """The last day."""
        return self.days[-1].date

    def index_of(self, day: date) -> int:
        """A day as its index, which may lie outside the week."""
        return (day - self.first_day).days


def week_problem(week: Week) -> WeekProblem:
    """The week as whole numbers."""
    exercises = _exercise_ids(week)
    candidates = tuple(_candidate(week, wish, exercises) for wish in week.wishes)
    number = {wish.id: index for index, wish in enumerate(week.wishes)}
    return WeekProblem(
        days=tuple(_day(week, facts) for facts in week.days),
        two_days=tuple(_pairs_of_days(week)),
        exercises=tuple(_exercise(week, name) for name in exercises),
        candidates=candidates,
        windows=(
            *_turn_windows(week),
            *_pair_windows(week, number),
            *_shelf_windows(week),
            *_term_windows(week, number),
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
    return TWO_DAYS_SHARE * (one_limit + limit) - taken - facts.fixed_load - facts.playing_load


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
    return wish.state != "kept up" or _small_shelf(week)


def _small_shelf(week: Week) -> bool:
    """Whether the shelf holds fewer than three days' items: a beginner's does."""
    items_a_day = week.capacity.items_per_week // max(1, week.capacity.practice_days)
    return len(week.wishes) < SMALL_SHELF_DAYS * items_a_day


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


def _exercise(week: Week, name: str) -> Exercise:
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
        after=tuple(_exercise_ids(week).index(other) for other in waits_for if other in _exercise_ids(week)),
    )


def _turn_windows(week: Week) -> Iterable[Window]:
    for index, wish in enumerate(week.wishes):
        if wish.state == "in work":
            yield from _rhythm(week, index, wish)
        else:
            yield from _window(week, "turn", wish.id, (index,), wish.turn_by, wish.need)


def _pair_windows(week: Week, number: Mapping[str, int]) -> Iterable[Window]:
    for pair in week.pairs:
        members = tuple(number[name] for name in pair.combinations)
        name = f"{pair.exercise} {pair.kind} {pair.name}"
        yield from _window(week, "pair", name, members, pair.turn_by, pair.need)


def _shelf_windows(week: Week) -> Iterable[Window]:
    """On a small shelf every combination comes at least once a week."""
    if _small_shelf(week):
        for index, wish in enumerate(week.wishes):
            yield Window("shelf", wish.id, (index,), tuple(range(len(week.days))), SMALL_SHELF)


def _term_windows(week: Week, number: Mapping[str, int]) -> Iterable[Window]:
    """What the term promised for this week has its turn in it, what is kept up before its span ends."""
    for name in week.promised:
        if name in number:
            days = tuple(range(promised_until(week, week.wishes[number[name]]) + 1))
            yield Window("term", name, (number[name],), days, PROMISED)


def promised_until(week: Week, wish: Wish) -> int:
    """The index of the last day on which a promised turn may stand."""
    last = len(week.days) - 1
    if wish.state != "kept up" or wish.turn_by is None or wish.turn_by < week.first_day:
        return last
    return min(last, week.index_of(wish.turn_by))


def _window(
    week: Week, kind: str, name: str, members: tuple[int, ...], turn_by: date | None, need: int
) -> Iterable[Window]:
    """One window up to `turn_by` (the whole week where that is past), and each later day without the turn."""
    count = len(week.days)
    end = count if turn_by is None else week.index_of(turn_by)
    if end >= count:
        return
    last = count - 1 if end < 0 else end
    cost = TURN + need + DAY_PAST * max(0, -end)
    yield Window(kind, name, members, tuple(range(last + 1)), cost)
    for later in range(max(end, 0) + 1, count):
        yield Window("later", name, members, tuple(range(later + 1)), DAY_PAST)


def _rhythm(week: Week, index: int, wish: Wish) -> Iterable[Window]:
    """Any three practice days running; those that end at turn_by and every third day after cost most."""
    assert wish.last_played is not None
    practice = [i for i, facts in enumerate(week.days) if facts.practice]
    if not practice:
        return
    place = _practice_days_since(week, wish.last_played, week.days[practice[0]].date)
    third = IN_WORK_EVERY
    for number in range(len(practice)):
        since = place + number
        if since < third:
            continue
        inside = tuple(practice[max(0, number - IN_WORK_EVERY + 1) : number + 1])
        on_grid = (since - third) % IN_WORK_EVERY == 0
        kind, cost = ("turn", TURN + wish.need) if on_grid else ("rhythm", OTHER_WINDOW)
        yield Window(kind, wish.id, (index,), inside, cost)


def _practice_days_since(week: Week, last: date, first: date) -> int:
    """How many practice days after `last` the practice day `first` is, itself counted."""
    return practice_days(week.player, last + timedelta(days=1), first)


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

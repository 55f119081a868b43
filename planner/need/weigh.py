"""What the week wants of every combination: state, need, its turn, its value, how it is played, and why.

Conventions: needs and values are whole thousandths, rounded once and stored, so that the solver and the
checker see the same numbers. `turn_by` is the last day of the span; `since` counts practice days. States: new
(never met), in work (the week's choice by need), kept up (all others that were met).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from typing import Literal

from planner.diary.rating import Rating
from planner.inputs.curriculum import Articulation
from planner.inputs.player import Player
from planner.need.capacity import IN_WORK_EVERY, PAIR_SPAN_WEEKS, Capacity
from planner.need.clean_tempo import Estimates
from planner.need.combinations import Combination, Scope, curriculum_week, split_id, week_sunday
from planner.need.days import practice_day_after, practice_days, span_end
from planner.need.easing import Step, missed_days, steps
from planner.need.lags import Lags, lags_of
from planner.need.reasons import reasons_for
from planner.need.targets import Take, lowered, take_of
from planner.need.turns import Turns, after_a_break, articulations_in_turn, turns_before

State = Literal["new", "in work", "kept up"]

NEVER_MET_SINCE = 24
"""Practice days that a combination counts as not played before it is first met [assumption]."""

MOST_SINCE = 60
AGAIN_SINCE = 2
"""What a further turn in the same week is worth: as if two practice days had passed [assumption]."""

DIAL = 4
"""Between the mean (2) and the weakest (8): in the simulations 4 keeps what 5 gains for the weakest and costs
less of the mean."""

MOST_NEW_IN_TWO_GOES = 25


@dataclass(frozen=True, slots=True)
class Wish:
    """What the week wants of one combination.

    `takes` holds one take for each articulation, in the order in which this week's turns take them (the
    first turn the first, then round and round); `need` is that of the first. `value` is for the first turn
    of the week, `value_again` for each further one. `wanted`: its span ends within the week. `waits_for`
    names exercises that have to be met before. `slow_takes` hold on the first day after a break, () where the
    week has none.
    """

    combination: Combination
    state: State
    need: int
    turn_by: date | None
    wanted: bool
    last_played: date | None
    since: int
    value: int
    value_again: int
    takes: tuple[Take, ...]
    slow_takes: tuple[Take, ...]
    goes: int
    waits_for: tuple[str, ...]
    reasons: tuple[str, ...]

    @property
    def id(self) -> str:
        """The id of the combination."""
        return self.combination.id

    @property
    def articulations(self) -> tuple[Articulation, ...]:
        """The articulations in the order of this week's turns."""
        return tuple(take.articulation for take in self.takes)

    def take(self, turn: int, *, slow: bool = False) -> Take:
        """How turn number `turn` of this week (from 0) is played; `slow` on the first day after a break."""
        takes = self.slow_takes if slow and self.slow_takes else self.takes
        return takes[turn % len(takes)]


@dataclass(frozen=True, slots=True)
class Pair:
    """One exercise with one written key or one position: which combinations have it, when it was last met.

    `met` is None where no rating has it; `need` is the mean of its combinations in thousandths.
    """

    exercise: str
    kind: Literal["key", "position"]
    name: str
    combinations: tuple[str, ...]
    met: date | None
    turn_by: date
    need: int


@dataclass(frozen=True, slots=True)
class _Week:
    """What all combinations of one week have in common; `since` keeps what was counted for a day."""

    player: Player
    first_day: date
    last_day: date
    number: int
    estimates: Estimates
    turns: Mapping[str, Turns]
    capacity: Capacity
    lags: Lags
    in_work: frozenset[str]
    waited_for: frozenset[str]
    goes_if_new: int
    back: Step | None
    since: dict[date, int] = field(default_factory=dict)


def wishes(
    scope: Scope,
    estimates: Estimates,
    ratings: Iterable[Rating],
    player: Player,
    first_day: date,
    last_day: date,
    capacity: Capacity,
) -> tuple[Wish, ...]:
    """The wish of every playable combination, in the order of the curriculum."""
    turns = turns_before(ratings, first_day)
    new = sum(1 for combination in scope.playable if combination.id not in turns)
    week = _Week(
        player=player,
        first_day=first_day,
        last_day=last_day,
        number=curriculum_week(player, first_day),
        estimates=estimates,
        turns=turns,
        capacity=capacity,
        lags=lags_of(scope.playable, estimates, player),
        in_work=frozenset(capacity.in_work),
        waited_for=_waited_for(scope, turns),
        goes_if_new=2 if new <= MOST_NEW_IN_TWO_GOES else 1,
        back=_first_day_back(player, first_day, last_day),
    )
    return tuple(_wish(combination, week) for combination in scope.playable)


def _first_day_back(player: Player, first_day: date, last_day: date) -> Step | None:
    """The first day after a break, where the week has one."""
    inside = (step for day, step in sorted(steps(player).items()) if first_day <= day <= last_day)
    return next((step for step in inside if step.first), None)


def value_of(since: int, need: int) -> int:
    """What a turn is worth, in thousandths: practice days since the last x (0.1 + need)^DIAL.

    `need` in thousandths.
    """
    return round(1000 * since * (0.1 + need / 1000) ** DIAL)


def pairs_of(found: Sequence[Wish], last_day: date, lost_since: Callable[[date], int]) -> tuple[Pair, ...]:
    """Every pair of exercise and written key, and of exercise and position, of these combinations.

    `lost_since` says how many days after a date were missed: they lengthen the span of a pair.
    """
    members: dict[tuple[str, Literal["key", "position"], str], list[Wish]] = {}
    for wish in found:
        combination = wish.combination
        for key in dict.fromkeys(combination.keys):
            members.setdefault((combination.exercise.id, "key", key.name), []).append(wish)
        for position in combination.positions:
            members.setdefault((combination.exercise.id, "position", str(position)), []).append(wish)
    pairs = (_pair(*name, group, last_day) for name, group in members.items())
    return tuple(
        pair if pair.met is None else replace(pair, turn_by=pair.turn_by + timedelta(lost_since(pair.met)))
        for pair in pairs
    )


def _pair(
    exercise: str, kind: Literal["key", "position"], name: str, group: Sequence[Wish], last_day: date
) -> Pair:
    met = max((wish.last_played for wish in group if wish.last_played), default=None)
    return Pair(
        exercise=exercise,
        kind=kind,
        name=name,
        combinations=tuple(wish.id for wish in group),
        met=met,
        turn_by=last_day if met is None else met + timedelta(weeks=PAIR_SPAN_WEEKS),
        need=sum(wish.need for wish in group) // len(group),
    )


def lost_between(player: Player, since: date, first_day: date) -> int:
    """Days after `since` and before the first day that were missed."""
    return missed_days(player, since + timedelta(days=1), first_day - timedelta(days=1))


def _wish(combination: Combination, week: _Week) -> Wish:
    turns = week.turns.get(combination.id)
    state = _state(combination, turns, week)
    takes = _takes(combination, turns, week)
    need = takes[0].need
    turn_by = _turn_by(combination, state, turns, week)
    since = _since(turns, week)
    return Wish(
        combination=combination,
        state=state,
        need=need,
        turn_by=turn_by,
        wanted=turn_by is not None and turn_by <= week.last_day,
        last_played=turns.last.day if turns else None,
        since=since,
        value=value_of(since, need),
        value_again=value_of(AGAIN_SINCE, need),
        takes=takes,
        slow_takes=_slow(combination, takes, week),
        goes=week.goes_if_new if state == "new" else 1,
        waits_for=_waits_for(combination, week),
        reasons=reasons_for(
            combination, turns, week.estimates, week.lags, turn_by, first_day=week.first_day, week=week.number
        ),
    )


def _state(combination: Combination, turns: Turns | None, week: _Week) -> State:
    if turns is None:
        return "new"
    return "in work" if combination.id in week.in_work else "kept up"


def _turn_by(combination: Combination, state: State, turns: Turns | None, week: _Week) -> date | None:
    """The last day of the span: new by its Sunday, in work the third practice day, kept up the granted span.

    Days missed from the Monday of its week on move the Sunday. None where no practice day is in sight.
    """
    if turns is None:
        sunday = week_sunday(week.player, combination.intro_week)
        return sunday + timedelta(days=lost_between(week.player, sunday - timedelta(days=7), week.first_day))
    if state == "in work":
        return practice_day_after(week.player, turns.last.day, IN_WORK_EVERY)
    return span_end(week.player, turns.last.day, week.capacity.granted_span_days, week.first_day)


def _since(turns: Turns | None, week: _Week) -> int:
    """Practice days after the last turn, the first day of the week included."""
    if turns is None:
        return NEVER_MET_SINCE
    last = turns.last.day
    if last not in week.since:
        week.since[last] = practice_days(
            week.player, last + timedelta(days=1), week.first_day, most=MOST_SINCE
        )
    return week.since[last]


def _takes(combination: Combination, turns: Turns | None, week: _Week) -> tuple[Take, ...]:
    cautious = after_a_break(turns, week.first_day)
    return tuple(
        take_of(combination, a, week.estimates.at(combination.id, a), week.player, cautious=cautious)
        for a in articulations_in_turn(combination, turns, week.player)
    )


def _slow(combination: Combination, takes: Sequence[Take], week: _Week) -> tuple[Take, ...]:
    if week.back is None:
        return ()
    return tuple(lowered(combination, take, week.player, week.back.easing.notches) for take in takes)


def _waited_for(scope: Scope, turns: Mapping[str, Turns]) -> frozenset[str]:
    """Exercises within reach of which nothing has been met yet."""
    names = [combination.id for combination in scope.written] + [name for name, _ in scope.excluded]
    met = {split_id(name)[0] for name in names if name in turns}
    return frozenset(combination.exercise.id for combination in scope.within_reach) - met


def _waits_for(combination: Combination, week: _Week) -> tuple[str, ...]:
    """What has to be met first; an exercise that was met once waits for nothing."""
    if combination.exercise.id not in week.waited_for:
        return ()
    return tuple(name for name in combination.exercise.after if name in week.waited_for)

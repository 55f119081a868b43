"""Why a combination stands in the plan, in plain words with numbers.

Conventions: every reason is caused by ratings or by the calendar, and is gone when its cause is gone. Dates
are short ("4 Sep", with the year where it is another one); tempos are marks; notches are a sixteenth of an
octave of tempo. Reasons are short texts without a full stop.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TypeVar

from planner.brass.instruments import instrument, valves_of
from planner.diary.rating import Rating
from planner.inputs.player import Player
from planner.need.clean_tempo import Estimates
from planner.need.combinations import Combination
from planner.need.evidence import heard_articulation
from planner.need.turns import BREAK_DAYS, Turns

GRADES = {
    1: "fell apart",
    2: "uneven",
    3: "nearly clean",
    4: "clean",
    5: "comfortable",
}
Place = TypeVar("Place", str, int)
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
WIDE = 3.0
"""Notches of spread from which an estimate is called wide."""

BEHIND = 3.0
LEAST_RATINGS = 3


@dataclass(frozen=True, slots=True)
class Lag:
    """How many notches a key or position lies behind the others, and how to say it."""

    notches: float
    words: str


@dataclass(frozen=True, slots=True)
class Lags:
    """Keys (by the id of the place) and positions that lag behind the others."""

    keys: Mapping[str, Lag]
    positions: Mapping[int, Lag]


@dataclass(frozen=True, slots=True)
class _Heard:
    """One rated row: where its music lies, how far the ratings moved it, how many they are."""

    key: str
    cycle: tuple[int, ...]
    gained: float
    count: int


def reasons_for(
    combination: Combination,
    turns: Turns | None,
    estimates: Estimates,
    lags: Lags,
    turn_by: date | None,
    *,
    first_day: date,
    week: int,
) -> tuple[str, ...]:
    """The reasons of one combination, the most telling first; there is always one."""
    found = [_introduced(combination, week), _not_heard(combination, estimates)]
    if turns is not None:
        found = [_last_heard(combination, turns, first_day), _break(turns, first_day), found[1]]
    found.append(_behind_others(combination, lags))
    if turns is not None:
        found.append(_turn(turns, turn_by, first_day))
    return tuple(reason for reason in found if reason)


def lags_of(combinations: Sequence[Combination], estimates: Estimates, player: Player) -> Lags:
    """Keys and positions whose ratings lie at least 3 notches behind those of the others."""
    heard = [
        _Heard(_key_id(c), c.place.positions, estimates.gained(c.id, a), estimates.rated[c.id, a])
        for c in combinations
        for a in c.articulations
        if estimates.rated[c.id, a]
    ]
    names = {c.place.key.id: c.keys[0].pretty for c in combinations if c.place.key is not None}
    horn = instrument(player.instrument)
    lengths = {position for one in heard for position in one.cycle}
    in_keys, in_cycles = [one for one in heard if one.key], [one for one in heard if one.cycle]
    keys: dict[str, Lag] = {}
    for key, name in sorted(names.items()):
        keys |= _lag(key, f"written {name}", "keys", in_keys, [one.key == key for one in in_keys])
    positions: dict[int, Lag] = {}
    for position in sorted(lengths):
        name = f"position {position}"
        if not horn.is_slide:
            name += f" ({valves_of(horn, position, player.side)})"
        positions |= _lag(
            position, name, "positions", in_cycles, [position in one.cycle for one in in_cycles]
        )
    return Lags(keys, positions)


def _key_id(combination: Combination) -> str:
    return combination.place.key.id if combination.place.key is not None else ""


def _behind_others(combination: Combination, lags: Lags) -> str:
    """The worst lag of the combination's key or positions, in words."""
    found = [lags.positions[p] for p in combination.place.positions if p in lags.positions]
    if _key_id(combination) in lags.keys:
        found.append(lags.keys[_key_id(combination)])
    return max(found, key=lambda lag: lag.notches).words if found else ""


def _lag(
    place: Place, name: str, others: str, heard: Sequence[_Heard], inside: Sequence[bool]
) -> dict[Place, Lag]:
    """The lag of the rows inside behind those outside; empty where there is none or they are too few."""
    mine = [one for one, yes in zip(heard, inside, strict=True) if yes]
    rest = [one for one, yes in zip(heard, inside, strict=True) if not yes]
    count = sum(one.count for one in mine)
    if count < LEAST_RATINGS or sum(one.count for one in rest) < LEAST_RATINGS:
        return {}
    lag = _mean(rest) - _mean(mine)
    if lag < BEHIND:
        return {}
    words = f"{name} about {round(lag)} notches behind your other {others}, on {count} ratings"
    return {place: Lag(lag, words)}


def _mean(rows: Sequence[_Heard]) -> float:
    return sum(one.gained * one.count for one in rows) / sum(one.count for one in rows)


def _introduced(combination: Combination, week: int) -> str:
    if combination.intro_week == week:
        return "new this week"
    return f"in the curriculum since week {combination.intro_week}, not met yet"


def _break(turns: Turns, first_day: date) -> str:
    days = (first_day - turns.last.day).days
    return f"not played for {days} days" if days >= BREAK_DAYS else ""


def _turn(turns: Turns, turn_by: date | None, first_day: date) -> str:
    if turn_by is None:
        return f"last played on {short_date(turns.last.day, first_day)}"
    if turn_by < first_day:
        return f"its span ended on {short_date(turn_by, first_day)}"
    return f"its span ends on {short_date(turn_by, first_day)}"


def _not_heard(combination: Combination, estimates: Estimates) -> str:
    rows = [(combination.id, articulation) for articulation in combination.articulations]
    if any(estimates.rated[row] for row in rows):
        return ""
    wide = max(estimates.at(*row).sd for row in rows) >= WIDE
    return "not heard yet: the estimate is wide" if wide else "not heard yet: estimated from its neighbours"


def _last_heard(combination: Combination, turns: Turns, first_day: date) -> str:
    """What the last rating that says something said; "" where all of them only say "played"."""
    for rating in reversed(turns.ratings):
        words = said(combination, rating)
        if words:
            return f"{words} on {short_date(rating.day, first_day)}{_goal(combination, rating)}"
    return ""


def said(combination: Combination, rating: Rating) -> str:
    """A rating in words, without its date; "" where it was played and not rated."""
    if rating.value is not None:
        return _other_measure(combination, rating.value)
    if rating.grade is not None and (rating.clean is None or rating.grade < 4):
        at = "" if rating.tempo is None else f" at {rating.tempo}"
        return f"{GRADES[rating.grade]}{at}"
    return "" if rating.clean is None else f"clean up to {rating.clean}"


def _other_measure(combination: Combination, value: float) -> str:
    measure = combination.exercise.measure
    if measure == "seconds":
        return f"held {value:g} s"
    if measure == "top note":
        return "top note spoke" if value >= combination.highest else "top note did not speak"
    words = {"bend": ("bend centred", "bend not centred"), "band": ("in its band", "not in its band")}
    yes, no = words.get(measure, ("clean", "not clean"))
    return yes if value >= 1 else no


def _goal(combination: Combination, rating: Rating) -> str:
    """The goal, where the rating lies below it and says how far."""
    exercise = combination.exercise
    if exercise.hold is not None:
        goal, reached, unit = exercise.hold.goal, rating.value, " s"
    else:
        goal = exercise.tempos[heard_articulation(combination, rating)].goal
        reached, unit = rating.clean if rating.clean is not None else rating.tempo, ""
    return f", the goal is {goal}{unit}" if reached is not None and reached < goal else ""


def short_date(day: date, today: date) -> str:
    """A date in few letters; with the year where it is not the year of `today`.

    >>> short_date(date(2026, 9, 4), date(2026, 9, 7))
    '4 Sep'
    """
    year = "" if day.year == today.year else f" {day.year}"
    return f"{day.day} {MONTHS[day.month - 1]}{year}"

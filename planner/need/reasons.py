"""Why a combination stands in the plan, in plain words with numbers.

Conventions: every reason is caused by ratings or by the calendar, and is gone when its cause is gone. Dates
are short ("4 Sep", with the year where it is another one); tempos are marks; notches are a sixteenth of an
octave of tempo. Reasons are short texts without a full stop.
"""

from __future__ import annotations

from datetime import date

from planner.diary.rating import Rating
from planner.need.clean_tempo import Estimates
from planner.need.combinations import Combination
from planner.need.evidence import heard_articulation
from planner.need.lags import Lags
from planner.need.turns import BREAK_DAYS, Turns

GRADES = {
    1: "fell apart",
    2: "uneven",
    3: "nearly clean",
    4: "clean",
    5: "comfortable",
}
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
WIDE = 3.0
"""Notches of spread from which an estimate is called wide."""


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
    found.append(lags.worst(combination))
    if turns is not None:
        found.append(_turn(turns, turn_by, first_day))
    return tuple(reason for reason in found if reason)


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

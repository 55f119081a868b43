"""What the week wants of every combination, from the ratings: last turn, next turn, value.

Readings where the specification leaves room:
- "since" counts practice days d with last turn < d <= first day, at most 60; a further turn in the week
  counts two practice days, or as many as the first one where those are fewer;
- a kept-up span is lengthened by the days that could not be practised after the last turn and before the
  first day of the week; that of a new one and of a pair by the missed days among them (of a new one from the
  Monday of its week on);
- an articulation order that names none of the exercise's articulations leaves them as the file has them; what
  it does not name comes after what it names.
"""

from __future__ import annotations

import datetime as dt
from fractions import Fraction

from planner.plan.verify.case import Case
from planner.plan.verify.repertoire import Combination
from planner.plan.verify.returns import missed_dates

NEW_SINCE = 24
MOST_SINCE = 60
AGAIN_SINCE = 2
NEXT_PRACTICE_DAY = 3
PAIR_SPAN_DAYS = 14


def last_played(case: Case, name: str) -> dt.date | None:
    """The day of the last rating before the week; None where it was never met."""
    return case.last[name].day if name in case.last else None


def turn_by(case: Case, name: str, state: str) -> dt.date | None:
    """The day by which a combination wants its turn; None where no practice day is in sight."""
    last = last_played(case, name)
    if last is None:
        intro = case.player.starts + dt.timedelta(weeks=case.known[name].week - 1)
        return intro + dt.timedelta(days=6 + missed_from(case, intro))
    if state == "in work":
        return case.calendar.nth_after(last, NEXT_PRACTICE_DAY)
    away = case.calendar.away_between(last, case.first_day - dt.timedelta(days=1))
    return last + dt.timedelta(days=case.notes.capacity.granted_span_days + away)


def missed_from(case: Case, day: dt.date) -> int:
    """Missed days from a date on and before the first day: no span runs on them."""
    return sum(day <= one < case.first_day for one in missed_dates(case.player))


def since(case: Case, name: str) -> int:
    """Practice days since the last turn."""
    last = last_played(case, name)
    return NEW_SINCE if last is None else min(MOST_SINCE, case.calendar.between(last, case.first_day))


def value(practice_days: int, need: int) -> Fraction:
    """Value of a turn, exact: 1000 x practice days x (0.1 + need) to the fourth; need in thousandths."""
    return Fraction(1000 * practice_days * (100 + need) ** 4, 1000**4)


def articulations(case: Case, one: Combination) -> tuple[str, ...]:
    """The order for the week: the usual one, begun with what follows the last rated articulation."""
    wished = [word for word in case.player.articulation_order if word in one.articulations]
    usual = (*wished, *(word for word in one.articulations if word not in wished))
    last = case.last.get(one.id)
    if last is None or last.articulation not in usual:
        return usual
    turn = usual.index(last.articulation) + 1
    return usual[turn:] + usual[:turn]

"""The second road for a term: every rule recomputed over all of its weeks, without the solver or its problem.

The weeks of a term are checked one by one as plans when it is made; this checks what no single week can show:
rules from Sunday to Monday, spans over the whole term, what leads to what, holidays, the calendar, and the
certificate. Dates only: a day is a date of the wall calendar, so a change of the clock takes nothing from it.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from planner.diary.rating import Rating
from planner.inputs.curriculum import Curriculum
from planner.inputs.player import Player
from planner.plan.term.termplan import FORMAT, TermPlan
from planner.plan.verify import term_claims, term_days
from planner.plan.verify.breach import Breach
from planner.plan.verify.decode import decode
from planner.plan.verify.term_case import TermCase, build_term

Rule = Callable[[TermCase], Iterable[Breach]]

TERM_RULES: tuple[Rule, ...] = (
    term_claims.head,
    term_claims.calendar,
    term_claims.weeks,
    term_claims.combinations,
    term_claims.certificate,
    term_days.minutes,
    term_days.items,
    term_days.load,
    term_days.two_days,
    term_days.once_a_day,
    term_days.days_running,
    term_days.heavy_days,
    term_days.concerts,
    term_days.scope,
    term_days.after,
    term_days.alternation,
)


def verify_term(
    curriculum: Curriculum, player: Player, ratings: Sequence[Rating], term: Mapping[str, Any]
) -> tuple[Breach, ...]:
    """Every breach found in a term, given as the JSON object that is printed; () for a sound one."""
    found, faults = decode(TermPlan, term)
    wrong = [f"{path} {what}" for path, what in faults]
    if term.get("format") != FORMAT:
        wrong.append(f"format is {term.get('format')!r}, should be {FORMAT!r}")
    if found is not None and not _runs(found):
        wrong.append("the days do not run from first_day to last_day")
    if found is None or wrong:
        return tuple(Breach("shape", None, what) for what in wrong)
    case = build_term(curriculum, player, ratings, found)
    return tuple(breach for rule in TERM_RULES for breach in rule(case))


def _runs(term: TermPlan) -> bool:
    dates = [day.date for week in term.weeks for day in week.days]
    count = (term.last_day - term.first_day).days + 1
    return dates == [term.first_day + dt.timedelta(days=n) for n in range(count)]

"""The second road: a finished plan checked against the inputs, without the solver or its problem.

Everything a plan claims is computed again from the curriculum, the player and the ratings, in whole numbers
and fractions: hard rules 1 to 7, soft rules 8 to 11 with their costs, every figure of every item and day.
Only estimates and needs are taken from the plan; what follows from them is not. Of the program it knows
`brass`, the types of `inputs`, `diary/rating.py` and `plan/weekplan.py`, never `need`, `problem` or `solve`.

Where the week's definitions leave room, the module that fills it says how at its head, under "Readings".
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from planner.diary.rating import Rating
from planner.inputs.curriculum import Curriculum
from planner.inputs.player import Player
from planner.plan.verify import (
    claim_rules,
    day_rules,
    item_rules,
    state_rules,
    tempo_rules,
    time_rules,
    told_rules,
    week_rules,
)
from planner.plan.verify.breach import Breach
from planner.plan.verify.case import WEEK, Case, build
from planner.plan.verify.claim_rules import plan_value
from planner.plan.verify.decode import decode
from planner.plan.verify.notes import Notes
from planner.plan.verify.soft import Cost, soft_costs
from planner.plan.weekplan import FORMAT, WeekPlan

__all__ = ["RULES", "Breach", "Cost", "reckon", "verify"]

Rule = Callable[[Case], Iterable[Breach]]

RULES: tuple[Rule, ...] = (
    time_rules.minutes,
    time_rules.day_sums,
    time_rules.clock,
    time_rules.seconds,
    time_rules.loads,
    time_rules.load_limit,
    time_rules.two_days,
    day_rules.frame,
    day_rules.music,
    day_rules.blocks,
    day_rules.letters,
    day_rules.order,
    day_rules.goes,
    told_rules.titles,
    told_rules.left_out,
    week_rules.once_a_day,
    week_rules.days_running,
    week_rules.heavy_days,
    week_rules.concerts,
    week_rules.limits,
    week_rules.scope,
    week_rules.excluded,
    week_rules.after,
    week_rules.pins,
    week_rules.told,
    item_rules.facts,
    item_rules.blanks,
    item_rules.wishes,
    item_rules.reasons,
    item_rules.alternation,
    tempo_rules.tempos,
    tempo_rules.targets,
    tempo_rules.needs,
    tempo_rules.estimates,
    state_rules.states,
    state_rules.wanted_turns,
    state_rules.items_a_week,
    state_rules.granted_span,
    claim_rules.head,
    claim_rules.digests,
    claim_rules.rule_notes,
    claim_rules.rule_costs,
    claim_rules.prices,
    claim_rules.coverage,
    claim_rules.day_before,
    claim_rules.stages,
)


def verify(
    curriculum: Curriculum,
    player: Player,
    ratings: Sequence[Rating],
    plan: Mapping[str, Any],
    *,
    last_plan: Mapping[str, Any] | None = None,
    today: dt.date | None = None,
) -> tuple[Breach, ...]:
    """Every breach found in a plan, given as the JSON object that is stored and printed; () for a sound one.

    `last_plan` and `today`, where given, ask that the days before today are those of the last plan. A plan
    with a field missing or of the wrong kind is reported for that alone: nothing else can be checked on it.
    """
    week, notes, faults = _read(plan)
    if week is None or notes is None or faults:
        return faults
    case = build(curriculum, player, ratings, week, notes)
    past = () if last_plan is None or today is None else week_rules.past_stays(plan, last_plan, today)
    return (*(breach for rule in RULES for breach in rule(case)), *past)


def reckon(
    curriculum: Curriculum, player: Player, ratings: Sequence[Rating], plan: Mapping[str, Any]
) -> tuple[tuple[Cost, ...], int]:
    """Every breach of a soft rule with its cost, and the value of the plan's turns.

    ValueError where a field of the plan is missing or of the wrong kind.
    """
    week, notes, faults = _read(plan)
    if week is None or notes is None or faults:
        raise ValueError(str(faults[0]))
    case = build(curriculum, player, ratings, week, notes)
    return soft_costs(case), plan_value(case)


def _read(plan: Mapping[str, Any]) -> tuple[WeekPlan | None, Notes | None, tuple[Breach, ...]]:
    """The plan as frozen types, and what is missing or of the wrong kind in it."""
    week, faults = decode(WeekPlan, plan)
    notes, more = decode(Notes, plan)
    wrong = [f"{path} {what}" for path, what in dict.fromkeys((*faults, *more))]
    if plan.get("format") != FORMAT:
        wrong.append(f"format is {plan.get('format')!r}, should be {FORMAT!r}")
    if week is not None:
        count = (week.last_day - week.first_day).days + 1
        dates = [week.first_day + dt.timedelta(days=n) for n in range(count)]
        if not 1 <= count <= WEEK or [day.date for day in week.days] != dates:
            wrong.append("the days are not one to seven dates running from first_day to last_day")
    return week, notes, tuple(Breach("shape", None, what) for what in wrong)

"""What a term that was laid out says of itself: weeks, exercises, combinations, and what is proven."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import Any

from planner.horizon.term_layout import LaidOut, Laying
from planner.horizon.term_request import Granted, Proven, TermRequest, versions
from planner.horizon.term_shelf import RISE_A_TURN, TermShelf
from planner.horizon.term_tempos import exercise_account
from planner.inputs.curriculum import Exercise
from planner.inputs.player import Player
from planner.need.combinations import Combination
from planner.need.days import practicable, special_dates
from planner.need.turns import turns_before
from planner.plan.account import excluded
from planner.plan.solve.term import SolvedTerm
from planner.plan.term.problem import BEHIND, BROKEN, PAIR, PAIR_WEEKS, TermProblem, nothing_done
from planner.plan.term.termplan import (
    Certificate,
    Option,
    TermCombination,
    TermDay,
    TermItem,
    TermPlan,
    TermWeek,
)


def account(
    laying: Laying,
    request: TermRequest,
    granted: Granted,
    solved: SolvedTerm,
    proven: Proven,
    tried: tuple[Option, ...],
) -> TermPlan:
    """The term as it is stored and printed."""
    shelf = laying.shelf
    weeks = tuple(_week(shelf, one) for one in laying.weeks)
    combinations = _combinations(laying, granted.weeks)
    exercises = tuple(exercise_account(shelf, e, weeks) for e in shelf.curriculum.exercises if _has(shelf, e))
    return TermPlan(
        player=request.player.id,
        name=request.player.name,
        instrument=request.player.instrument,
        curriculum=request.curriculum.id,
        curriculum_title=request.curriculum.title,
        curriculum_weeks=request.curriculum.weeks,
        starts=request.player.starts,
        anchor=request.anchor,
        first_day=shelf.first_day,
        last_day=shelf.last_day,
        made_with=versions(),
        inputs=request.inputs,
        diary_digest=request.diary_digest,
        ratings_from=request.ratings_from,
        span_weeks=granted.weeks,
        free_share=float(granted.free),
        rise_a_turn=RISE_A_TURN,
        capacity=proven.capacity,
        certificate=_certificate(laying, granted.problem, proven.floor, weeks, combinations),
        options=tried,
        solver={
            "cost": solved.cost,
            "bound": solved.bound,
            "status": "proven" if solved.proven else "not proven",
        },
        exercises=exercises,
        combinations=combinations,
        excluded=excluded(shelf.found),
        weeks=weeks,
    )


def _has(shelf: TermShelf, exercise: Exercise) -> bool:
    return any(c.exercise.id == exercise.id for c in shelf.combinations)


def _week(shelf: TermShelf, laid: LaidOut) -> TermWeek:
    days = shelf.weeks[laid.index]
    plan, promised = laid.plan, frozenset(laid.promised)
    states = {entry["combination"]: entry["state"] for entry in plan["combinations"]}
    met = list(dict.fromkeys(name for name, _, _ in laid.turns))
    return TermWeek(
        week=days.number,
        iso_week=iso_week(days.first),
        first_day=days.first,
        last_day=days.last,
        notes=_notes(shelf, laid),
        practice_days=len(days.practice),
        items_carried=plan["capacity"]["items_per_week"],
        seconds_free=sum(day["seconds_free"] for day in plan["days"]),
        seconds_used=sum(day["seconds_used"] for day in plan["days"]),
        load=round(sum(day["load"] for day in plan["days"]), 3),
        load_limit=round(sum(day["load_limit"] for day in plan["days"]), 3),
        new=tuple(name for name in met if states[name] == "new"),
        returning=tuple(name for name in met if states[name] != "new"),
        in_work=tuple(sorted(name for name, state in states.items() if state == "in work")),
        promised=laid.promised,
        left=laid.left,
        cuts=laid.cuts,
        pairs_missed=plan["rules"]["pairs"]["broken"],
        days=tuple(_day(day, promised, shelf.player) for day in plan["days"]),
    )


def iso_week(day: date) -> str:
    """The week of ISO 8601, "2026-W53"."""
    year, week, _ = day.isocalendar()
    return f"{year}-W{week:02}"


def _notes(shelf: TermShelf, laid: LaidOut) -> tuple[str, ...]:
    """Concerts by their titles, then what is lost to holidays and what these are called."""
    days = shelf.weeks[laid.index]
    lost = [day.date for day in days.facts if not practicable(shelf.player, day.date)]
    names = list(dict.fromkeys(name for day in lost if (name := free_title(shelf.player, day))))
    called = f" ({', '.join(names)})" if names else ""
    if not days.practice:
        return (f"holiday{called}",)
    titles = [day["title"] for day in laid.plan["days"] if day["title"]]
    number = f"{len(lost)} day{'' if len(lost) == 1 else 's'}"
    return (*dict.fromkeys(titles), *([f"{number} without practice{called}"] if lost else []))


def free_title(player: Player, day: date) -> str:
    """What the dates without practice of a day are called; their kind alone says nothing more."""
    titles = (special.title for special in special_dates(player, day, "free"))
    return ", ".join(dict.fromkeys(title for title in titles if title not in ("", "holiday")))


def _day(day: Mapping[str, Any], promised: frozenset[str], player: Player) -> TermDay:
    when = date.fromisoformat(day["date"])
    goes: dict[str, list[Mapping[str, Any]]] = defaultdict(list)
    for item in day["items"]:
        if item["combination"]:
            goes[item["combination"]].append(item)
    return TermDay(
        date=when,
        title=day["title"] or free_title(player, when),
        seconds_free=day["seconds_free"],
        seconds_used=day["seconds_used"],
        load=day["load"],
        load_limit=day["load_limit"],
        items=tuple(_item(items, name in promised) for name, items in goes.items()),
    )


def _item(goes: Sequence[Mapping[str, Any]], promised: bool) -> TermItem:
    first = goes[0]
    return TermItem(
        combination=first["combination"],
        articulation=first["articulation"],
        state=first["state"],
        promised=promised,
        tempo=first["tempo"],
        target=first["target"],
        beat=first["beat"],
        at=first["at"],
        seconds=sum(item["seconds"] for item in goes),
        play_seconds=sum(item["play_seconds"] for item in goes),
        goes=len(goes),
        load=round(sum(item["load"] for item in goes), 3),
    )


def _combinations(laying: Laying, span_weeks: int) -> tuple[TermCombination, ...]:
    shelf = laying.shelf
    before = turns_before(shelf.ratings, shelf.first_day)
    turns: dict[str, list[date]] = defaultdict(list)
    for week in laying.weeks:
        for name, day, _ in week.turns:
            turns[name].append(day)
    return tuple(
        _combination(
            shelf,
            one,
            before[one.id].last.day if one.id in before else None,
            tuple(sorted(turns[one.id])),
            span_weeks,
        )
        for one in shelf.combinations
    )


def _combination(
    shelf: TermShelf, one: Combination, met_before: date | None, turns: tuple[date, ...], span_weeks: int
) -> TermCombination:
    own = max(0, shelf.own_week(one))
    meet_by = None if met_before else shelf.weeks[min(own, len(shelf.weeks) - 1)].last
    waits = _waits(shelf, _waits_from(shelf, one, met_before), turns)
    first_met = None if met_before or not turns else turns[0]
    return TermCombination(
        combination=one.id,
        exercise=one.exercise.id,
        week=one.intro_week,
        meet_by=meet_by,
        met_before=met_before,
        first_met=first_met,
        turns=turns,
        longest_wait_days=max(waits, default=0),
        weeks_behind=0 if met_before else _weeks_behind(shelf, own, turns),
        weeks_over_span=sum(math.ceil(max(0, wait - 7 * span_weeks) / 7) for wait in waits),
    )


def _weeks_behind(shelf: TermShelf, own: int, turns: Sequence[date]) -> int:
    """Weeks that end without it having been met, from its own on."""
    met = shelf.week_of(turns[0]) if turns else len(shelf.weeks)
    return max(0, met - own)


def _waits_from(shelf: TermShelf, one: Combination, met_before: date | None) -> date | None:
    """From when on its first wait counts: at the soonest from the week ahead in which it comes in."""
    comes_in = shelf.player.starts + timedelta(weeks=one.intro_week - 1)
    return max(met_before, comes_in) if met_before and comes_in > shelf.first_day else met_before


def _waits(shelf: TermShelf, begins: date | None, turns: Sequence[date]) -> list[int]:
    """Days from turn to turn and to the end of the term, without days that could not be practised."""
    marks = [*([begins] if begins else []), *turns]
    ends = [*marks[1:], shelf.last_day][: len(marks)]
    return [waited(shelf, begin, end) for begin, end in zip(marks, ends, strict=True)]


def waited(shelf: TermShelf, begin: date, end: date) -> int:
    """Days from `begin` to `end` without those between them on which nothing could be practised."""
    days = (end - begin).days
    between = (begin + timedelta(days=n) for n in range(1, days))
    return days - sum(not practicable(shelf.player, day) for day in between)


def _certificate(
    laying: Laying,
    problem: TermProblem,
    floor: int,
    weeks: Sequence[TermWeek],
    combinations: Sequence[TermCombination],
) -> Certificate:
    to_meet = [c for c in combinations if c.met_before is None]
    in_time = [c for c in to_meet if not c.weeks_behind]
    spans = [c for c in combinations if c.met_before or c.first_met]
    held = [c for c in spans if not c.weeks_over_span]
    cost = sum(BEHIND * c.weeks_behind + BROKEN * c.weeks_over_span for c in combinations)
    cost += _pair_cost(problem, weeks)
    empty = nothing_done(problem)
    over = max(0, cost - floor)
    return Certificate(
        fits=len(in_time) == len(to_meet) and len(held) == len(spans),
        to_meet=len(to_meet),
        met_by_week=len(in_time),
        met=sum(1 for c in to_meet if c.first_met),
        spans=len(spans),
        spans_held=len(held),
        days_over_minutes=sum(1 for w in weeks for d in w.days if d.seconds_used > d.seconds_free),
        # what is fixed may weigh more than the limit: then nothing else stands on the day
        days_over_load=sum(1 for w in weeks for d in w.days if d.items and d.load > d.load_limit + 0.001),
        weeks_laid_out=sum(1 for w in weeks if not w.left),
        weeks_checked=len(laying.weeks),
        cost=cost,
        bound=floor,
        empty=empty,
        gap=round(over / max(1, empty - floor), 4) if over else 0.0,
    )


def _pair_cost(problem: TermProblem, weeks: Sequence[TermWeek]) -> int:
    counts = [
        Counter(item.combination.split("/")[0] for day in week.days for item in day.items) for week in weeks
    ]
    return sum(
        PAIR * max(0, wanted - sum(count[exercise.id] for count in counts[w : w + PAIR_WEEKS]))
        for exercise in problem.exercises
        for w, wanted in enumerate(exercise.pair_turns)
    )

"""Players and missed stretches thrown together by dice, and four ways to go on after one.

Synthetic: real sample curricula, invented players and ratings. One to three weeks or days, early and late in
the curriculum, light and heavy weeks, with and without a stored plan, some with a rating on a "missed" day.
"""

from __future__ import annotations

import random
import time
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from horizon.sample_weeks import ROOT
from term.generated import curriculum_of

from planner.diary.rating import Rating
from planner.diary.rows import digest_of
from planner.diary.told import Stretch, Telling, with_told
from planner.horizon.before import Situation, turns_before
from planner.horizon.fates import Turn
from planner.horizon.rebalance import Rebalanced, last_sunday, rebalance
from planner.horizon.stored import input_digests
from planner.horizon.week import Request, plan_week, week_of
from planner.inputs.curriculum import Curriculum
from planner.inputs.player import Player
from planner.inputs.read import read_curriculum, read_player
from planner.need.combinations import drafts, scope
from planner.need.days import day_facts
from planner.plan.build import week_problem
from planner.plan.problem import Turns, WeekProblem, breaches, soft_cost
from planner.plan.solve.returning import LIMITS
from planner.plan.solve.stages import Limits, solve_week

MONDAY = date(2026, 10, 5)
CURRICULA = {"trumpet-cornet": ("trumpet", "cornet"), "low-brass-term": ("trombone", "euphonium")}
PLAYER = """
id = "mara"
name = "Mara"
instrument = "{instrument}"
level = "{level}"
curriculum = "{curriculum}"
starts = {starts}
breath_seconds = 13
minutes = {{ {minutes} }}
{more}
"""
Shelf = tuple[Player, Curriculum, dict[str, Path]]
LARGE_WEEKS = 8
WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday")
BAND = """
[[playing]]
title = "Band"
days = ["tuesday"]
minutes = 90
on_the_lip = 0.55
intensity = 3
"""


@dataclass(frozen=True)
class Case:
    """One missed stretch: what the rebalance is made from, and what was told."""

    seed: int
    situation: Situation
    weeks_missed: int
    stored: bool


def case(seed: int, folder: Path) -> Case:
    """The missed stretch number `seed`; its files stand in `folder`."""
    dice = random.Random(seed)
    shelf = _shelf(dice, folder)
    return _case(seed, dice, shelf, dice.choice((0, 1, 1, 2, 3)))


def large_case(size: int, folder: Path) -> Case:
    """A missed week of a player of an hour a day with `size` combinations about, nearly all of them met."""
    dice = random.Random(size)
    minutes = ", ".join(f"{day} = 60" for day in WEEKDAYS)
    text = PLAYER.format(
        instrument="trumpet",
        level="advanced",
        curriculum="chance",
        starts=MONDAY - timedelta(weeks=LARGE_WEEKS - 1),
        minutes=minutes,
        more=BAND,
    )
    path = folder / "mara.toml"
    path.write_text(text, encoding="utf-8")
    curriculum = curriculum_of(dice, LARGE_WEEKS, size)
    shelf = read_player(path, MONDAY), curriculum, {"player": path, "curriculum": path}
    return _case(size, dice, shelf, 1)


def _case(seed: int, dice: random.Random, shelf: Shelf, weeks_missed: int) -> Case:
    player, curriculum, files = shelf
    first, last, today = _stretch(dice, weeks_missed)
    ratings = _ratings(dice, curriculum, player, first)
    stored = weeks_missed == 0
    plans: dict[date, Mapping[str, Any]] = {}
    if stored:
        plan = plan_week(_request(curriculum, player, ratings, MONDAY, files), Limits(), lambda _: None)
        plans = {MONDAY + timedelta(days=n): plan for n in range(7)}
        ratings += _played(plan, first)
    if ratings and dice.random() < 0.3:  # one of the missed days was played after all
        one = ratings[0]
        ratings += (replace(one, day=first, at=0),)
    told = (Telling(today, 0, (Stretch("missed", first, last),)),)
    after = with_told(player, told, {one.day for one in ratings})
    request = _request(curriculum, after, ratings, today, files)
    played = {day for one in after.missed for day in one.played}
    days = {first + timedelta(days=n) for n in range((last - first).days + 1)}
    missed = tuple(sorted(days - played))
    return Case(seed, Situation(request, player, missed, plans.get), weeks_missed, stored)


def _shelf(dice: random.Random, folder: Path) -> Shelf:
    name = dice.choice(tuple(CURRICULA))
    minutes = dice.choice((20, 30, 45, 60))
    days = WEEKDAYS[: dice.choice((4, 5, 6))]
    text = PLAYER.format(
        instrument=dice.choice(CURRICULA[name]),
        level=dice.choice(("intermediate", "advanced")),
        curriculum=name,
        starts=MONDAY - timedelta(weeks=dice.randint(1, 6)),
        minutes=", ".join(f"{day} = {minutes}" for day in days),
        more=BAND if dice.random() < 0.3 else "",
    )
    path = folder / "mara.toml"
    path.write_text(text, encoding="utf-8")
    files = {"player": path, "curriculum": ROOT / "curricula" / f"{name}.toml"}
    return read_player(path, MONDAY), _part(dice, read_curriculum(files["curriculum"])), files


def _part(dice: random.Random, whole: Curriculum) -> Curriculum:
    """Some of the exercises: a shelf of 20 to 100 combinations, one time in twelve the whole."""
    if dice.random() < 1 / 12:
        return whole
    wanted, chosen = dice.randint(20, 100), []
    for exercise in dice.sample(whole.exercises, len(whole.exercises)):
        if sum(len(drafts(one)) for one in chosen) < wanted:
            chosen.append(exercise)
    names = {one.id for one in chosen}
    kept = (
        replace(one, after=tuple(x for x in one.after if x in names))
        for one in whole.exercises
        if one in chosen
    )
    return replace(whole, exercises=tuple(kept))


def _stretch(dice: random.Random, weeks: int) -> tuple[date, date, date]:
    """First and last missed day, and the day on which it is told."""
    if weeks:
        last = MONDAY + timedelta(days=7 * weeks - 1)
        return MONDAY, last, last + timedelta(days=1)
    first = MONDAY + timedelta(days=dice.randint(0, 1))
    last = first + timedelta(days=dice.randint(0, 2))
    return first, last, last + timedelta(days=1)


def _ratings(dice: random.Random, curriculum: Curriculum, player: Player, first: date) -> tuple[Rating, ...]:
    """Nine of ten combinations of the weeks before were met, one to three times, how well by chance."""
    found = []
    for one in scope(curriculum, player, first - timedelta(days=7)).playable:
        for _ in range(dice.randint(1, 3) if dice.random() < 0.9 else 0):
            word = dice.choice(one.articulations)
            span = one.exercise.tempos.get(word)
            tempo = None if span is None else dice.choice((span.first, (span.first + span.goal) // 2))
            day = first - timedelta(days=dice.randint(1, 40))
            value = 8.0 if one.exercise.measure == "seconds" else None
            grade = None if value else dice.randint(1, 5)
            found.append(Rating(day, one.id, word, tempo, None, grade, value))
    return tuple(sorted(found, key=lambda one: (one.day, one.combination)))


def _played(plan: Mapping[str, Any], before: date) -> tuple[Rating, ...]:
    return tuple(
        Rating(
            date.fromisoformat(day["date"]),
            item["combination"],
            item["articulation"],
            item["tempo"],
            None,
            4,
            None,
        )
        for day in plan["days"]
        for item in day["items"]
        if item["combination"]
        and item["go"] == 1
        and item["measure"] == "tempo"
        and day["date"] < str(before)
    )


def _request(
    curriculum: Curriculum, player: Player, ratings: tuple[Rating, ...], first: date, files: dict[str, Path]
) -> Request:
    known = tuple(one for one in ratings if one.day < first)
    return Request(
        curriculum=curriculum,
        player=player,
        ratings=known,
        first_day=first,
        last_day=first + timedelta(days=6 - first.weekday()),
        anchor=MONDAY,
        inputs=input_digests(files),
        diary_digest=digest_of(known),
        ratings_from="diary",
        last_plan=None,
    )


@dataclass(frozen=True)
class Way:
    """One way to go on, in figures of the first week: see `table`."""

    changes: int
    weeks_behind: float
    broken: int
    load_jump: float


@dataclass(frozen=True)
class Measured:
    """A case, the rebalance of it, its seconds of CPU, and all four ways in figures."""

    case: Case
    found: Rebalanced
    seconds: float
    saved: float
    changes: int
    least: int
    combinations: int
    ways: Mapping[str, Way]


def measured(one: Case) -> Measured:
    """Rebalance a case and set it beside the other ways."""
    started = time.process_time()
    found = rebalance(one.situation, LIMITS, lambda _: None)
    seconds = time.process_time() - started
    had = tuple(turns_before(one.situation, last_sunday(one.situation)))
    problem, numbers = _problem(one, had)
    scratch = solve_week(replace(problem, last=()), Limits(), lambda _: None)
    stages = {stage["goal"]: stage for stage in found.plans[0]["solver"]["stages"]}
    ours = _in_numbers(_turns_of(found.plans[0]), one, numbers)
    empty = soft_cost(problem, frozenset())
    could = empty - min(soft_cost(problem, scratch.turns), soft_cost(problem, ours))
    ways = {
        "planner rebalance": ours,
        "doing nothing": _in_numbers(had, one, numbers),
        "from scratch": scratch.turns,
        "a week later": _in_numbers([_week_later(turn) for turn in had], one, numbers),
    }
    return Measured(
        case=one,
        found=found,
        seconds=seconds,
        saved=1.0 if could <= 0 else (empty - soft_cost(problem, ours)) / could,
        changes=stages["changes"]["value"],
        least=stages["changes"]["bound"],
        combinations=len(problem.candidates),
        ways={name: _figures(one, problem, turns) for name, turns in ways.items()},
    )


def _problem(one: Case, had: tuple[Turn, ...]) -> tuple[WeekProblem, dict[str, int]]:
    first = one.situation.request.first_day
    missed = frozenset(turn.combination for turn in had if turn.day in one.situation.missed)
    last = frozenset((turn.combination, turn.day) for turn in had if turn.day >= first)
    week, _ = week_of(replace(one.situation.request, missed=missed, last_turns=last))
    return week_problem(week), {wish.id: number for number, wish in enumerate(week.wishes)}


def _turns_of(plan: Mapping[str, Any]) -> list[Turn]:
    return [
        Turn(date.fromisoformat(day["date"]), item["combination"], "", "", "")
        for day in plan["days"]
        for item in day["items"]
        if item["combination"]
    ]


def _week_later(turn: Turn) -> Turn:
    return replace(turn, day=turn.day + timedelta(days=7))


def _in_numbers(turns: Any, one: Case, numbers: Mapping[str, int]) -> Turns:
    first, last = one.situation.request.first_day, one.situation.request.last_day
    return frozenset(
        (numbers[turn.combination], (turn.day - first).days)
        for turn in turns
        if turn.combination in numbers and first <= turn.day <= last
    )


def _figures(one: Case, problem: WeekProblem, turns: Turns) -> Way:
    """Changes against the plans before, new ones not met in weeks of them, spans broken, load of day one."""
    names = {candidate: wish.id for candidate, wish in enumerate(problem.candidates)}
    met = {rating.combination for rating in one.situation.request.ratings}
    new = {c for c, name in names.items() if name not in met}
    behind = len(new - {c for c, _ in turns})
    a_week = max(1.0, len(new) / max(1, one.weeks_missed + 1))
    broken = sum(1 for kind, _, _ in breaches(problem, turns) if kind in ("turns", "pairs"))
    return Way(
        changes=sum(1 for turn in problem.last if turn not in turns),
        weeks_behind=behind / a_week,
        broken=broken,
        load_jump=_jump(one, problem, turns),
    )


def _jump(one: Case, problem: WeekProblem, turns: Turns) -> float:
    """Load of the first practice day over the share of a usual day's limit that the way back allows."""
    first = one.situation.request.first_day
    for index in range(len(problem.days)):
        facts = day_facts(one.situation.before, first + timedelta(days=index))
        if facts.practice and problem.days[index].blocks:
            own = sum(problem.candidates[c].load for c, d in turns if d == index) / 1000
            return own / max(1.0, float(facts.load_room))
    return 0.0

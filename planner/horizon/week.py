"""One week from beginning to end: shelf, estimates, capacity, wishes, turns, days, checked.

Curriculum + Player -> Combination -> (ratings) CleanTempo -> Wish -> WeekProblem -> WeekPlan -> verified
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from fractions import Fraction
from typing import Any

from planner import __version__
from planner.diary.pins import Pin
from planner.diary.rating import Rating
from planner.errors import DoesNotFit, Refused
from planner.horizon.follow import Promise, still_open
from planner.horizon.pinned import clash_of
from planner.inputs.calendar import in_term
from planner.inputs.curriculum import Curriculum
from planner.inputs.player import Player
from planner.need.capacity import Capacity, capacity
from planner.need.clean_tempo import Estimates, estimate
from planner.need.combinations import Combination, Scope, scope
from planner.need.days import playing_load, week_facts
from planner.need.parts import DEFAULT, Scales
from planner.need.weigh import Wish, lost_between, pairs_of, wishes
from planner.plan.account import coverage, excluded, rule_account, term_rule
from planner.plan.build import HEAVY_FAMILY, DayBefore, Week, week_problem
from planner.plan.layout import lay_out
from planner.plan.problem import WeekProblem
from planner.plan.solve.returning import solve_quickly, solve_return
from planner.plan.solve.stages import Limits, Progress, Solved, solve_week
from planner.plan.stop import Stop
from planner.plan.verify import verify
from planner.plan.weekplan import CombinationState, Stage, WeekPlan

BREACHES_SHOWN = 3


@dataclass(frozen=True, slots=True)
class Request:
    """What a week is made from.

    Only ratings of days before `first_day` count. `inputs` names the files with their digests, `last_plan`
    is the plan (JSON) that held these days before, None for none. `diary_digest` is over the ratings that
    count, `ratings_from` says where they stand: "diary", "file" or "none". `seed` only breaks ties. Of `pins`
    those of the days planned count. `promise` is what the term asks of this week, `term` the name of the
    stored term, "" where there is none. `changes_first` puts few changes against the last plan before value,
    and takes every turn of the `missed` combinations that can be taken: the order after a missed stretch.
    `last_turns` stand in the place of those of `last_plan` where they are given. `quick`: built by hand,
    without a solver. `scales` are the sizes of the estimate: the usual ones, or those taken from a refit.
    """

    curriculum: Curriculum
    player: Player
    ratings: tuple[Rating, ...]
    first_day: date
    last_day: date
    anchor: date
    inputs: tuple[Mapping[str, str], ...]
    diary_digest: str
    ratings_from: str
    last_plan: Mapping[str, Any] | None
    seed: int = 0
    scales: Scales = DEFAULT
    pins: tuple[Pin, ...] = ()
    promise: Promise | None = None
    term: str = ""
    changes_first: bool = False
    missed: frozenset[str] = frozenset()
    last_turns: frozenset[tuple[str, date]] | None = None
    quick: bool = False


def plan_week(
    request: Request, limits: Limits, progress: Progress, stop: Stop | None = None
) -> dict[str, Any]:
    """The checked plan of the days from `first_day` to `last_day`, as JSON values.

    Raises DoesNotFit where fixed music and pins clash with the rules, Refused where the check of the
    finished plan finds a broken rule (a fault of the program: nothing is shown).
    """
    progress("reading the diary")
    week, shelf = week_of(request)
    problem = week_problem(week)
    pins_can_stand(week, problem, shelf)
    solved = _way(request)(problem, limits, progress, stop)
    plan = plan_from(request, week, shelf, problem, solved).to_json()
    progress("checking")
    checked(request.curriculum, request.player, request.ratings, plan)
    return plan


def _way(request: Request) -> Callable[..., Solved]:
    """Which of the ways of solving a week it is."""
    if request.quick:
        return solve_quickly
    return solve_return if request.changes_first else solve_week


def pins_can_stand(week: Week, problem: WeekProblem, shelf: Scope) -> None:
    """Raise DoesNotFit where a pin clashes with a rule or with another pin: it is named with the numbers."""
    clash = clash_of(week, problem, shelf)
    if clash is not None:
        last = clash.pins[-1]
        raise DoesNotFit(clash.message, f"planner unpin {last.combination} {last.day.isoformat()}")


def checked(
    curriculum: Curriculum, player: Player, ratings: tuple[Rating, ...], plan: Mapping[str, Any]
) -> None:
    """Raise Refused where the second road through the rules finds any of them broken."""
    found = verify(curriculum, player, ratings, plan)
    if found:
        named = "; ".join(str(breach) for breach in found[:BREACHES_SHOWN])
        more = f"; and {len(found) - BREACHES_SHOWN} more" if len(found) > BREACHES_SHOWN else ""
        raise Refused(
            f"the plan was made but its check failed, so it is not shown: {named}{more}",
            "this is a fault of the program: please report it with your files",
        )


def week_of(request: Request) -> tuple[Week, Scope]:
    """Everything the week is made from, and the shelf it was taken from."""
    first, last = request.first_day, request.last_day
    ratings = tuple(rating for rating in request.ratings if rating.day < first)
    player = _player_of(request)
    shelf = scope(_in_order(request.curriculum), player, first, last)
    estimates = estimate(shelf.written, ratings, first, player, request.scales)
    room = capacity(shelf, estimates, ratings, player, first)
    wanted = wishes(shelf, estimates, ratings, player, first, last, room)
    week = Week(
        player=player,
        wishes=wanted,
        pairs=pairs_of(wanted, last, lambda met: lost_between(request.player, met, first)),
        capacity=room,
        days=week_facts(player, first, last),
        before=day_before(request, shelf, estimates, ratings),
        last_turns=_last_turns(request) if request.last_turns is None else request.last_turns,
        pins=frozenset((pin.combination, pin.day) for pin in request.pins if first <= pin.day <= last),
        seed=request.seed,
        promised=_promised(request, wanted),
        missed=request.missed,
    )
    return week, shelf


def _player_of(request: Request) -> Player:
    """The player with the curriculum's dates, and with the span of the term where one is followed."""
    player = in_term(request.player, request.curriculum)
    if request.promise is None:
        return player
    return replace(player, spans={"kept_up_weeks": request.promise.span_weeks})


def _promised(request: Request, wanted: tuple[Wish, ...]) -> tuple[str, ...]:
    """What the term promised for this week, is on the shelf and has not been played since Monday."""
    if request.promise is None:
        return ()
    played = ((rating.day, rating.combination) for rating in request.ratings)
    on_the_shelf = {wish.id for wish in wanted}
    open_ = still_open(request.promise, played, request.first_day)
    return tuple(name for name in open_ if name in on_the_shelf)


def _in_order(curriculum: Curriculum) -> Curriculum:
    """The exercises by their ids: the order in which a file names them changes no plan."""
    return replace(curriculum, exercises=tuple(sorted(curriculum.exercises, key=lambda each: each.id)))


def day_before(
    request: Request, shelf: Scope, estimates: Estimates, ratings: tuple[Rating, ...]
) -> DayBefore:
    """The day before the first day as the diary has it, each combination at the pace of its next take."""
    from planner.need.capacity import next_take
    from planner.need.turns import turns_before

    day = request.first_day - timedelta(days=1)
    names = frozenset(rating.combination for rating in ratings if rating.day == day)
    known: list[Combination] = [c for c in shelf.written if c.id in names]
    turns = turns_before(ratings, request.first_day)
    load = sum(
        (next_take(c, estimates, turns, request.player, request.first_day).load for c in known), Fraction(0)
    )
    return DayBefore(
        date=day,
        load=Fraction(str(round(float(load + playing_load(request.player, day)), 3))),
        heavy=any(name.split("/")[0] in _heavy_exercises(request.curriculum) for name in names),
        combinations=names,
    )


def _heavy_exercises(curriculum: Curriculum) -> frozenset[str]:
    return frozenset(e.id for e in curriculum.exercises if e.family == HEAVY_FAMILY)


def _last_turns(request: Request) -> frozenset[tuple[str, date]]:
    """Where the turns stood: in the plan that held these days before, else in the term."""
    plan = request.last_plan
    if plan is None:
        return request.promise.days if request.promise else frozenset()
    return frozenset(
        (item["combination"], date.fromisoformat(day["date"]))
        for day in plan["days"]
        for item in day["items"]
        if item["combination"]
    )


def plan_from(request: Request, week: Week, shelf: Scope, problem: WeekProblem, solved: Solved) -> WeekPlan:
    """The finished plan of the turns that were found."""
    player, curriculum = request.player, request.curriculum
    return WeekPlan(
        player=player.id,
        name=player.name,
        instrument=player.instrument,
        curriculum=curriculum.id,
        curriculum_title=curriculum.title,
        curriculum_week=shelf.week,
        curriculum_weeks=curriculum.weeks,
        highest=max(player.known_notes, default=player.high),
        known_notes=player.known_notes,
        longest_position=player.longest_position,
        anchor=request.anchor,
        first_day=request.first_day,
        last_day=request.last_day,
        seed=request.seed,
        made_with={"planner": __version__, "ortools": _solver_version()}
        | ({"term": request.term} if request.term else {}),
        inputs=request.inputs,
        diary_digest=request.diary_digest,
        ratings_from=request.ratings_from,
        capacity=_capacity(week.capacity),
        rules=_rules(request, week, problem, solved),
        solver={
            "stages": tuple(Stage(s.goal, s.value, s.bound, s.status) for s in solved.stages),
            "work": solved.work,
            "stopped_by": solved.stopped_by,
        },
        coverage=coverage(week, solved.turns),
        combinations=tuple(_state(wish) for wish in week.wishes),
        pairs=(),
        excluded=excluded(shelf),
        pins=tuple(
            Pin(day, name).to_json() for name, day in sorted(week.pins, key=lambda pin: (pin[1], pin[0]))
        ),
        before={
            "date": week.before.date,
            "load": round(float(week.before.load), 3),
            "heavy": week.before.heavy,
            "combinations": tuple(sorted(week.before.combinations)),
        },
        days=lay_out(week, solved.turns),
    )


def _rules(request: Request, week: Week, problem: WeekProblem, solved: Solved) -> dict[str, Any]:
    """The account of every rule; a week that follows a term says so even where nothing was promised."""
    rules = rule_account(problem, solved.turns)
    if request.promise is not None:
        rules.setdefault("term", term_rule((), 0, 0))
    if "term" in rules:
        rules["term"]["parameters"]["span_weeks"] = week.capacity.granted_weeks
    return rules


def _solver_version() -> str:
    from importlib.metadata import version

    return version("ortools")


def _capacity(room: Capacity) -> dict[str, Any]:
    return {
        "items_per_week": room.items_per_week,
        "granted_span_days": room.granted_span_days,
        "sentence": room.sentence,
        "proof": room.proof,
        "fits": room.fits,
    }


def _state(wish: Wish) -> CombinationState:
    return CombinationState(
        combination=wish.id,
        state=wish.state,
        need=wish.need,
        since=wish.since,
        value=wish.value,
        value_again=min(wish.value, wish.value_again),
        turn_by=wish.turn_by,
        last_played=wish.last_played,
        articulations=wish.articulations,
        wanted=wish.wanted,
    )

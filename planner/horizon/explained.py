"""One combination explained, as JSON values: what the estimate thinks of it, and its place in the week.

`planner.why/1`. Notches are of the tempo scale, dates ISO dates; what does not apply is null, "" or [].
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from planner.brass.tempo import nearest_mark
from planner.horizon.week import Request
from planner.horizon.why import Why, why_in_week
from planner.inputs.curriculum import Articulation
from planner.need.clean_tempo import estimate
from planner.need.combinations import Combination, Scope, scope
from planner.need.levels import CleanTempo
from planner.need.targets import need_of
from planner.need.turns import articulations_in_turn, turns_before
from planner.plan.stop import Stop
from planner.plan.weekplan import plain

FORMAT = "planner.why/1"


def explained(
    request: Request, plan: Mapping[str, Any], combination: str, today: date, stop: Stop | None = None
) -> dict[str, Any]:
    """Everything there is to say about one combination of the curriculum."""
    shelf = scope(request.curriculum, request.player, request.first_day, request.last_day)
    one = next((each for each in shelf.written if each.id == combination), None)
    why = why_in_week(request, plan, combination, today, stop)
    return {
        "format": FORMAT,
        "player": request.player.id,
        "date": today.isoformat(),
        "first_day": plan["first_day"],
        "last_day": plan["last_day"],
        "combination": combination,
        "title": _title(request, combination, one),
        "keys": [] if one is None else [key.pretty for key in one.keys],
        "estimate": None if one is None else _estimate(request, shelf, one),
        "week": _week(why),
    }


def _title(request: Request, combination: str, one: Combination | None) -> str:
    """Exercise, pattern and place in words: "North door a, B harmonic minor", "Clock stairs b, 3-4-5"."""
    name, pattern, place = combination.split("/")[:3]
    title = next(each.title for each in request.curriculum.exercises if each.id == name)
    where = one.keys[0].pretty if one is not None and one.place.key is not None else place
    return f"{title} {pattern}, {where}"


def _estimate(request: Request, shelf: Scope, one: Combination) -> dict[str, Any]:
    from planner.need.shortfall import shortfall

    day, player = request.first_day, request.player
    ratings = tuple(rating for rating in request.ratings if rating.day < day)
    estimates = estimate(shelf.written, ratings, day, player, request.scales)
    articulation = articulations_in_turn(one, turns_before(ratings, day).get(one.id), player)[0]
    found = shortfall(shelf.written, estimates, player, one, articulation)
    clean = CleanTempo(found.mean, found.sd)
    return {
        "articulation": articulation,
        "measure": one.exercise.measure,
        "mean": found.mean,
        "sd": found.sd,
        "need": need_of(clean) / 1000,
        "success_at_goal": round(clean.success(0.0), 3),
        **_in_its_own_terms(one, articulation, clean),
        "shortfall": round(found.notches, 3),
        "pieces": [_piece(piece) for piece in found.pieces],
    }


def _piece(piece: Any) -> dict[str, Any]:
    told: dict[str, Any] = plain(piece)
    return told | {"notches": round(piece.notches, 3), "sd": round(piece.sd, 3)}


def _in_its_own_terms(one: Combination, articulation: Articulation, clean: CleanTempo) -> dict[str, Any]:
    """Mean and two times of three as marks or seconds; null for what has neither."""
    exercise = one.exercise
    if exercise.hold is not None:
        goal, beat = exercise.hold.goal, ""
    elif exercise.measure == "tempo":
        goal, beat = exercise.tempos[articulation].goal, exercise.tempos[articulation].beat
    else:
        return {"goal": None, "beat": "", "clean": None, "between": []}
    low, middle, high = (
        goal * 2.0 ** (level / 16) for level in (clean.mean - clean.sd, clean.mean, clean.mean + clean.sd)
    )
    said = [round(x) if exercise.hold else nearest_mark(x) for x in (low, middle, high)]
    return {"goal": goal, "beat": beat, "clean": said[1], "between": [said[0], said[2]]}


def _week(why: Why) -> dict[str, Any]:
    told: dict[str, Any] = plain(why)
    return {name: value for name, value in told.items() if name != "combination"}

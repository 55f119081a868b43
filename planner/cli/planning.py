"""From a desk to the plan that stands for its day: the stored one while it holds, else a new one."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from planner.cli.desk import Desk
from planner.diary.plans import load_plan, save_plan
from planner.diary.sizes import sizes_file
from planner.errors import CannotWrite, DiaryTrouble, PlannerError
from planner.horizon.stored import input_digests, still_holds
from planner.inputs.quick import quick_player
from planner.paths import find_curriculum

QUIET_SECONDS = 1.0
BLAS_THREADS = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")
STAGE_WORDS = {
    "reading the diary": "reading the diary",
    "turns": "placing the turns",
    "value": "choosing the rest",
    "evenness": "evening out the days",
    "checking": "checking every rule",
}


@dataclass(frozen=True, slots=True)
class Standing:
    """The plan that stands, whether Ctrl-C ended its making, and what kept it from being stored."""

    plan: dict[str, Any]
    interrupted: bool
    unsaved: PlannerError | None = None


def input_files(place: Desk) -> dict[str, Path]:
    """The files a plan is made from, by what they are."""
    files = {"player": place.player_file, "curriculum": find_curriculum(place.curriculum, place.player_file)}
    history = quick_player(place.player_file).history
    sizes = sizes_file(place.data, place.player_id)
    files |= {"sizes": sizes} if sizes.exists() else {}
    return files | ({"ratings": Path(history)} if history else {})


def standing_plan(place: Desk) -> Standing:
    """The stored plan of the day while it holds; else one from that day to Sunday, made, checked, stored."""
    stored = load_plan(place.data, place.player_id, place.day)
    files = input_files(place)
    if stored and still_holds(stored, files, place.data, place.player_id, place.day, place.monday):
        return Standing(stored, interrupted=False)
    return new_plan(place, files, stored, place.day)


def new_plan(
    place: Desk,
    files: Mapping[str, Path],
    last_plan: Mapping[str, Any] | None,
    first_day: date,
    minutes: int | None = None,
) -> Standing:
    """Plan from `first_day` to the Sunday of its week; `minutes` replaces those of the first day."""
    from planner.plan.stop import Stop, ctrl_c_asks

    one_thread()
    stop = Stop()
    with ctrl_c_asks(stop):
        from planner.horizon.week import plan_week
        from planner.plan.solve.stages import Limits

        request = _request(place, files, last_plan, first_day, minutes)
        plan = plan_week(request, Limits(), _Progress().say, stop)
    if plan["solver"]["stopped_by"] == "Ctrl-C":
        return Standing(plan, interrupted=True)
    try:
        save_plan(place.data, place.player_id, plan)
    except (CannotWrite, DiaryTrouble) as trouble:  # the plan is worth showing all the same
        return Standing(plan, interrupted=False, unsaved=trouble)
    return Standing(plan, interrupted=False)


def one_thread() -> None:
    """Ask for sums in one order, so that one question has one answer; before numpy is imported."""
    for threads in BLAS_THREADS:
        os.environ.setdefault(threads, "1")


def _request(
    place: Desk,
    files: Mapping[str, Path],
    last_plan: Mapping[str, Any] | None,
    first_day: date,
    minutes: int | None,
) -> Any:
    from planner.cli.refit import taken_scales
    from planner.diary.history import history
    from planner.diary.rows import digest_of
    from planner.horizon.week import Request
    from planner.inputs.read import read_curriculum

    player = place.player()
    ratings = [r for r in history(place.data, player, place.monday) if r.day < first_day]
    return Request(
        curriculum=read_curriculum(files["curriculum"]),
        player=player if minutes is None else _with_minutes(player, first_day, minutes),
        ratings=tuple(ratings),
        first_day=first_day,
        last_day=first_day + timedelta(days=6 - first_day.weekday()),
        anchor=place.monday,
        inputs=input_digests(files),
        diary_digest=digest_of(ratings),
        ratings_from=_ratings_from(place, bool(ratings)),
        last_plan=last_plan,
        scales=taken_scales(place),
    )


def _ratings_from(place: Desk, any_ratings: bool) -> str:
    from planner.diary.digest import diary_digest
    from planner.horizon.stored import NO_RATINGS

    if diary_digest(place.data, place.player_id) != NO_RATINGS:
        return "diary"
    return "file" if any_ratings else "none"


def _with_minutes(player: Any, day: date, minutes: int) -> Any:
    """The player with these minutes on the day; the file's own short dates of that day give way."""
    from dataclasses import replace

    from planner.inputs.player import SpecialDate

    others = (one for one in player.dates if not (one.kind == "short" and one.first == day == one.last))
    today = SpecialDate("short", day, day, f"{minutes} minutes today", minutes)
    return replace(player, dates=(*others, today))


class _Progress:
    """Says on standard error what is going on, once it takes longer than a moment and somebody watches."""

    def __init__(self) -> None:
        self._started = time.monotonic()
        self._watched = sys.stderr is not None and sys.stderr.isatty()

    def say(self, stage: str) -> None:
        if self._watched and time.monotonic() - self._started > QUIET_SECONDS:
            sys.stderr.write(f"planning: {STAGE_WORDS.get(stage, stage)} …\n")
            sys.stderr.flush()

"""From a desk to the plan that stands for its day: the stored one while it holds, else a new one."""

from __future__ import annotations

import re
import sys
import time
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

import typer

from planner.cli.desk import Desk
from planner.cli.run import STOPPED, say, screen
from planner.cli.scales import quiet_threads, taken_scales
from planner.diary.pins import pins
from planner.diary.plans import can_save, drop_plan, drop_today, load_plan, load_term, save_plan, term_name
from planner.diary.sizes import sizes_file
from planner.diary.told import INPUT, told_file
from planner.errors import CannotWrite, DiaryTrouble, DoesNotFit, PlannerError
from planner.horizon.follow import Missed, missed_days
from planner.horizon.stored import OTHER_RATINGS, input_digests, what_changed
from planner.inputs.quick import quick_player
from planner.paths import find_curriculum
from planner.show.words import counted

if TYPE_CHECKING:
    from planner.plan.stop import Stop

QUIET_SECONDS = 1.0
TYPED = re.compile(r"\d+ minutes? today")
"""The note of a day whose minutes were typed: "60 minutes today"."""
STAGE_WORDS = {
    "reading the diary": "reading the diary",
    "turns": "placing the turns",
    "changes": "leaving as it was what can stay",
    "value": "choosing the rest",
    "evenness": "evening out the days",
    "checking": "checking every rule",
}


@dataclass(frozen=True, slots=True)
class Standing:
    """The plan that stands, whether Ctrl-C ended its making, what kept it from being stored (said already).

    `noticed`: days of the plan before it that were not played, which is why this one was made.
    """

    plan: dict[str, Any]
    interrupted: bool
    unsaved: PlannerError | None = None
    noticed: tuple[Missed, ...] = ()


def input_files(place: Desk) -> dict[str, Path]:
    """The files a plan is made from, by what they are."""
    files = {"player": place.player_file, "curriculum": find_curriculum(place.curriculum, place.player_file)}
    history = quick_player(place.player_file, place.pupil).history
    files |= {"ratings": Path(history)} if history else {}
    told = told_file(place.data, place.player_id)
    files |= {INPUT: told} if told.is_file() else {}
    sizes = sizes_file(place.data, place.player_id)
    return files | ({"sizes": sizes} if sizes.is_file() else {})


def standing_plan(place: Desk) -> Standing:
    """The stored plan of the day while it holds; else one from that day to Sunday, made, checked, stored."""
    stored = load_plan(place.data, place.player_id, place.day)
    files = input_files(place)
    fixed = pins(place.data, place.player_id, say)
    if not stored:
        return new_plan(place, files, None, place.day)
    noticed = missed_days(stored, place.data, place.player_id, place.day, place.clock)
    causes = what_changed(stored, files, place.data, place.player_id, place.day, place.monday, fixed)
    causes += _another_term(stored, place)
    if not causes and not noticed:
        return Standing(stored, interrupted=False)
    found = new_plan(place, files, stored, place.day)
    if causes and not found.interrupted:
        _say_changes(stored, found.plan, causes)
    return replace(found, noticed=noticed)


def plan_for_paper(place: Desk) -> Standing:
    """The plan that a sheet shows: that of today as always, that of another day as it stands.

    A sheet for a day ahead is printed with others of its week, so ratings and unplayed days in between do not
    move it; an edited file, a pin or a term does, as it would change what may be played at all.
    """
    stored = load_plan(place.data, place.player_id, place.day)
    if stored is None or place.day == place.clock:
        return standing_plan(place)
    files, fixed = input_files(place), pins(place.data, place.player_id, say)
    causes = what_changed(stored, files, place.data, place.player_id, place.day, place.monday, fixed)
    if {*causes, *_another_term(stored, place)} <= {OTHER_RATINGS}:
        return Standing(stored, interrupted=False)
    return standing_plan(place)


def _another_term(stored: Mapping[str, Any], place: Desk) -> tuple[str, ...]:
    """Whether another term stands than the one the plan was made beside, as a cause for a new plan."""
    same = stored["made_with"].get("term", "") == term_name(place.data, place.player_id)
    return () if same else ("the term",)


def _say_changes(before: Mapping[str, Any], after: Mapping[str, Any], causes: Sequence[str]) -> None:
    """That the plan that stood was replaced, and how much of it moved, on standard error."""
    from planner.plan.difference import difference
    from planner.show.changes import changes_line

    found = difference(before, after)
    if not found.is_nothing:
        say(changes_line(found.counts, causes))


def new_plan(
    place: Desk,
    files: Mapping[str, Path],
    last_plan: Mapping[str, Any] | None,
    first_day: date,
    minutes: int | None = None,
) -> Standing:
    """Plan from `first_day` to the Sunday of its week; `minutes` replaces those of the first day."""
    unsaved = trouble_ahead(place)
    quiet_threads()
    with ctrl_c() as stop:
        from planner.horizon.week import plan_week
        from planner.plan.solve.stages import Limits

        request = request_for(place, files, last_plan, first_day, minutes)
        try:
            plan = plan_week(request, Limits(), Progress().say, stop)
        except DoesNotFit as clash:
            from planner.horizon.ways_out import with_ways_out

            raise with_ways_out(request, clash) from None
    if plan["solver"]["stopped_by"] == "Ctrl-C":
        return Standing(plan, interrupted=True)
    if unsaved is not None or _looks_back(place, plan):
        return Standing(plan, interrupted=False, unsaved=unsaved)
    try:
        save_plan(place.data, place.player_id, plan)
    except (CannotWrite, DiaryTrouble) as trouble:  # the plan is worth showing all the same
        say("\n".join(trouble.lines()))
        return Standing(plan, interrupted=False, unsaved=trouble)
    return Standing(plan, interrupted=False)


def trouble_ahead(place: Desk) -> PlannerError | None:
    """What will keep a plan from being stored, said before it is made; the plan is worth showing even so."""
    try:
        can_save(place.data, place.player_id)
    except CannotWrite as trouble:
        trouble.hint = trouble.hint or "the plan is shown and not stored; --diary names another folder"
        say("\n".join(trouble.lines()))
        return trouble
    return None


def _looks_back(place: Desk, plan: Mapping[str, Any]) -> bool:
    """Whether a plan of later days of the same week stands: a look at an earlier day leaves it alone."""
    later = load_plan(place.data, place.player_id, date.fromisoformat(plan["last_day"]))
    return bool(later and later["first_day"] > plan["first_day"])


def usual_again(place: Desk) -> None:
    """Forget the minutes that were typed for the day: the plan before them stands again."""
    drop_today(place.data, place.player_id, place.day)
    while (plan := load_plan(place.data, place.player_id, place.day)) and minutes_typed(plan, place.day):
        drop_plan(place.data, place.player_id, place.day)


def minutes_typed(plan: Mapping[str, Any], day: date) -> bool:
    """Whether a plan was made with minutes that were typed for this day, as its notes say."""
    notes = [note for one in plan["days"] if one["date"] == day.isoformat() for note in one["notes"]]
    return any(TYPED.fullmatch(note) for note in notes)


def history_of(place: Desk, player: Any, first_day: date) -> tuple[tuple[Any, ...], str]:
    """The ratings of days before `first_day`, and where they stand: "diary", "file" or "none"."""
    from planner.diary.history import history

    ratings = tuple(r for r in history(place.data, player, place.monday) if r.day < first_day)
    return ratings, _ratings_from(place, bool(ratings))


@contextmanager
def ctrl_c() -> Iterator[Stop]:
    """A stop that Ctrl-C asks for while a plan is made."""
    from planner.plan.stop import Stop, ctrl_c_asks

    stop = Stop()
    with ctrl_c_asks(stop):
        yield stop


def request_for(
    place: Desk,
    files: Mapping[str, Path],
    last_plan: Mapping[str, Any] | None,
    first_day: date,
    minutes: int | None = None,
) -> Any:
    """What the week from `first_day` is made from (`horizon.week.Request`), the player's pins included.

    `minutes` replaces those of the first day.
    """
    from planner.diary.rows import digest_of
    from planner.horizon.week import Request
    from planner.inputs.goals import read_curriculum_for

    player = place.player()
    ratings, ratings_from = history_of(place, player, first_day)
    return Request(
        curriculum=read_curriculum_for(files["curriculum"], player),
        player=player if minutes is None else _with_minutes(player, first_day, minutes),
        ratings=ratings,
        first_day=first_day,
        last_day=first_day + timedelta(days=6 - first_day.weekday()),
        anchor=place.monday,
        inputs=input_digests(files),
        diary_digest=digest_of(ratings),
        ratings_from=ratings_from,
        last_plan=last_plan,
        promise=_promise(place, files, player, first_day),
        term=term_name(place.data, place.player_id),
        pins=pins(place.data, place.player_id),
        scales=taken_scales(place),
    )


def _promise(place: Desk, files: Mapping[str, Path], player: Any, first_day: date) -> Any:
    """What the stored term asks of the week; None where there is none that holds for it."""
    from planner import __version__
    from planner.horizon.follow import promise_of

    term = load_term(place.data, place.player_id)
    if term is None:
        return None
    return promise_of(term, input_digests(files), __version__, player.starts, first_day)


def _ratings_from(place: Desk, any_ratings: bool) -> str:
    from planner.diary.digest import diary_digest
    from planner.horizon.stored import NO_RATINGS

    if diary_digest(place.data, place.player_id) != NO_RATINGS:
        return "diary"
    return "file" if any_ratings else "none"


def _with_minutes(player: Any, day: date, minutes: int) -> Any:
    """The player with these minutes on the day; the file's own short dates of that day give way."""
    from planner.inputs.player import SpecialDate

    others = (one for one in player.dates if not (one.kind == "short" and one.first == day == one.last))
    today = SpecialDate("short", day, day, f"{counted(minutes, 'minute')} today", minutes)
    return replace(player, dates=(*others, today))


def noticed_text(place: Desk, standing: Standing) -> str:
    """The days that were not played and what was done about it; "" where there are none."""
    if not standing.noticed:
        return ""
    from planner.show.missed import missed_text

    first, rate_with = standing.plan["first_day"], f"planner rate{place.option}"
    return missed_text(standing.noticed, first, rate_with, width=screen().width)


def end(standing: Standing, untold: str = "") -> None:
    """What is said at the end of every command that planned; its exit code where the planning was stopped.

    `untold`: what the command itself has no place for, the days not played, which are noticed only once.
    """
    if untold:
        say(untold)
    solver = standing.plan["solver"]
    if standing.unsaved is not None:
        raise typer.Exit(standing.unsaved.code)
    if standing.interrupted:
        say("stopped by Ctrl-C: this is the best checked plan so far, not proven and not stored")
        raise typer.Exit(STOPPED)
    if solver["stopped_by"] == "clock":
        say("this plan was cut by the clock on a slow machine; on another run it may differ")


class Progress:
    """Says on standard error what is going on, once it takes longer than a moment and somebody watches."""

    def __init__(self) -> None:
        self.reached = ""
        self._started = time.monotonic()
        self._watched = sys.stderr is not None and sys.stderr.isatty()

    def say(self, stage: str) -> None:
        """One stage, where somebody watches."""
        self.reached = STAGE_WORDS.get(stage, stage)
        if self._watched and time.monotonic() - self._started > QUIET_SECONDS:
            sys.stderr.write(f"planning: {self.reached} …\n")
            sys.stderr.flush()

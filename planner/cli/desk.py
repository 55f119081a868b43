"""Whose diary a command is about: the player, the day, the folder. The clock is asked here."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from planner.diary.digest import diary_anchor
from planner.diary.plans import day_items, load_plan, planned_last
from planner.diary.shorthand import Sheet, split_articulation, target_of, targets_of
from planner.diary.values import Target, WordError
from planner.errors import UsageError
from planner.inputs.dates import monday_of
from planner.inputs.quick import quick_player
from planner.paths import data_folder, find_curriculum, find_player

if TYPE_CHECKING:
    from planner.inputs.curriculum import Exercise
    from planner.inputs.player import Player


@dataclass(frozen=True, slots=True)
class Desk:
    """One player on one day. `clock` is the day of the clock, `day` the day that is meant."""

    data: Path
    player_file: Path
    player_id: str
    curriculum: str
    day: date
    clock: date

    @property
    def monday(self) -> date:
        """The Monday from which the player's relative dates count: stored, else the plan's, else this one."""
        stored = diary_anchor(self.data, self.player_id)
        if stored is not None:
            return stored
        plan = load_plan(self.data, self.player_id, self.day) or {}
        return date.fromisoformat(plan["anchor"]) if plan.get("anchor") else monday_of(self.day)

    def player(self) -> Player:
        """The whole player file, checked."""
        from planner.inputs.read import read_player

        return read_player(self.player_file, self.monday)


def desk(player: str | None, day: str | None, diary: str | None) -> Desk:
    """The desk that a command's options name; `UsageError` for a wrong date, `NoInput` without a player."""
    data, clock = data_folder(diary), date.today()  # noqa: DTZ011 - a practice day is the wall calendar's
    path = find_player(player, Path.cwd(), data)
    quick = quick_player(path)
    return Desk(data, path, quick.id, quick.curriculum, read_day(day, clock), clock)


def read_day(text: str | None, clock: date) -> date:
    """A day as it is typed, 2026-09-07; without one the clock's."""
    if text is None:
        return clock
    try:
        if len(text) == len("2026-09-07"):
            return date.fromisoformat(text)
    except ValueError:
        pass
    raise UsageError(f"{text[:40]!r} is no date", "write it like 2026-09-07")


def sheet_for(place: Desk, player: Player) -> Callable[[date], Sheet]:
    """What can be named on a day: its routine as stored, and any combination of the curriculum by its id."""

    def sheet(day: date) -> Sheet:
        items = day_items(place.data, place.player_id, day) or ()
        limited = any(limit.first <= day <= limit.until for limit in player.limits)
        return Sheet(day, targets_of(items), lambda name: _from_shelf(place, name, day, shelf), limited)

    shelf = _Shelf(place, player)
    return sheet


class _Shelf:
    """What is behind the routine: the curriculum and the ratings so far, read when they are first needed."""

    def __init__(self, place: Desk, player: Player) -> None:
        self._place = place
        self._player = player

    @cached_property
    def exercises(self) -> Mapping[str, Exercise]:
        """The exercises of the curriculum by their ids."""
        from planner.inputs.read import read_curriculum

        found = read_curriculum(find_curriculum(self._place.curriculum, self._place.player_file))
        return {exercise.id: exercise for exercise in found.exercises}

    @cached_property
    def played_last(self) -> Mapping[str, str]:
        """The articulation in which each combination was rated last."""
        from planner.diary.history import history

        found = history(self._place.data, self._player, self._place.monday)
        return {rating.combination: rating.articulation for rating in found}


def _from_shelf(place: Desk, name: str, day: date, shelf: _Shelf) -> Target | None:
    """A combination by its id: as it was planned last, else as the curriculum has it."""
    if "/" not in name:
        return None
    base, articulation = split_articulation(name)
    for combination in dict.fromkeys((name, base)):
        item = planned_last(place.data, place.player_id, combination, day)
        if item is not None and (combination == name or item["articulation"] == articulation):
            return target_of(item, name)
    exercise = shelf.exercises.get(name.partition("/")[0])
    return None if exercise is None else _from_exercise(exercise, name, shelf)


def _from_exercise(exercise: Exercise, name: str, shelf: _Shelf) -> Target | None:
    from planner.need.combinations import drafts

    base, said = split_articulation(name)
    for draft in drafts(exercise):
        if draft.id == name or (draft.id == base and said in draft.articulations):
            played = said or _played(name, draft.articulations, shelf)
            return Target(name, "", exercise.family, exercise.measure, draft.id, played, None, 0.0, 0, 0, 0)
    return None


def _played(name: str, articulations: Sequence[str], shelf: _Shelf) -> str:
    """The articulation of a combination that was never planned: its only one, or the one rated last."""
    known = articulations[0] if len(articulations) == 1 else shelf.played_last.get(name, "")
    if known not in articulations:
        choices = " or ".join(f"{name}/{one}" for one in articulations)
        raise WordError(f"it was not planned yet; say how it was played: {choices}")
    return known

"""What can be rated on a day: its routine as stored, and any combination of the curriculum by its id."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING

from planner.cli.desk import Desk
from planner.diary.plans import day_items, planned_last
from planner.diary.shorthand import Sheet, split_articulation, target_of, targets_of
from planner.diary.values import Target, WordError
from planner.paths import find_curriculum

if TYPE_CHECKING:
    from planner.inputs.curriculum import Exercise
    from planner.inputs.player import Player


def sheet_for(place: Desk, player: Player) -> Callable[[date], Sheet]:
    """What can be named on a day: its routine as stored, and any combination of the curriculum by its id."""

    def sheet(day: date) -> Sheet:
        items = day_items(place.data, place.player_id, day) or ()
        limited = any(limit.first <= day <= limit.until for limit in player.limits)
        found = targets_of(items)
        return Sheet(day, found, lambda name: _from_shelf(place, name, day, shelf), limited, shelf.example)

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
        from planner.inputs.goals import read_curriculum_for

        file = find_curriculum(self._place.curriculum, self._place.player_file)
        found = read_curriculum_for(file, self._place.player())
        return {exercise.id: exercise for exercise in found.exercises}

    def example(self) -> str:
        """A rating of a combination of this player's own curriculum, as it is typed."""
        from planner.need.combinations import drafts

        found = [draft for one in self.exercises.values() for draft in drafts(one)]
        draft = next((one for one in found if one.exercise.measure == "tempo"), found[0])
        name = draft.id if len(draft.articulations) == 1 else f"{draft.id}/{draft.articulations[0]}"
        return f"{name}=4@96" if draft.exercise.measure == "tempo" else f"{name}=played"

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
            played = said or _played(name, exercise.measure, draft.articulations, shelf)
            return Target(name, "", exercise.family, exercise.measure, draft.id, played, None, 0.0, 0, 0, 0)
    return None


def _played(name: str, measure: str, articulations: Sequence[str], shelf: _Shelf) -> str:
    """The articulation of a combination that was never planned: its only one, or the one rated last."""
    reached = "=4@96" if measure == "tempo" else ""
    known = articulations[0] if len(articulations) == 1 else shelf.played_last.get(name, "")
    if known not in articulations:
        choices = " or ".join(f"{name}/{one}{reached}" for one in articulations)
        raise WordError(f"it was not planned yet: say how it was played, like {choices}")
    return known

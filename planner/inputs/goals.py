"""A player's own goals: for this player an exercise of the curriculum ends at another tempo or hold.

Conventions: a goal is a mark of the exercise's own beat, or whole seconds where tones are held. The first
tempo stays, unless the goal lies below it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from planner.errors import UsageError
from planner.inputs.curriculum import Curriculum, Exercise, HoldSpan, TempoSpan
from planner.inputs.findings import did_you_mean
from planner.inputs.player import Player
from planner.inputs.read import read_curriculum


def read_curriculum_for(path: Path, player: Player) -> Curriculum:
    """The curriculum in a file as it is for a player."""
    return with_own_goals(read_curriculum(path), player)


def with_own_goals(curriculum: Curriculum, player: Player) -> Curriculum:
    """The curriculum with the goals of a player's file; UsageError for an exercise it does not have."""
    if not player.goals:
        return curriculum
    names = [one.id for one in curriculum.exercises]
    for name in player.goals:
        if name not in names:
            said = f"goals of {player.id}: '{name}' is no exercise of {curriculum.id}"
            raise UsageError(said, did_you_mean(name, names))
    changed = tuple(_with_goal(one, player.goals) for one in curriculum.exercises)
    return replace(curriculum, exercises=changed)


def _with_goal(exercise: Exercise, goals: Mapping[str, int]) -> Exercise:
    goal = goals.get(exercise.id)
    if goal is None:
        return exercise
    hold = exercise.hold and HoldSpan(min(exercise.hold.first, goal), goal)
    tempos = {
        word: TempoSpan(span.beat, min(span.first, goal), goal) for word, span in exercise.tempos.items()
    }
    return replace(exercise, hold=hold, tempos=exercise.tempos if hold else tempos)

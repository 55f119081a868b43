"""A higher goal is offered where the goal is clean: no target ever lies above it, so something must move.

Conventions: an exercise has reached its goal when everything of it that is on the shelf today was rated and
comes out clean there with the player's boldness, in every articulation. The goal offered is the mark, at
least the next one, at which half of the attempts come out clean in the middle of its combinations: a way to
go, not out of sight [assumption].
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from statistics import median
from typing import Any

from planner.brass.tempo import nearest_mark, next_mark
from planner.diary.rating import Rating
from planner.inputs.curriculum import Articulation, Curriculum, Exercise
from planner.inputs.player import Player
from planner.need.combinations import Combination, scope
from planner.need.levels import Estimates
from planner.need.parts import DEFAULT, Scales

Row = tuple[Combination, Articulation]


def higher_goals(
    curriculum: Curriculum,
    player: Player,
    ratings: Sequence[Rating],
    today: date,
    scales: Scales = DEFAULT,
) -> list[dict[str, Any]]:
    """For each exercise whose goal is clean: its id, title, beat, goal and the goal offered."""
    from planner.need.clean_tempo import estimate

    shelf = scope(curriculum, player, today)
    estimates = estimate(shelf.written, ratings, today, player, scales)
    found = []
    for exercise in curriculum.exercises:
        rows = [(c, a) for c in shelf.playable if c.exercise.id == exercise.id for a in c.articulations]
        goals = {span.goal for span in exercise.tempos.values()}
        if exercise.measure != "tempo" or len(goals) != 1 or not rows:
            continue
        offered = _offered(exercise, rows, estimates, player.boldness)
        if offered is not None:
            beat = exercise.tempos[exercise.articulations[0]].beat
            names = {"exercise": exercise.id, "title": exercise.title, "beat": beat}
            found.append(names | {"goal": goals.pop(), "offered": offered})
    return found


def _offered(exercise: Exercise, rows: Sequence[Row], estimates: Estimates, boldness: float) -> int | None:
    """The goal to offer; None where something of the exercise was never rated or is not clean at its goal."""
    levels = []
    for combination, articulation in rows:
        name = combination.id, articulation
        level = estimates.at(*name)
        if not estimates.rated[name] or level.success(0.0) < boldness:
            return None
        levels.append(level.mean)
    goal = exercise.tempos[exercise.articulations[0]].goal
    higher = next_mark(goal)
    if higher is None:
        return None
    return max(higher, nearest_mark(goal * 2.0 ** (median(levels) / 16)))

"""What a term says of each exercise: its turns and tempos week by week, from the first mark to the goal."""

from __future__ import annotations

import math
from collections.abc import Sequence
from statistics import median_low

from planner.brass.tempo import MARKS, nearest_mark
from planner.horizon.term_shelf import TermShelf
from planner.inputs.curriculum import Exercise
from planner.plan.term.termplan import TempoStep, TermExercise, TermItem, TermWeek


def exercise_account(shelf: TermShelf, exercise: Exercise, weeks: Sequence[TermWeek]) -> TermExercise:
    """One exercise of the term that was laid out in these weeks."""
    first, goal, beat = _ends(exercise)
    members = [c for c in shelf.combinations if c.exercise.id == exercise.id]
    items = [
        [item for day in week.days for item in day.items if item.combination.split("/")[0] == exercise.id]
        for week in weeks
    ]
    return TermExercise(
        exercise=exercise.id,
        title=exercise.title,
        family=exercise.family,
        measure=exercise.measure,
        beat=beat,
        first=first,
        goal=goal,
        combinations=len(members),
        turns=tuple(len(own) for own in items),
        state=tuple(_state_of(own) for own in items),
        steps=tuple(
            TempoStep(
                week.week,
                planned_mark(exercise, week.week, shelf.curriculum.weeks),
                _expected(exercise, own),
            )
            for week, own in zip(weeks, items, strict=True)
            if week.week >= min(exercise.weeks)
        ),
    )


def _ends(exercise: Exercise) -> tuple[int, int, str]:
    if exercise.measure == "seconds" and exercise.hold is not None:
        return exercise.hold.first, exercise.hold.goal, ""
    span = exercise.tempos[exercise.articulations[0]]
    return span.first, span.goal, span.beat


def planned_mark(exercise: Exercise, week: int, weeks: int) -> int:
    """The mark of a week on the way from the first tempo to the goal, by even steps along the 39 marks.

    Held tones go the same way in whole seconds. The goal stands in the curriculum's last week.
    """
    first, goal, _ = _ends(exercise)
    begins = min(exercise.weeks)
    share = (week - begins) / (weeks - begins) if weeks > begins else 0.0
    if exercise.measure == "seconds":
        return round(first + (goal - first) * share)
    low, high = MARKS.index(nearest_mark(first)), MARKS.index(nearest_mark(goal))
    return MARKS[low + math.floor((high - low) * share + 0.5)]


def _expected(exercise: Exercise, items: Sequence[TermItem]) -> int | None:
    """The middle target of the turns that go to the exercise's first tempo span; None without one."""
    if exercise.measure == "seconds":
        found = [round(item.target) for item in items]
    else:
        span = exercise.tempos[exercise.articulations[0]]
        words = {str(word) for word, own in exercise.tempos.items() if own == span}
        found = [item.tempo for item in items if item.tempo and item.articulation in words]
    return median_low(found) if found else None


def _state_of(items: Sequence[TermItem]) -> str:
    states = {item.state for item in items}
    return next((state for state in ("new", "in work", "kept up") if state in states), "")

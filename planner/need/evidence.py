"""What a rating says about clean tempo: bounds in notches from the goal, and folding of old ones.

Conventions: a level is 16 x log2(tempo / goal), 0 at the goal; for long tones 16 x log2(seconds / goal hold).
A rating says that clean tempo, heard through a noise of 2 notches, lies between `low` and `high`
(either may be infinite). A rating that says nothing about a level (played and not rated, a grade
without the tempo it was given at) gives no evidence; it still counts as a turn elsewhere.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from planner.brass.tempo import next_mark, notches
from planner.diary.rating import Rating
from planner.inputs.curriculum import Articulation, Exercise
from planner.need.combinations import Combination

GRADE_CUTS = (-math.inf, -4.0, -2.0, 0.0, 2.0, math.inf)
"""Grade g (1 fell apart ... 5 comfortable) at tempo x: clean tempo - x from cut g-1 to g [assumption]."""

CLEAN, NOT_YET = 4, 2
"""The grades that a yes and a no stand for (bend centred, excerpt in its band, top note spoke)."""

MOST_RATINGS = 1200
MOST_WHOLE = 900
"""Newest ratings kept day by day before older days are folded to one rating for a combination."""


Bounds = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Evidence:
    """Clean tempo of one combination and articulation on one day, heard between two bounds (notches).

    `lifts` is False for a plain 1 (fell apart), which never ends the silence around a weak spot. `limited`:
    given inside a limit; only its lower bound counts, see limited.py.
    """

    day: date
    combination: str
    articulation: str
    low: float
    high: float
    lifts: bool
    limited: bool


def gather(
    combinations: Mapping[str, Combination], ratings: Iterable[Rating], day: date
) -> tuple[Evidence, ...]:
    """The evidence up to `day` on these combinations, in an order that no clock decides."""
    heard: list[Evidence] = []
    for rating in ratings:
        combination = combinations.get(rating.combination)
        if combination is not None and rating.day <= day:
            heard += evidence_of(combination, rating)
    return in_order(heard)


def in_order(evidence: Iterable[Evidence]) -> tuple[Evidence, ...]:
    """Evidence in an order that no clock decides: by day, then by what is said."""
    return tuple(sorted(evidence, key=_order))


def evidence_of(combination: Combination, rating: Rating) -> tuple[Evidence, ...]:
    """What one rating says: nothing, one statement, or two (a clean mark and a grade)."""
    articulation = heard_articulation(combination, rating)
    return tuple(
        Evidence(rating.day, combination.id, articulation, low, high, low > -math.inf, rating.limited)
        for low, high in _bounds(combination, articulation, rating)
    )


def heard_articulation(combination: Combination, rating: Rating) -> Articulation:
    """The articulation a rating is about; the first of the combination where it names none of them."""
    for articulation in combination.articulations:
        if articulation == rating.articulation:
            return articulation
    return combination.articulations[0]


def fold(
    evidence: Sequence[Evidence], most: int = MOST_RATINGS, whole: int = MOST_WHOLE
) -> tuple[Evidence, ...]:
    """At most `most` statements: the newest days whole, of older days the newest one of each combination.

    Whole days are kept while they number at most `whole`, so that order within a day decides nothing.
    """
    if len(evidence) <= most:
        return tuple(evidence)
    kept: list[Evidence] = []
    older: dict[tuple[str, str], list[Evidence]] = {}
    for _, group in _days_backwards(evidence):
        if not older and len(kept) + len(group) <= whole:
            kept += group
            continue
        for one in group:
            older.setdefault((one.combination, one.articulation), []).append(one)
    fresh = {(one.combination, one.articulation) for one in kept}
    folded = [group[0] for site, group in older.items() if site not in fresh]
    folded.sort(key=lambda one: (-one.day.toordinal(), one.combination, one.articulation))
    return in_order(kept + folded[: most - len(kept)])


def _days_backwards(evidence: Sequence[Evidence]) -> list[tuple[date, list[Evidence]]]:
    days: dict[date, list[Evidence]] = {}
    for one in evidence:
        days.setdefault(one.day, []).append(one)
    return sorted(days.items(), reverse=True)


def _order(one: Evidence) -> tuple[date, str, str, float, float, bool]:
    return one.day, one.combination, one.articulation, one.low, one.high, one.limited


def _bounds(combination: Combination, articulation: Articulation, rating: Rating) -> list[Bounds]:
    """Bounds on clean tempo, one pair for each statement of a rating."""
    exercise = combination.exercise
    if exercise.measure == "none":
        return []
    if exercise.measure == "seconds":
        return _held(exercise, rating)
    if exercise.measure != "tempo" and rating.value is not None:
        needed = combination.highest if exercise.measure == "top note" else 1
        return [_graded(0.0, CLEAN if rating.value >= needed else NOT_YET)]
    return _played(exercise, articulation, rating)


def _played(exercise: Exercise, articulation: Articulation, rating: Rating) -> list[Bounds]:
    """A clean mark, a grade at a tempo, or both."""
    goal = exercise.tempos[articulation].goal
    if rating.clean is not None and _at_least(rating):
        return [(notches(rating.clean, goal), math.inf)]
    found = []
    if rating.clean is not None:
        above = next_mark(rating.clean)
        # At the goal nobody is asked for the next mark: the rating says "at least".
        bounded = above is not None and rating.clean < goal
        high = notches(above, goal) if bounded and above is not None else math.inf
        found.append((notches(rating.clean, goal), high))
    if rating.grade is not None and rating.tempo is not None:
        found.append(_graded(notches(rating.tempo, goal), rating.grade))
    elif rating.grade is not None and exercise.measure != "tempo":
        found.append(_graded(0.0, rating.grade))
    return found


def _at_least(rating: Rating) -> bool:
    """Whether what was asked for was clean and nothing above it was tried: with a grade of 4.

    "All clean as marked" is stored so. Read as a bound from above too, a week of nothing but clean marks
    would lower every target.
    """
    return rating.grade is not None and rating.grade >= CLEAN


def _held(exercise: Exercise, rating: Rating) -> list[Bounds]:
    """Seconds held steady: at least so many, and not a second more; at the goal only at least."""
    if exercise.hold is None:
        return []
    goal = exercise.hold.goal
    if rating.value is None:
        # A grade without its seconds: taken at the first hold, the least that can have been asked for.
        return [] if rating.grade is None else [_graded(notches(exercise.hold.first, goal), rating.grade)]
    low = notches(rating.value, goal) if rating.value > 0 else -math.inf
    bounded = rating.value < goal and not _at_least(rating)
    high = notches(rating.value + 1, goal) if bounded else math.inf
    return [(low, high)]


def _graded(at: float, grade: int) -> Bounds:
    return at + GRADE_CUTS[grade - 1], at + GRADE_CUTS[grade]

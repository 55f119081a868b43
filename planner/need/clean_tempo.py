"""Clean tempo: one estimate with a spread for every combination and articulation on one day.

Conventions: levels are notches from the goal (0 at the goal, -16 at half tempo; for long tones the same of
seconds). The prior mean is the first guess from the music; covariance.py says how alike combinations
are, laplace.py what ratings say, silence.py what may change without ratings. The same ratings give the
same estimates whatever the order in which they come. numpy and scipy are imported when an estimate is made.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from planner.diary.rating import Rating
from planner.inputs.player import Player
from planner.need.combinations import Combination
from planner.need.levels import CleanTempo, Estimates, first_guess
from planner.need.parts import DEFAULT, Scales

__all__ = ["CleanTempo", "Estimates", "estimate", "first_guess"]


def estimate(
    combinations: Sequence[Combination],
    ratings: Iterable[Rating],
    day: date,
    player: Player,
    scales: Scales = DEFAULT,
) -> Estimates:
    """Estimates of every combination in each of its articulations on `day`.

    Ratings of other combinations and of later days are left out. The same question asked again is answered
    from memory.
    """
    from planner.need.estimator import remembered

    return remembered(combinations, ratings, day, player, scales).on(day)

"""How a simulated player hears itself: a grade or a clean mark, on other cuts and noise than the estimate's.

Conventions: levels and tempos are notches from the goal (a tempo of 0 is the goal); arrays have one entry for
each of S players. The estimate assumes normal noise of 2 notches and cuts at -4, -2, 0, 2. Here noise
is logistic: 2.5 notches for a grade, cuts at -5, -2, 0.5, 3 (reference: honest simulation of the practice
notes), 1.5 notches for the highest clean mark. Needs numpy.
"""

from __future__ import annotations

import math

import numpy as np

from planner.brass.tempo import MARKS, notches
from planner.need.evidence import CLEAN, GRADE_CUTS
from planner.need.gain import GRADE_MARGINS
from planner.need.parts import NOISE
from planner.simulate.learners import Array, Mask

GRADE_NOISE = 2.5
MARK_NOISE = 1.5
TRUE_CUTS = np.array([-5.0, -2.0, 0.5, 3.0])
LOGISTIC = math.sqrt(3) / math.pi

GOAL = 144
LOWERED = 6
FIRST = 72
"""Goal and first tempo of every figure, in beats a minute; targets lie at most 6 notches below it."""

LEVELS = np.array([notches(mark, GOAL) for mark in MARKS])
"""The marks of the metronome in notches from the goal."""

LOWEST = int(np.searchsorted(LEVELS, notches(FIRST, GOAL) - LOWERED))
HIGHEST = MARKS.index(GOAL)

PLATEAU = (0.70, 0.95)
"""Between these probabilities of success a turn teaches as much as it can."""

OUTSIDE = 0.5
"""What a turn outside the plateau is worth."""


def mark_for(level: Array, cautious: Mask) -> Array:
    """The mark (in notches) nearest to a level, not above it where `cautious`; in the figure's range."""
    above = np.clip(np.searchsorted(LEVELS, level, side="right"), 1, len(LEVELS) - 1)
    down = level - LEVELS[above - 1] <= LEVELS[above] - level
    index = np.where(cautious | down, above - 1, above)
    found: Array = LEVELS[np.clip(index, LOWEST, HIGHEST)]
    return found


def success(level: Array, tempo: Array) -> Array:
    """How probably a turn at this tempo is clean."""
    chance: Array = 1 / (1 + np.exp((tempo - level) / (LOGISTIC * GRADE_NOISE)))
    return chance


def worth(level: Array, tempo: Array, *, neutral: bool) -> Array:
    """What a turn leaves: all of it on the plateau, half outside; everywhere all of it where `neutral`."""
    if neutral:
        return np.ones_like(level)
    chance = success(level, tempo)
    return np.where((chance >= PLATEAU[0]) & (chance <= PLATEAU[1]), 1.0, OUTSIDE)


def heard(level: Array, tempo: Array, dice: Array, share: Array, marks: float) -> tuple[Array, Array, Array]:
    """What the estimate is told: bounds on clean tempo and the margin over the tempo in units of its noise.

    Bounds as planner.need.evidence gives them, the margin as planner.need.gain does. `dice` and `share`
    are uniform draws; a turn with `share` below `marks` names the highest clean mark, any other a grade at
    `tempo`.
    """
    noise = LOGISTIC * np.log(dice / (1 - dice))
    cuts = np.array(GRADE_CUTS)
    grade = np.searchsorted(TRUE_CUTS, level + GRADE_NOISE * noise - tempo, side="right")
    mark = np.searchsorted(LEVELS, level + MARK_NOISE * noise, side="right") - 1
    by_mark = (share < marks) & (mark >= LOWEST)
    mark = np.clip(mark, 0, HIGHEST)
    above = np.where(mark >= HIGHEST, np.inf, LEVELS[np.minimum(mark + 1, HIGHEST)])
    low = np.where(by_mark, LEVELS[mark], tempo + cuts[grade])
    high = np.where(by_mark, above, tempo + cuts[grade + 1])
    margins = np.array([GRADE_MARGINS[g] for g in range(1, 6)])
    margin = np.where(by_mark, (LEVELS[mark] - tempo) / NOISE + GRADE_MARGINS[CLEAN], margins[grade])
    return low, high, margin

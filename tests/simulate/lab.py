"""Small experiments of the published kind with the simulated learners: turns, a rest, a test.

One player without weak spots; levels in notches from the goal. A block is one turn of five minutes.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import mean

import numpy as np

from planner.simulate.activation import Activation
from planner.simulate.learners import Learner
from planner.simulate.states import SLOW_TO_FORGET, States

ALL_OF_IT = np.ones(1)
BLOCKS = 8


def activation(combinations: int = 1) -> Learner:
    """Learner A, who has practised nothing yet."""
    return Activation(np.zeros((1, combinations)))


def states(combinations: int = 1) -> Learner:
    """Learner B, who has practised nothing yet."""
    return States(np.zeros((1, combinations)))


def slow_states(combinations: int = 1) -> Learner:
    """Learner C, who has practised nothing yet."""
    return States(np.zeros((1, combinations)), SLOW_TO_FORGET)


def practised(learner: Learner, order: Sequence[int]) -> list[float]:
    """The turns of one session in this order; the level that each of them meets."""
    met = []
    for combination in order:
        chosen = np.array([combination])
        met.append(float(learner.level_of(chosen)[0]))
        learner.practise(chosen, ALL_OF_IT)
    return met


def after_rest(make: Callable[[], Learner], gap_days: int, rest_days: int) -> float:
    """The level `rest_days` after the last of the blocks, which lie `gap_days` apart (0: one session)."""
    learner = make()
    for block in range(BLOCKS):
        practised(learner, [0])
        if block < BLOCKS - 1 and gap_days:
            learner.sleep(gap_days)
    return float(learner.ahead(rest_days)[0][0, 0])


def best_gap(make: Callable[[], Learner], rest_days: int, gaps: Sequence[int]) -> int:
    """The gap after which most is left `rest_days` later."""
    return max(gaps, key=lambda gap: after_rest(make, gap, rest_days))


@dataclass(frozen=True, slots=True)
class Session:
    """Mean levels of three figures: as the turns met them, and ten days after."""

    while_playing: float
    ten_days_on: float


def three_figures(make: Callable[[int], Learner], order: str) -> Session:
    """One session of three figures in this order of their numbers."""
    learner = make(3)
    met = practised(learner, [int(figure) for figure in order])
    return Session(mean(met), float(learner.ahead(10)[0].mean()))

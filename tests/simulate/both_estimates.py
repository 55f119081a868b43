"""The same ratings told to the simulation's estimate and to the planner's own, on a sample player's shelf."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from planner.brass.tempo import notches
from planner.diary.rating import Rating
from planner.inputs.player import Player
from planner.need.clean_tempo import estimate, first_guess
from planner.need.combinations import Combination
from planner.need.evidence import GRADE_CUTS
from planner.need.gain import GRADE_MARGINS
from planner.need.targets import lowest_mark
from planner.simulate.catalogue import real_shelf
from planner.simulate.listening import Listening, Told
from planner.simulate.practice import Gained

MONDAY = date(2026, 9, 7)


@dataclass(frozen=True, slots=True)
class Both:
    """Means and spreads of every combination: the planner's own, and the simulation's."""

    own_mean: NDArray[np.float64]
    own_sd: NDArray[np.float64]
    mean: NDArray[np.float64]
    sd: NDArray[np.float64]


def both(
    combinations: Sequence[Combination], player: Player, count: int, weeks: int, later: int, seed: int
) -> Both:
    """Grades of chance, spread over the weeks; both estimates `later` days after the last week."""
    dice = np.random.default_rng(seed)
    days = np.sort(dice.integers(0, 7 * weeks, size=count))
    rows = [
        (int(dice.integers(len(combinations))), int(day), int(dice.integers(1, 6)), float(dice.random()))
        for day in days
    ]
    ratings = [_rating(number, combinations, row) for number, row in enumerate(rows)]
    day = MONDAY + timedelta(days=7 * weeks + later)
    found = estimate(combinations, ratings, day, player)
    own = [found.at(one.id, one.articulations[0]) for one in combinations]
    mean, sd = _simulated(combinations, player, rows, ratings, 7 * weeks + later)
    return Both(np.array([one.mean for one in own]), np.array([one.sd for one in own]), mean, sd)


def _rating(number: int, combinations: Sequence[Combination], row: tuple[int, int, int, float]) -> Rating:
    place, day, grade, share = row
    combination = combinations[place]
    span = combination.exercise.tempos[combination.articulations[0]]
    return Rating(
        day=MONDAY + timedelta(days=day),
        combination=combination.id,
        articulation=combination.articulations[0],
        tempo=round(lowest_mark(span) + share * (span.goal - lowest_mark(span))),
        clean=None,
        grade=grade,
        value=None,
        at=number,
    )


def _simulated(
    combinations: Sequence[Combination],
    player: Player,
    rows: Sequence[tuple[int, int, int, float]],
    ratings: Sequence[Rating],
    until: int,
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    guesses = np.array([[first_guess(one, one.articulations[0], player) for one in combinations]])
    gained = Gained(guesses)
    listening = Listening(guesses, real_shelf("sample", combinations, 10), until)
    today = -1
    for (place, day, grade, _), rating in zip(rows, ratings, strict=True):
        if day != today:
            if today >= 0:
                gained.sleep(today)
            listening.settle()
            sd = listening.estimates(day, gained.prior())[1]
            today = day
        span = combinations[place].exercise.tempos[combinations[place].articulations[0]]
        at = np.array([notches(rating.tempo or 0, span.goal)])
        low, high = at + GRADE_CUTS[grade - 1], at + GRADE_CUTS[grade]
        chosen = np.array([place])
        told = Told(low, high, sd[:, place] ** 2, gained.prior()[:, place])
        listening.take(chosen, day, told, np.ones(1, dtype=bool))
        gained.take(chosen, at, np.array([GRADE_MARGINS[grade]]))
    gained.sleep(today)
    listening.settle()
    mean, sd = listening.estimates(until, gained.prior())
    return mean[0], sd[0]

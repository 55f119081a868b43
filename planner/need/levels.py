"""The values that an estimate is made of: clean tempo with its spread, the estimates of a day, first guesses.

Conventions: levels are notches from the goal (0 at the goal, -16 at half tempo; for long tones the same of
seconds). Nothing here needs numpy.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from statistics import NormalDist

from planner.brass.figures import first_guess_notches
from planner.brass.instruments import instrument
from planner.brass.tempo import eighths_per_minute, notches
from planner.inputs.curriculum import Articulation
from planner.inputs.player import Player
from planner.need.combinations import Combination
from planner.need.parts import BENT, NOISE


@dataclass(frozen=True, slots=True)
class CleanTempo:
    """Mean and spread of a clean tempo, in notches from the goal."""

    mean: float
    sd: float

    def success(self, at: float) -> float:
        """Probability that it is clean at a tempo `at` notches from the goal, today."""
        return NormalDist().cdf((self.mean - at) / (self.sd**2 + NOISE**2) ** 0.5)


@dataclass(frozen=True, slots=True)
class Estimates:
    """The estimates of one day.

    `first_guesses` come from the music alone, `practised` is what logged practice is expected to have gained
    (together they are the prior mean), `rated` counts evidence of each row. `told` is what stands behind
    them, for decompose.py.
    """

    day: date
    estimates: Mapping[tuple[str, str], CleanTempo]
    first_guesses: Mapping[tuple[str, str], float]
    rated: Mapping[tuple[str, str], int]
    practised: Mapping[tuple[str, str], float] = field(default_factory=dict)
    told: tuple[object, ...] = field(default=(), compare=False, repr=False)

    def at(self, combination_id: str, articulation: str) -> CleanTempo:
        """The estimate of one combination in one articulation; KeyError where it was not asked for."""
        return self.estimates[combination_id, articulation]

    def gained(self, combination_id: str, articulation: str) -> float:
        """Notches by which the ratings moved the mean from the first guess."""
        return self.at(combination_id, articulation).mean - self.first_guesses[combination_id, articulation]


def first_guess(combination: Combination, articulation: Articulation, player: Player) -> float:
    """Clean tempo before anything is heard, in notches from the goal: from the music, or the first hold."""
    exercise = combination.exercise
    if exercise.measure == "seconds" and exercise.hold is not None:
        return notches(exercise.hold.first, exercise.hold.goal)
    span = exercise.tempos[articulation]
    guess = first_guess_notches(
        combination.passages,
        eighths_per_minute(span.goal, span.beat),
        instrument(player.instrument),
        articulation,
        player.low,
        player.high,
    )
    return guess - BENT if has_bends(combination) else guess


def has_bends(combination: Combination) -> bool:
    """Whether a note of the figure is bent down and back."""
    return any(note.bend for note in combination.passages[0].notes)

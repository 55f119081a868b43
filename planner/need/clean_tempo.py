"""Clean tempo: one estimate with a spread for every combination and articulation on one day.

Conventions: levels are notches from the goal (0 at the goal, -16 at half tempo; for long tones the same of
seconds). The prior mean is the first guess from the music; covariance.py says how alike combinations
are, laplace.py what ratings say, silence.py what may change without ratings. The same ratings give the
same estimates whatever the order in which they come. numpy and scipy are imported when an estimate is made.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from statistics import NormalDist

from planner.brass.figures import first_guess_notches
from planner.brass.instruments import instrument
from planner.brass.tempo import eighths_per_minute, notches
from planner.diary.rating import Rating
from planner.inputs.curriculum import Articulation
from planner.inputs.player import Player
from planner.need.combinations import Combination
from planner.need.evidence import Evidence, fold, gather
from planner.need.limited import lifted
from planner.need.parts import NOISE

DECIMALS = 6


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
    """The estimates of one day; `first_guesses` are the prior means, `rated` counts evidence of each row."""

    day: date
    estimates: Mapping[tuple[str, str], CleanTempo]
    first_guesses: Mapping[tuple[str, str], float]
    rated: Mapping[tuple[str, str], int]

    def at(self, combination_id: str, articulation: str) -> CleanTempo:
        """The estimate of one combination in one articulation; KeyError where it was not asked for."""
        return self.estimates[combination_id, articulation]

    def gained(self, combination_id: str, articulation: str) -> float:
        """Notches by which the ratings moved the mean from the first guess."""
        return self.at(combination_id, articulation).mean - self.first_guesses[combination_id, articulation]


def estimate(
    combinations: Sequence[Combination], ratings: Iterable[Rating], day: date, player: Player
) -> Estimates:
    """Estimates of every combination in each of its articulations on `day`.

    Ratings of other combinations and of later days are left out.
    """
    from planner.need import heard

    rows = [(combination, a) for combination in combinations for a in combination.articulations]
    names: list[tuple[str, str]] = [(combination.id, articulation) for combination, articulation in rows]
    guesses = [first_guess(combination, articulation, player) for combination, articulation in rows]
    evidence = gather({combination.id: combination for combination in combinations}, ratings, day)
    unlimited = fold([one for one in evidence if not one.limited])
    changes, spreads = heard.changes_and_spreads(rows, guesses, unlimited, day)
    found: dict[tuple[str, str], CleanTempo] = {}
    inside = _by_name(one for one in evidence if one.limited)
    for name, guess, change, sd in zip(names, guesses, changes, spreads, strict=True):
        mean = lifted(guess + change, inside.get(name, ()), day)
        found[name] = CleanTempo(round(mean, DECIMALS), round(sd, DECIMALS))
    counts = {name: len(members) for name, members in _by_name(evidence).items()}
    rated = {name: counts.get(name, 0) for name in names}
    return Estimates(day, found, dict(zip(names, guesses, strict=True)), rated)


def _by_name(evidence: Iterable[Evidence]) -> dict[tuple[str, str], list[Evidence]]:
    """Evidence by combination and articulation."""
    found: dict[tuple[str, str], list[Evidence]] = {}
    for one in evidence:
        found.setdefault((one.combination, one.articulation), []).append(one)
    return found


def first_guess(combination: Combination, articulation: Articulation, player: Player) -> float:
    """Clean tempo before anything is heard, in notches from the goal: from the music, or the first hold."""
    exercise = combination.exercise
    if exercise.measure == "seconds" and exercise.hold is not None:
        return notches(exercise.hold.first, exercise.hold.goal)
    span = exercise.tempos[articulation]
    return first_guess_notches(
        combination.passages,
        eighths_per_minute(span.goal, span.beat),
        instrument(player.instrument),
        articulation,
        player.low,
        player.high,
    )

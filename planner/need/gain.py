"""What logged practice is expected to have gained: a part of the prior mean, and of nothing else.

Conventions: gains and levels are notches (levels from the goal), minutes those of the clock, rests included.
A turn of m minutes at margin z gains f(z) x (reach - level) x (1 - exp(-rate x m / 5)): z is the way from the
tempo played up to clean tempo in units of the noise, f the challenge function, best at z = 1 and nothing at
z <= 0, `reach` lies 4 notches above the goal. The margin is the one that was heard, so that what fell apart,
was uneven or nearly clean promises nothing, or the expected one where that is larger: far too slow teaches
little. What is kept at the horizon of the power law counts, and from then on lasts as the lasting part does.
A player who practises gets better at everything, and most practice is never written down: the days from one
logged turn to the next, a week at most, lift every combination by 0.6 notches a week. No prior mean is
lifted beyond `reach`, and nothing is after the last logged turn. All numbers are assumptions that ratings
correct; the value of an item never depends on them. Turns inside a limit count for nothing. Needs numpy.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby

import numpy as np

from planner.brass.tempo import eighths_per_minute, notches
from planner.diary.rating import Rating
from planner.inputs.curriculum import Articulation
from planner.need.combinations import Combination
from planner.need.covariance import Array, Codes, fresh_in_time, lasting_in_time
from planner.need.evidence import CLEAN, NOT_YET, heard_articulation
from planner.need.parts import GAIN, NOISE

REACH = 4.0
RATE = 0.05
MOST_DAYS = 7
"""So many days before a logged turn count as practised at most."""

AS_PLANNED = 1.0
"""The margin of a turn that was played and not rated: that of its target."""

GRADE_MARGINS = {1: -math.inf, 2: -1.5, 3: -0.5, 4: 0.5, 5: 1.5}
"""The middle of what a grade says (see evidence.py), in units of the noise; comfortable: 3 notches."""

HORIZON_DAYS = 28
"""What is left of a gain after so many days is what counts."""

RESTS = 2.0
"""Minutes of the clock for a minute of playing: rest as long as you play."""


@dataclass(frozen=True, slots=True, order=True)
class Turn:
    """One turn that may have gained something.

    `effort` comes of its minutes, `margin` as it was heard, `at` the tempo in notches from the goal
    (infinite where the measure has none).
    """

    day: date
    combination: str
    articulation: str
    effort: float
    margin: float
    at: float


@dataclass(frozen=True, slots=True)
class Gains:
    """What each turn gained: its day (ordinal), its combination (code), notches.

    `shared`: notches that everything gained in the days before it.
    """

    day: Array
    combination: Codes
    own: Array
    shared: Array

    def before(self, combination: Codes, guess: Array, day: Array) -> Array:
        """Notches that turns of earlier days have left, for a first guess of each combination on its day."""
        row, turn = np.nonzero(np.equal.outer(combination, self.combination) & (self.day < day[:, None]))
        faded = self.own[turn] * lasting_in_time(day[row] - self.day[turn])
        days, back = np.unique(day, return_inverse=True)
        shared = ((self.day < days[:, None]) * lasting_in_time(days[:, None] - self.day)) @ self.shared
        own = np.bincount(row, weights=faded, minlength=len(day)).astype(np.float64)
        return _bounded(own, shared[back], guess)

    def until(self, combination: Codes, guess: Array, day: int) -> Array:
        """Notches that turns up to one day, itself included, have left on that day."""
        kept = lasting_in_time(day - self.day)
        own = np.bincount(self.combination, weights=self.own * kept, minlength=int(combination.max()) + 1)
        return _bounded(own[combination].astype(np.float64), float(self.shared @ kept), guess)


def _bounded(own: Array, everything: Array | float, guess: Array) -> Array:
    """Own gains and those of everything, never beyond what is within reach."""
    found: Array = np.minimum(own + everything, np.maximum(0.0, REACH - guess))
    return found


def challenge(margin: float) -> float:
    """How much is learnt at a margin z, 1 at most: z x exp((1 - z^2) / 2), nothing where z is not above 0.

    The error of a learner that follows its gradient falls with z x normal density(z), which is largest at
    z = 1, where 84 % come out right (Wilson et al. 2019, Nature Communications 10:4646, for telling two
    things apart; Guadagnoli & Lee 2004 for the idea). Between 70 and 95 % it is nearly flat.
    """
    return margin * math.exp((1 - margin * margin) / 2) if 0 < margin < math.inf else 0.0


def effort(minutes: float) -> float:
    """The share of what is to be gained at the best margin that so many minutes gain."""
    return 1 - math.exp(-RATE * minutes / 5)


def turns_of(
    combinations: Mapping[str, Combination], ratings: Iterable[Rating], day: date
) -> tuple[Turn, ...]:
    """The turns up to `day` that may have gained something, in an order that no clock decides."""
    found = [
        _turn(combinations[rating.combination], rating)
        for rating in ratings
        if rating.combination in combinations and rating.day <= day and not rating.limited
    ]
    return tuple(sorted(turn for turn in found if turn.margin > 0))


def gains(
    turns: Sequence[Turn],
    numbers: Mapping[tuple[str, str], int],
    combination: Codes,
    guess: Array,
    a_week: float = GAIN,
) -> Gains:
    """The gain of every turn, day by day: `numbers` finds the row of a turn in the two arrays.

    The turns of one day are all reckoned from the morning, so their order decides nothing.
    """
    rows = np.array([numbers[turn.combination, turn.articulation] for turn in turns], dtype=np.int64)
    codes = combination[rows]
    days = np.array([turn.day.toordinal() for turn in turns], dtype=np.float64)
    shared = a_week / 7 * _practised(days)
    everything = np.cumsum(shared) - shared
    own: dict[int, float] = {}
    gained: list[float] = []
    told = zip(turns, codes.tolist(), (guess[rows] + everything).tolist(), strict=True)
    for _, group in groupby(told, key=_day):
        today = [(code, _gain(turn, first + own.get(code, 0.0))) for turn, code, first in group]
        for code, more in today:
            own[code] = own.get(code, 0.0) + more
            gained.append(more)
    kept = float(fresh_in_time(np.array(HORIZON_DAYS))) * np.array(gained, dtype=np.float64)
    return Gains(days, codes, kept, shared)


def _practised(days: Array) -> Array:
    """The days before each logged turn that count as practised: all of them for the first turn of a day."""
    found: Array = np.minimum(np.diff(days, prepend=days[:1]), MOST_DAYS)
    return found


def _day(one: tuple[Turn, int, float]) -> date:
    return one[0].day


def _gain(turn: Turn, level: float) -> float:
    """The gain of one turn from this level."""
    margin = max(turn.margin, (level - turn.at) / NOISE)
    return challenge(margin) * max(0.0, REACH - level) * turn.effort


def _turn(combination: Combination, rating: Rating) -> Turn:
    articulation = heard_articulation(combination, rating)
    tempo = rating.tempo if rating.tempo is not None else rating.clean
    rated = (rating.grade, rating.clean, rating.value) != (None, None, None)
    by_tempo = combination.exercise.measure == "tempo" and tempo is not None and rated
    return Turn(
        day=rating.day,
        combination=combination.id,
        articulation=articulation,
        effort=effort(RESTS * _play_minutes(combination, articulation, tempo, rating.value)),
        margin=_margin(combination, rating, tempo),
        at=notches(tempo, combination.exercise.tempos[articulation].goal) if by_tempo and tempo else math.inf,
    )


def _play_minutes(
    combination: Combination, articulation: Articulation, tempo: int | None, value: float | None
) -> float:
    """Minutes of playing in one go: every breath of every round, at the tempo that was played."""
    exercise = combination.exercise
    breaths = exercise.rounds * len(combination.passages)
    if exercise.measure == "seconds" and exercise.hold is not None:
        return breaths * (exercise.hold.first if value is None else value) / 60
    span = exercise.tempos[articulation]
    pace = eighths_per_minute(span.first if tempo is None else tempo, span.beat)
    return float(breaths * exercise.passes * combination.passages[0].eighths / pace)


def _margin(combination: Combination, rating: Rating, tempo: int | None) -> float:
    """The margin that was heard, in units of the noise."""
    if rating.grade is not None:
        return GRADE_MARGINS[rating.grade]
    if rating.clean is not None and tempo is not None:
        return notches(rating.clean, tempo) / NOISE + GRADE_MARGINS[CLEAN]
    if rating.value is None:
        return AS_PLANNED
    needed = combination.highest if combination.exercise.measure == "top note" else 1
    return GRADE_MARGINS[CLEAN if rating.value >= needed else NOT_YET]

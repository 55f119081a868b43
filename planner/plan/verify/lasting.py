"""How long an item lasts and what it weighs, added up once more in exact fractions.

Conventions: seconds and loads are Fractions until a field is rounded; a load is play minutes x intensity.
Readings where the specification leaves room:
- measure "seconds": every breath lasts `target` seconds, one tone a breath;
- the other measures without a tempo of their own (top note, bend, band, none) are timed at the item's
  tempo where it has one, else at the exercise's first tempo.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from planner.inputs.curriculum import TempoSpan
from planner.plan.verify.days import exact
from planner.plan.verify.repertoire import Combination

EIGHTHS = {"eighth": 1, "quarter": 2, "dotted quarter": 3, "half": 4}
MARKS = (
    *(40, 42, 44, 46, 48, 50, 52, 54, 56, 58, 60, 63, 66, 69, 72, 76, 80, 84, 88, 92, 96, 100, 104),
    *(108, 112, 116, 120, 126, 132, 138, 144, 152, 160, 168, 176, 184, 192, 200, 208),
)
BREATH_PAUSE = 3
SET_UP = 45
RESTS = (Fraction(0), Fraction(1, 2), Fraction(1, 2), Fraction(1), Fraction(3, 2), Fraction(3, 2))
HEAVY_FROM = 4
LOWERED_BY = 6 / 16  # octaves: a tempo may start six notches under the exercise's first one


@dataclass(frozen=True, slots=True)
class Lasting:
    """Exact seconds of one go, and the load it puts on the lip."""

    passes: int
    breath: Fraction
    play: Fraction
    pauses: Fraction
    rest: Fraction
    load: Fraction

    def whole(self, pause: Fraction) -> tuple[int, int, int, int]:
        """Playing, pauses inside, pause after, all together, in whole seconds; `pause` is exact."""
        play, pauses = math.ceil(self.play), math.ceil(self.pauses)
        total = max(math.ceil(self.play + self.pauses + pause), play + pauses)
        return play, pauses, total - play - pauses, total


def lasting(one: Combination, tempo: int | None, target: float, articulation: str, breath: float) -> Lasting:
    """One go of a combination at a tempo (or held for `target` seconds); `breath` is the player's own."""
    assert one.part is not None
    rounds = one.exercise.rounds * one.places
    if one.exercise.measure == "seconds":
        return _held(exact(target), rounds, one.part.intensity, breath)
    span = _span(one, articulation)
    eighths = (tempo or span.first) * EIGHTHS[span.beat]
    return _timed(one.part.eighths, eighths, one.exercise.passes, rounds, one.part.intensity, breath)


@lru_cache(maxsize=8192)
def _timed(
    eighths: Fraction, eighths_per_minute: int, wanted: int, breaths: int, weight: int, capacity: float
) -> Lasting:
    one_pass = eighths * 60 / eighths_per_minute
    passes = max(1, min(wanted, math.floor(exact(capacity) / one_pass)))
    return _summed(passes, passes * one_pass, breaths, weight, capacity)


def _held(seconds: Fraction, breaths: int, weight: int, capacity: float) -> Lasting:
    return _summed(1, seconds, breaths, weight, capacity)


def _summed(passes: int, breath: Fraction, breaths: int, weight: int, capacity: float) -> Lasting:
    """Pauses and rest by the intensity: light items rest after the item, heavy ones after every breath."""
    inside = breaths * max(0, math.ceil(breath / exact(capacity)) - 1) * BREATH_PAUSE
    play = breaths * breath
    heavy = weight >= HEAVY_FROM
    rest = RESTS[weight] * (breath if heavy else play)
    between = (breaths - 1) * (rest if heavy else Fraction(BREATH_PAUSE))
    return Lasting(passes, breath, play, between + inside, rest, play / 60 * weight)


def _span(one: Combination, articulation: str) -> TempoSpan:
    """The tempos of an articulation; those of the first one where the item names another."""
    tempos = one.exercise.tempos
    return next((span for word, span in tempos.items() if word == articulation), next(iter(tempos.values())))


def lowest_tempo(span: TempoSpan) -> float:
    """How far a tempo may lie under the first one, in beats per minute: six notches."""
    return float(span.first * 2.0 ** (-LOWERED_BY))


@lru_cache(maxsize=256)
def marks_of(span: TempoSpan) -> tuple[int, ...]:
    """Every mark on which the tempo of an item may stand."""
    lowest = lowest_tempo(span)
    low = max((mark for mark in MARKS if mark <= lowest), default=MARKS[0])
    return tuple(mark for mark in MARKS if low <= mark <= span.goal)


@dataclass(frozen=True, slots=True)
class Extremes:
    """The least and the most an item of a combination can last (seconds, its own rest included) and weigh."""

    least_seconds: Fraction
    most_seconds: Fraction
    least_load: Fraction
    most_load: Fraction


def extremes(one: Combination, breath: float) -> Extremes:
    """Over every articulation and every tempo an item may have."""
    assert one.part is not None
    tempos = [span for word, span in one.exercise.tempos.items() if word in one.articulations]
    spans = tuple((span.beat, marks_of(span)) for span in tempos)
    holds = (one.exercise.hold.first, one.exercise.hold.goal) if one.exercise.hold else ()
    rounds = one.exercise.rounds * one.places
    return _extremes(spans, holds, one.part.eighths, one.exercise.passes, rounds, one.part.intensity, breath)


def _turning_marks(
    marks: tuple[int, ...], pass_seconds: float, wanted: int, capacity: float
) -> tuple[int, ...]:
    """The marks between which items only get shorter: the ends, and both sides of a change of passes.

    `pass_seconds` is one pass at one beat a minute.
    """
    passes = [max(1, min(wanted, int(capacity * mark / pass_seconds))) for mark in marks]
    last = len(marks) - 1
    return tuple(
        mark
        for index, mark in enumerate(marks)
        if index in (0, last) or passes[index - 1] != passes[index] or passes[index] != passes[index + 1]
    )


@lru_cache(maxsize=1024)
def _extremes(
    spans: tuple[tuple[str, tuple[int, ...]], ...],
    holds: tuple[int, ...],
    eighths: Fraction,
    wanted: int,
    breaths: int,
    weight: int,
    capacity: float,
) -> Extremes:
    if holds:
        every = [_held(Fraction(seconds), breaths, weight, capacity) for seconds in holds]
    else:
        every = [
            _timed(eighths, mark * EIGHTHS[beat], wanted, breaths, weight, capacity)
            for beat, marks in spans
            for mark in _turning_marks(marks, float(eighths) * 60 / EIGHTHS[beat], wanted, capacity)
        ]
    seconds = [one.play + one.pauses + one.rest for one in every]
    loads = [one.load for one in every]
    return Extremes(min(seconds), max(seconds), min(loads), max(loads))

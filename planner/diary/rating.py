"""A rating: what happened on one combination on one day. Pure types, no file access."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class Rating:
    """What happened on one combination on one day.

    `tempo`: the mark at which it was played (None where the measure has no tempo). `clean`: the highest
    mark that was clean, the next one was not. `grade`: 1 fell apart, 2 uneven, 3 nearly, 4 clean,
    5 comfortable. `value`: the other measures in their own terms: seconds held steady; written MIDI
    number of the top note that spoke softly three times of four; 1 or 0 for a bend reached and centred
    or for an excerpt in its band. At least one of `clean`, `grade`, `value` is set, or the combination
    was played and not rated. `limited` marks a rating given inside a limit: it counts as a turn and
    never lowers an estimate. `at` orders ratings of one day (0 where unknown).
    """

    day: date
    combination: str
    articulation: str
    tempo: int | None
    clean: int | None
    grade: int | None
    value: float | None
    limited: bool = False
    at: int = 0

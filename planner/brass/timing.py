"""Seconds of an item: playing, breathing, resting. Exact fractions inside, whole seconds at the edge.

A breath is `passes` passes of the figure on one breath. An item is a number of breaths (rounds x places of
the cycle), pauses between them and a rest after the last. Worked by hand: 5/8, one bar, eighth = 96, four
passes, three positions, one round: breath 12.5 s, playing 37.5 s, two pauses 6 s, rest 37.5 s, 81 s in all.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Final

BREATH_PAUSE_SECONDS: Final = 3  # an assumption: a full, unhurried breath
SET_UP_SECONDS: Final = 45  # an assumption: find the page, the tempo, the first note
# Rest after the playing by intensity: "rest as long as you play" for ordinary work, less for light, more for
# heavy.
# common practice, no source
REST_SHARE: Final[dict[int, Fraction]] = {
    1: Fraction(1, 2),
    2: Fraction(1, 2),
    3: Fraction(1),
    4: Fraction(3, 2),
    5: Fraction(3, 2),
}
REST_AFTER_EVERY_BREATH_FROM: Final = 4  # common practice, no source
Exact = int | float | Fraction


@dataclass(frozen=True, slots=True)
class Timing:
    """Exact seconds of one item: playing, pauses between breaths, the rest it wants after it, one breath."""

    play_seconds: Fraction
    breath_pauses_seconds: Fraction
    rest_seconds: Fraction
    breath_seconds: Fraction


@lru_cache(maxsize=4096)
def item_timing(
    *,
    pass_eighths: Exact,
    eighths_per_minute: Exact,
    passes: int,
    breaths: int,
    intensity: int,
    breath_capacity_seconds: Exact,
) -> Timing:
    """The seconds of one go: `breaths` is rounds x places of the cycle.

    Where a breath does not reach (one pass longer than the capacity) the extra breaths inside are 3 s each.
    From intensity 4 on the rest comes after every breath, one and a half times as long as the breath.
    """
    breath = exact(pass_eighths) * passes * 60 / exact(eighths_per_minute)
    play = breath * breaths
    inside = breaths * max(0, math.ceil(breath / exact(breath_capacity_seconds)) - 1)
    if intensity >= REST_AFTER_EVERY_BREATH_FROM:
        rest = REST_SHARE[intensity] * breath
        between = (breaths - 1) * rest
    else:
        rest = REST_SHARE[intensity] * play
        between = Fraction((breaths - 1) * BREATH_PAUSE_SECONDS)
    return Timing(play, between + inside * BREATH_PAUSE_SECONDS, rest, breath)


def passes_in_breath(passes: int, one_pass_seconds: Exact, capacity: Exact) -> int:
    """How many of the wanted passes one breath carries; at least one."""
    return max(1, min(passes, math.floor(exact(capacity) / exact(one_pass_seconds))))


def lowest_mark_for_breath(units: Exact, passes: int, capacity: Exact) -> Fraction:
    """The slowest tempo, in units a minute, at which `passes` times `units` counting units fit one breath.

    Round it up to the next mark; above the goal the passes are lowered instead (`passes_in_breath`).
    """
    return exact(units) * passes * 60 / exact(capacity)


def whole_seconds(timing: Timing, pause_exact: Exact) -> tuple[int, int, int, int]:
    """Whole seconds of an item: playing, pauses between breaths, pause after it, all together.

    `pause_exact` is the pause after the item: its rest, or the set-up of another exercise if that is longer.
    The whole is rounded up once; where playing and pauses alone are more, the whole is raised to them.

    >>> whole_seconds(Timing(Fraction(75, 2), Fraction(6), Fraction(75, 2), Fraction(25, 2)), Fraction(75, 2))
    (38, 6, 37, 81)
    """
    play = math.ceil(timing.play_seconds)
    pauses = math.ceil(timing.breath_pauses_seconds)
    total = math.ceil(timing.play_seconds + timing.breath_pauses_seconds + exact(pause_exact))
    total = max(total, play + pauses)
    return play, pauses, total - play - pauses, total


@lru_cache(maxsize=4096)
def exact(number: Exact) -> Fraction:
    """A number as it is written: 12.1 is 121/10, not the nearest binary fraction."""
    return Fraction(str(number)) if isinstance(number, float) else Fraction(number)

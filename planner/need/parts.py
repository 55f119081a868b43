"""The sizes of the parts of clean tempo, in notches, and how they change with time. Plain numbers.

Conventions: sizes are standard deviations in notches (1/16 octave of tempo), all of them assumptions that
ratings correct; times are days. `Scales` holds the sizes that one estimate uses; a player's own are found by
refit.py, everybody else has `DEFAULT`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any

PLAYER = 2.0
"""What the player brings to everything, and keeps."""

LATELY = math.sqrt(12.0)
"""Where the player's level stands lately: it moves within weeks of practice and fades as a gain does. With
PLAYER it makes 4 notches. Without it the estimate follows a level that rises by a notch a week far behind."""

EXERCISE = 2.0
PATTERN = 1.0
KEY = 1.5
POSITIONS = 1.5
ARTICULATION = 1.5
FRESH = 2.5
"""The combination itself: what is gained by practising it, and forgotten."""

NOISE = 2.0
"""How much one hearing differs from the next."""

BENT = 3.0
"""A figure with bends begins so many notches slower than its notes alone would say [assumption]."""

NEIGHBOUR_POSITION = 0.7
"""How much of a cycle of positions goes for a cycle one position further."""

LASTING_HALF_LIFE_DAYS = 3 * 365.0
FORGETTING_PER_DAY = 1 / 66
"""Half of what was gained is gone after 198 days: Tatel & Ackerman 2025, Psychological Bulletin, accuracy."""

GAIN = 0.6
"""Notches by which a week of practice is expected to lift everything: what players gain is 0 to 1.4."""

FORM_PER_DAY = 1 / 10
"""Half of the player's form of some day is gone after a month, sooner than what was learnt [assumption]."""

MOST_CHANGED = 2.0
"""A player's own scales are at most so many times the usual ones, and not less than one part in so many."""


@dataclass(frozen=True, slots=True)
class Scales:
    """The size of every part, in notches; `gain` in notches a week. The defaults are the usual ones."""

    player: float = PLAYER
    lately: float = LATELY
    exercise: float = EXERCISE
    pattern: float = PATTERN
    key: float = KEY
    positions: float = POSITIONS
    articulation: float = ARTICULATION
    fresh: float = FRESH
    gain: float = GAIN

    def to_json(self) -> dict[str, float]:
        """Every size by its name, in notches."""
        return {one.name: getattr(self, one.name) for one in fields(self)}

    @classmethod
    def from_json(cls, table: Mapping[str, Any]) -> Scales:
        """The scales of a table as `to_json` writes it; ValueError with what is wrong otherwise."""
        names = {one.name for one in fields(cls)}
        if set(table) != names:
            wrong = ", ".join(sorted(names ^ set(table)))
            raise ValueError(f"missing or unknown: {wrong}")
        for name, size in table.items():
            _check(name, size)
        return cls(**{name: float(size) for name, size in table.items()})


def _check(name: str, size: object) -> None:
    """ValueError where a size is no number within its bounds."""
    if isinstance(size, bool) or not isinstance(size, int | float) or not math.isfinite(size):
        raise ValueError(f"{name} is no number")
    low, high = bounds_of(name)
    if not low - 1e-9 <= size <= high + 1e-9:
        raise ValueError(f"{name} is {size:g}, outside {low:g} to {high:g}")


def bounds_of(name: str) -> tuple[float, float]:
    """The smallest and the largest size, in notches, that a part may have.

    >>> bounds_of("exercise")
    (1.0, 4.0)
    """
    usual = float(getattr(DEFAULT, name))
    return usual / MOST_CHANGED, usual * MOST_CHANGED


DEFAULT = Scales()
"""The usual scales."""

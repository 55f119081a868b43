"""A simulated player for the calibration: true levels, a true trend, and what is heard of them.

The truth is drawn otherwise than the estimate supposes: keys by steps of chance around the circle of fifths,
positions by a slope and chance, sizes that differ from player to player by a quarter, and a trend that
nobody tells the estimate, steeper for some exercises than for others.

Conventions: levels are notches from the goal, days count from 0. Every draw comes from one seeded source of
the standard library, so the same seed gives the same player.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Mapping
from dataclasses import dataclass
from random import Random

from planner.brass.tempo import next_mark, tempo_at
from planner.inputs.curriculum import Articulation
from planner.inputs.player import Player
from planner.need.combinations import Combination
from planner.need.evidence import GRADE_CUTS
from planner.need.levels import first_guess
from planner.need.parts import NOISE

Row = tuple[Combination, Articulation]

SIZES = {
    "player": 4.0,
    "exercise": 2.0,
    "pattern": 1.0,
    "key": 1.5,
    "positions": 1.5,
    "articulation": 1.5,
    "own": 2.5,
}
"""Standard deviations in notches, before each player's own factor."""

SIZE_SPREAD = 0.25
"""Spread of the logarithm of a player's own factor on each size."""

TREND_SPREAD = 0.3
"""Share by which the trend of one exercise differs from that of the next."""

MARKS = 0.3
"""Share of ratings that name a clean mark instead of a grade."""


@dataclass(frozen=True, slots=True)
class Truth:
    """What a player can really do: the level of every row on day 0, and notches gained a day."""

    levels: Mapping[tuple[str, str], float]
    daily: Mapping[str, float]

    def level(self, row: Row, day: int) -> float:
        """The clean tempo of a row on a day, in notches from the goal."""
        return self.levels[row[0].id, row[1]] + self.daily[row[0].exercise.id] * day


def truth_of(rows: list[Row], player: Player, trend: float, rng: Random) -> Truth:
    """A player drawn by chance; `trend` in notches a week."""
    sizes = {name: size * math.exp(rng.gauss(0, SIZE_SPREAD)) for name, size in SIZES.items()}
    keys = _around_the_circle(sizes["key"], rng)
    slope, bumps = rng.gauss(0, sizes["positions"] / 2), [rng.gauss(0, sizes["positions"]) for _ in range(13)]
    drawn: dict[Hashable, float] = {}

    def part(name: str, which: Hashable) -> float:
        return drawn.setdefault((name, which), rng.gauss(0, sizes[name]))

    levels: dict[tuple[str, str], float] = {}
    for combination, articulation in rows:
        touched = combination.place.positions or combination.positions
        levels[combination.id, articulation] = (
            first_guess(combination, articulation, player)
            + part("player", "")
            + part("exercise", combination.exercise.id)
            + part("pattern", (combination.exercise.id, combination.pattern.name))
            + sum(keys[key.fifths % 12] for key in combination.keys) / max(1, len(combination.keys))
            + sum(slope * (place - 4) / 2 + bumps[place] for place in touched) / max(1, len(touched))
            + part("articulation", articulation)
            + part("own", combination.id)
        )
    exercises = dict.fromkeys(combination.exercise.id for combination, _ in rows)
    daily = {name: trend / 7 * (1 + rng.gauss(0, TREND_SPREAD)) for name in exercises}
    return Truth(levels, daily)


def _around_the_circle(size: float, rng: Random) -> list[float]:
    """One number for each key: a walk of chance around the circle of fifths that comes back to its start."""
    steps = [rng.gauss(0, 1) for _ in range(12)]
    drift = sum(steps) / 12
    walk = [sum(steps[: n + 1]) - drift * (n + 1) for n in range(12)]
    middle = sum(walk) / 12
    spread = math.sqrt(sum((one - middle) ** 2 for one in walk) / 12) or 1.0
    return [(one - middle) / spread * size for one in walk]


def grade_of(level: float, at: float, rng: Random) -> int:
    """The grade that is heard at a tempo, 1 to 5."""
    heard = level - at + rng.gauss(0, NOISE)
    return sum(cut < heard for cut in GRADE_CUTS)


def clean_mark(level: float, goal: int, rng: Random) -> int | None:
    """The highest mark that comes out clean; None below the slowest."""
    tempo = tempo_at(level + rng.gauss(0, NOISE), goal)
    best, mark = None, next_mark(1)
    while mark is not None and mark <= tempo:
        best, mark = mark, next_mark(mark)
    return best

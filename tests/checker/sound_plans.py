"""Sound plans for the tests of the second checker: made by the program, each once in a session."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache
from pathlib import Path
from tempfile import mkdtemp
from typing import Any

from horizon.sample_weeks import MONDAY, SUNDAY, planned, player_file, request_from, sample_week
from horizon.test_any_week import Dice

from planner.errors import DoesNotFit
from planner.horizon.week import Request
from planner.paths import find_curriculum
from planner.plan.verify import verify

QUICKEST_FIRST = ("jonah", "pia", "wilf", "ingrid", "tobias", "ruben", "nerys", "hester")
DATES = tuple(MONDAY + timedelta(days=days) for days in range(7))


@dataclass(frozen=True)
class Sound:
    """A plan of the program with the files it was made from."""

    name: str
    plan: Mapping[str, Any]
    request: Request
    player: Path
    curriculum: Path

    def program_accepts(self, plan: Mapping[str, Any]) -> bool:
        """Whether the program's own check finds nothing in a plan for the same player and days."""
        return not verify(self.request.curriculum, self.request.player, self.request.ratings, plan)


@cache
def sample(name: str, first: date = MONDAY) -> Sound:
    """A sample player's plan from `first` to Sunday."""
    path = player_file(name)
    request = request_from(path, first, SUNDAY, MONDAY)
    plan = sample_week(name, first)
    return Sound(f"{name} {first}", plan, request, path, find_curriculum(request.player.curriculum, path))


@cache
def of_chance(seed: int) -> Sound | None:
    """The plan of a player thrown together by dice; None where the week does not fit."""
    folder = Path(mkdtemp(prefix="week-of-chance-"))
    dice = Dice(seed)
    path = dice.player(folder)
    request = request_from(path, dice.first, SUNDAY, MONDAY)
    try:
        plan = planned(request)
    except DoesNotFit:
        return None
    return Sound(f"week of chance {seed}", plan, request, path, folder / "small.toml")


def samples(count: int) -> Iterator[Sound]:
    """The weeks of the sample players that are planned quickest, the whole week of each."""
    return (sample(name) for name in QUICKEST_FIRST[:count])


def small_ones(seeds: int) -> Iterator[Sound]:
    """Jonah and Pia from every day of their week on, and so many weeks of chance."""
    yield from (sample(name, first) for name in ("jonah", "pia") for first in DATES)
    yield from (found for seed in range(seeds) if (found := of_chance(seed)))

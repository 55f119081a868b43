"""How honest the estimate is: predicted against observed success, on players it was not made for.

    python -m planner.simulate.calibrate [--diaries 12] [--svg FILE]

Conventions: every diary is that of a player of known.py on the shelf of a sample player, with a level that
rises by 0, 0.7 or 1.4 notches a week, unknown to the estimate; its trials stand after 36, 150 and 1,200
ratings. A tenth holds the trials whose predicted success lies in it; shares are of 1. Free items are those
whose tempo is neither cut off at the goal or the lowest mark nor rounded down. Needs numpy.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import numpy as np

from planner.inputs.read import read_curriculum, read_player
from planner.need.combinations import scope
from planner.paths import find_curriculum, shipped_players
from planner.simulate.known import HEARINGS, Bench, Habit, Trials, Writer, bench_of, levels, unlike
from planner.simulate.reliability import plot

PLAYERS = ("tobias", "nerys", "ruben", "ingrid")
TRENDS = (0.0, 0.7, 1.4)
COUNTS = (36, 150, 1200)
A_WEEK = 108.0
WEEKS = 13
FIRST_SEED = 5001
"""Seeds from here on; none of them was used to choose a number of the model."""

FEWEST_TRIALS = 200
CLOSE, FREE_RANGE, HELD_RANGE = 0.04, (0.80, 0.88), (0.86, 0.94)
"""What is asked for: each tenth within 4 points, success of free items, share of 90 % intervals that hold."""

MONDAY = date(2026, 9, 7)
HABIT = Habit("every item of a week", A_WEEK, WEEKS, COUNTS)


@dataclass(frozen=True, slots=True)
class Tenth:
    """The trials of one tenth of predicted success: how many, mean predicted, mean observed."""

    trials: int
    predicted: float
    observed: float

    @property
    def close(self) -> bool:
        """Whether prediction and observation agree within 4 points."""
        return abs(self.predicted - self.observed) <= CLOSE


@dataclass(frozen=True, slots=True)
class Calibration:
    """What came of one trend at one count of ratings; `free` is the success of free items, `held` of 1."""

    trend: float
    ratings: int
    tenths: tuple[Tenth, ...]
    free: float
    free_trials: int
    held: float


def benches() -> tuple[Bench, ...]:
    """The shelves that diaries are written on."""
    return tuple(_bench(name) for name in PLAYERS)


def _bench(name: str) -> Bench:
    path = shipped_players() / f"{name}.toml"
    player = read_player(path, MONDAY)
    curriculum = read_curriculum(find_curriculum(player.curriculum, path))
    return bench_of(scope(curriculum, player, MONDAY).written, player)


def diary(bench: Bench, trend: float, seed: int, habit: Habit = HABIT) -> Iterator[tuple[int, Trials]]:
    """The trials of one diary, at each count of ratings."""
    dice = np.random.default_rng(seed)
    true = levels(bench, unlike(dice), trend, 7 * habit.weeks + 2, dice)
    yield from Writer(bench, true, habit, dice).write()


def calibrated(trend: float, ratings: int, trials: Iterable[Trials]) -> Calibration:
    """One line of the table."""
    found = list(trials)
    predicted = np.concatenate([one.predicted for one in found])
    observed = np.concatenate([one.observed for one in found])
    free = ~np.concatenate([one.clamped | one.cautious for one in found])
    place = np.minimum((10 * predicted).astype(int), 9)
    tenths = tuple(
        Tenth(int(inside.sum()) * HEARINGS, float(predicted[inside].mean()), float(observed[inside].mean()))
        for inside in (place == tenth for tenth in range(10))
        if inside.any()
    )
    return Calibration(
        trend=trend,
        ratings=ratings,
        tenths=tenths,
        free=float(observed[free].mean()) if free.any() else float("nan"),
        free_trials=int(free.sum()) * HEARINGS,
        held=float(np.concatenate([one.held for one in found]).mean()),
    )


def calibration(diaries: int, trends: Sequence[float] = TRENDS, habit: Habit = HABIT) -> list[Calibration]:
    """The table: so many diaries for every trend, one shelf after the other."""
    shelves, found = benches(), []
    for trend in trends:
        trials: dict[int, list[Trials]] = {count: [] for count in habit.counts}
        for number in range(diaries):
            for count, one in diary(shelves[number % len(shelves)], trend, FIRST_SEED + number, habit):
                trials[count].append(one)
        found += [calibrated(trend, count, trials[count]) for count in habit.counts]
    return found


def table(found: Sequence[Calibration]) -> str:
    """The table in words and numbers."""
    lines = ["notches a week  ratings  free items clean  90 % held  tenths: predicted/observed (trials)"]
    for one in found:
        tenths = " ".join(
            f"{100 * t.predicted:.0f}/{100 * t.observed:.0f} ({t.trials}){'' if _passes(t) else '!'}"
            for t in one.tenths
        )
        free = f"{100 * one.free:.1f} % of {one.free_trials}"
        lines.append(f"{one.trend:>14}  {one.ratings:>7}  {free:>16}  {100 * one.held:>7.1f} %  {tenths}")
    return "\n".join(lines)


def _passes(tenth: Tenth) -> bool:
    return tenth.trials < FEWEST_TRIALS or tenth.close


def main(words: Sequence[str]) -> None:
    """Print the table; write the picture where asked for."""
    parser = argparse.ArgumentParser(prog="python -m planner.simulate.calibrate", description=__doc__)
    parser.add_argument("--diaries", type=int, default=12)
    parser.add_argument("--svg", type=Path)
    asked = parser.parse_args(words)
    found = calibration(asked.diaries)
    sys.stdout.write(table(found) + "\n")
    if asked.svg:
        asked.svg.write_text(plot(found), encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])

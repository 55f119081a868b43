"""Whether a player's own sizes are found again: `python -m planner.simulate.refit_study [DIARIES]`.

Players are drawn with sizes between 0.6 and 1.6 times the usual ones, from the model itself; each rates about
as many turns as are asked for over half a year, and the sizes are fitted to the ratings. Printed is, for each
size, how often it came out within a factor of 1.5 of the true one, how often the usual size would
have, and how often the ratings had anything to say about it.

Conventions: notches; every draw comes from a seeded source of the standard library.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass
from datetime import timedelta
from random import Random

from planner.brass.tempo import nearest_mark, notches, tempo_at
from planner.diary.rating import Rating
from planner.inputs.player import Player
from planner.need.gain import REACH
from planner.need.levels import first_guess
from planner.need.parts import DEFAULT, FORGETTING_PER_DAY, FORM_PER_DAY, NOISE, Scales, bounds_of
from planner.need.refit import NAMES, Refit, refit
from planner.simulate.calibrate import MONDAY, PLAYERS, rows_of
from planner.simulate.calibrate_player import Row, grade_of

DIARIES, RATINGS, DAYS = 50, 400, 180
SMALLEST, LARGEST = 0.6, 1.6
WITHIN = 1.5


@dataclass(frozen=True, slots=True)
class Found:
    """One diary: the true sizes and what came of the fit."""

    true: Scales
    fitted: Refit


def study(diaries: int, ratings: int = RATINGS) -> list[Found]:
    """So many simulated players in turn from each of the sample shelves."""
    shelves = [rows_of(name) for name in PLAYERS]
    found = []
    for seed in range(diaries):
        player, rows = shelves[seed % len(shelves)]
        rng = Random(f"sizes {seed}")  # noqa: S311 - a simulation, nothing to keep secret
        true = _drawn(rng)
        told = _diary(player, rows, true, ratings, rng)
        shelf = list({row[0].id: row[0] for row in rows}.values())
        fitted = refit(shelf, told, MONDAY, player)
        if isinstance(fitted, Refit):
            found.append(Found(true, fitted))
    return found


def recovered(found: Sequence[Found], name: str, *, usual: bool = False) -> float:
    """The share of diaries in which a size came out within a factor of 1.5 of the true one."""
    close = [
        abs(math.log(getattr(one.fitted.old if usual else one.fitted.new, name) / getattr(one.true, name)))
        <= math.log(WITHIN)
        for one in found
    ]
    return sum(close) / len(close)


def table(found: Sequence[Found]) -> str:
    """One line a size."""
    lines = [f"{'':<14}{'found within 1.5':>18}{'usual within 1.5':>18}{'ratings say something':>24}"]
    for name in NAMES:
        known = sum(one.fitted.known(name) for one in found) / len(found)
        shares = (recovered(found, name), recovered(found, name, usual=True))
        lines.append(f"{name:<14}{shares[0]:>18.0%}{shares[1]:>18.0%}{known:>24.0%}")
    return "\n".join(lines)


def _drawn(rng: Random) -> Scales:
    """True sizes, each by its own factor and within the bounds of a fit."""
    sizes: dict[str, float] = {}
    for name in NAMES:
        low, high = bounds_of(name)
        factor = math.exp(rng.uniform(math.log(SMALLEST), math.log(LARGEST)))
        sizes[name] = min(max(getattr(DEFAULT, name) * factor, low), high)
    return Scales(**sizes)


def _diary(player: Player, rows: list[Row], true: Scales, ratings: int, rng: Random) -> list[Rating]:
    """Ratings at about the tempo that fits, by grades, on rows taken at random."""
    level = _levels(player, rows, true, rng)
    found: list[Rating] = []
    heard: dict[str, float] = {}
    for place in range(ratings):
        row, day = rng.choice(rows), DAYS * place // ratings
        clean = level(row, day)
        goal = row[0].exercise.tempos[row[1]].goal
        aim = heard.get(row[0].exercise.id, clean - 2) + rng.gauss(0, 2)
        mark = nearest_mark(tempo_at(aim, goal))
        grade = grade_of(clean, notches(mark, goal), rng)
        heard[row[0].exercise.id] = clean + rng.gauss(0, NOISE) - 2
        when = MONDAY + timedelta(days=day - DAYS)
        found.append(Rating(when, row[0].id, row[1], tempo=mark, clean=None, grade=grade, value=None))
    return found


def _levels(player: Player, rows: list[Row], true: Scales, rng: Random) -> Callable[[Row, int], float]:
    """The true level of a row on a day, part by part."""
    from planner.need.covariance import features_of

    features = features_of(rows)
    vectors = {
        (row[0].id, row[1]): (key, place)
        for row, key, place in zip(rows, features.keys.tolist(), features.positions.tolist(), strict=True)
    }
    keys, places = ([rng.gauss(0, 1) for _ in range(12)] for _ in range(2))
    form, fresh = _Fading(FORM_PER_DAY, rng), {row[0].id: _Fading(FORGETTING_PER_DAY, rng) for row in rows}
    drawn: dict[Hashable, float] = {}

    def part(size: float, *which: Hashable) -> float:
        return size * drawn.setdefault(which, rng.gauss(0, 1))

    def level(row: Row, day: int) -> float:
        (combination, word), (key, place) = row, vectors[row[0].id, row[1]]
        guess = first_guess(combination, word, player)
        return float(
            guess
            + part(true.player, "player")
            + part(true.exercise, "exercise", combination.exercise.id)
            + part(true.pattern, "pattern", combination.exercise.id, combination.pattern.name)
            + true.key * sum(a * b for a, b in zip(keys, key, strict=True))
            + true.positions * sum(a * b for a, b in zip(places, place, strict=True))
            + part(true.articulation, "articulation", word)
            + true.lately * form.on(day)
            + true.fresh * fresh[combination.id].on(day)
            + min(true.gain * day / 7, max(0.0, REACH - guess))
        )

    return level


class _Fading:
    """A level of chance that fades by the power law, drawn day by day given the days before."""

    def __init__(self, a_day: float, rng: Random) -> None:
        self._a_day = a_day
        self._rng = rng
        self._known: dict[int, float] = {}
        self._factor: list[list[float]] = []
        self._chance: list[float] = []

    def on(self, day: int) -> float:
        """The level of a day; the same when it is asked for again."""
        if day not in self._known:
            row: list[float] = []
            for other, earlier in enumerate(self._known):
                rest = self._kept(day - earlier) - sum(
                    a * b for a, b in zip(row, self._factor[other], strict=False)
                )
                row.append(rest / self._factor[other][other])
            row.append(math.sqrt(max(1.0 - sum(a * a for a in row), 1e-9)))
            self._factor.append(row)
            self._chance.append(self._rng.gauss(0, 1))
            self._known[day] = sum(a * b for a, b in zip(row, self._chance, strict=True))
        return self._known[day]

    def _kept(self, days: int) -> float:
        return float((1.0 + self._a_day * abs(days)) ** -0.5)


def main(words: Sequence[str]) -> None:
    """Run the study and print its table."""
    diaries = int(words[0]) if words else DIARIES
    found = study(diaries)
    sys.stdout.write(f"{len(found)} simulated diaries of {RATINGS} ratings in {DAYS} days\n{table(found)}\n")


if __name__ == "__main__":
    main(sys.argv[1:])

"""Simulated players whose true clean tempo is known on every day: what an estimate can be held against.

The players are not drawn from the estimate: every size of a part is another one for each player (up to 1.4
times larger or smaller), the combinations' own parts move with one time constant and not by the power law,
and the whole level rises by so many notches a week, which nothing tells the estimate. Tempos are those that
the estimate of the week's beginning asks for, a mark more or less: a diary also shows what comes of believing
it.

Conventions: levels are notches from the goal; a row is a combination with an articulation; a trial is one
hearing of one row on the day after the last rating, at the tempo that would be shown; days count from the
Monday on which the term begins. Needs numpy.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from planner.brass.tempo import MARKS, mark_at_or_below, notches
from planner.diary.rating import Rating
from planner.inputs.curriculum import TempoSpan
from planner.inputs.player import Player
from planner.need.clean_tempo import Estimates, first_guess
from planner.need.combinations import Combination
from planner.need.covariance import Row, features_of, roots
from planner.need.estimator import Estimator
from planner.need.evidence import GRADE_CUTS
from planner.need.parts import NOISE, Scales
from planner.need.targets import lowest_mark, tempo_target
from planner.need.turns import BREAK_DAYS

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

UNLIKE = 1.4
"""A part's true size is at most so many times the usual one, or one part in so many."""

OWN_DAYS = 198 / math.log(2)
"""Time constant of a combination's own part: half gone after 198 days as published, but by another law."""

MARK_SHARE = 1 / 3
"""The share of ratings that name a clean mark; the others are a grade at the tempo that was shown."""

HEARINGS = 5
"""How often each row is heard in the trials."""

NINETY = 1.644854
"""Standard deviations to each side that hold 90 % of a normal distribution (scipy.stats.norm.ppf(0.95))."""

MONDAY = date(2026, 9, 7)
PRACTICE_DAYS = 6


@dataclass(frozen=True, slots=True)
class Habit:
    """How a player writes: ratings a week, weeks, and after how many ratings the trials stand."""

    name: str
    a_week: float
    weeks: int
    counts: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Trials:
    """One entry a row: predicted success, share of hearings that were clean, interval held, and its kind.

    `clamped`: the tempo is cut off at the goal or at the lowest mark; `cautious`: it is rounded down.
    """

    predicted: Array
    observed: Array
    held: Mask
    clamped: Mask
    cautious: Mask


@dataclass(frozen=True, slots=True)
class Bench:
    """The shelf of one player: the combinations that are rated by tempo, their rows and first guesses."""

    player: Player
    combinations: tuple[Combination, ...]
    rows: tuple[Row, ...]
    guess: Array


def bench_of(combinations: Sequence[Combination], player: Player) -> Bench:
    """The bench of those combinations that are rated by tempo."""
    inside = tuple(c for c in combinations if c.exercise.measure == "tempo")
    rows = tuple((c, a) for c in inside for a in c.articulations)
    return Bench(player, inside, rows, np.array([first_guess(c, a, player) for c, a in rows]))


def unlike(dice: np.random.Generator, most: float = UNLIKE) -> Scales:
    """Sizes of the parts of one player, each at most so many times larger or smaller than the usual one."""
    factors = np.exp(dice.uniform(-math.log(most), math.log(most), size=len(fields(Scales))))
    usual = Scales().to_json()
    return Scales(**{name: size * float(f) for (name, size), f in zip(usual.items(), factors, strict=True)})


def levels(bench: Bench, sizes: Scales, trend: float, days: int, dice: np.random.Generator) -> Array:
    """True clean tempo of every row (down) on every day (across)."""
    features = features_of(bench.rows)
    vectors = roots(features, sizes)
    lasting = vectors @ dice.normal(size=vectors.shape[1]) + sizes.lately * dice.normal()
    own = np.zeros((len(bench.combinations), days))
    own[:, 0] = dice.normal(size=len(own))
    kept = math.exp(-1 / OWN_DAYS)
    for day in range(1, days):
        own[:, day] = kept * own[:, day - 1] + math.sqrt(1 - kept**2) * dice.normal(size=len(own))
    still = (bench.guess + lasting)[:, None] + trend / 7 * np.arange(days)
    found: Array = still + sizes.fresh * own[features.combination]
    return found


class Writer:
    """One player writing a diary."""

    def __init__(self, bench: Bench, true: Array, habit: Habit, dice: np.random.Generator) -> None:
        self.bench, self.true, self.habit, self.dice = bench, true, habit, dice
        self.ratings: list[Rating] = []
        self._last: dict[str, int] = {}
        self._round: list[int] = []

    def write(self) -> Iterator[tuple[int, Trials]]:
        """The diary is written; at each count of ratings the trials of the next day."""
        waiting = list(self.habit.counts)
        for day in range(7 * self.habit.weeks):
            if day % 7 == 0:
                shown = self._estimates(day)
            for row in self._rows(day):
                self._rate(row, day, shown)
                if waiting and len(self.ratings) == waiting[0]:
                    yield waiting.pop(0), self._tried(day + 1)

    def _estimates(self, day: int) -> Estimates:
        today = MONDAY + timedelta(days=day)
        return Estimator(self.bench.combinations, self.ratings, today, self.bench.player).on(today)

    def _rows(self, day: int) -> list[int]:
        """The rows rated on a day: all of them in turn, in another order each time round."""
        if day % 7 >= PRACTICE_DAYS:
            return []
        practised = day // 7 * PRACTICE_DAYS + day % 7
        a_day = self.habit.a_week / PRACTICE_DAYS
        count = math.floor((practised + 1) * a_day + 1e-9) - math.floor(practised * a_day + 1e-9)
        while len(self._round) < count:
            self._round += self.dice.permutation(len(self.bench.rows)).tolist()
        today, self._round = self._round[:count], self._round[count:]
        return today

    def _rate(self, row: int, day: int, shown: Estimates) -> None:
        combination, articulation = self.bench.rows[row]
        span = combination.exercise.tempos[articulation]
        place = MARKS.index(self._target(row, day, shown)) + int(self.dice.integers(-1, 2))
        tempo = min(MARKS[min(max(0, place), len(MARKS) - 1)], mark_at_or_below(span.goal))
        heard = float(self.true[row, day] + NOISE * self.dice.normal())
        marked = bool(self.dice.random() < MARK_SHARE) and heard >= notches(MARKS[0], span.goal)
        self.ratings.append(
            Rating(
                day=MONDAY + timedelta(days=day),
                combination=combination.id,
                articulation=articulation,
                tempo=None if marked else tempo,
                clean=_clean_mark(heard, span) if marked else None,
                grade=None if marked else _grade(heard - notches(tempo, span.goal)),
                value=None,
                at=len(self.ratings),
            )
        )
        self._last[combination.id] = day

    def _target(self, row: int, day: int, shown: Estimates) -> int:
        combination, articulation = self.bench.rows[row]
        span = combination.exercise.tempos[articulation]
        clean, boldness = shown.at(combination.id, articulation), self.bench.player.boldness
        return tempo_target(clean, span, boldness, cautious=self._cautious(combination.id, day))

    def _cautious(self, combination: str, day: int) -> bool:
        return day - self._last.get(combination, day - BREAK_DAYS) >= BREAK_DAYS

    def _tried(self, day: int) -> Trials:
        """Every row at the tempo that would be shown on this day."""
        shown = self._estimates(day)
        clean = [shown.at(combination.id, articulation) for combination, articulation in self.bench.rows]
        spans = [combination.exercise.tempos[articulation] for combination, articulation in self.bench.rows]
        marks = [self._target(row, day, shown) for row in range(len(clean))]
        at = np.array([notches(mark, span.goal) for mark, span in zip(marks, spans, strict=True)])
        true = self.true[:, day]
        heard = true[:, None] + NOISE * self.dice.normal(size=(len(true), HEARINGS))
        mean, sd = np.array([one.mean for one in clean]), np.array([one.sd for one in clean])
        return Trials(
            predicted=np.array([one.success(x) for one, x in zip(clean, at.tolist(), strict=True)]),
            observed=(heard >= at[:, None]).mean(axis=1),
            held=np.abs(true - mean) <= NINETY * sd,
            clamped=np.array([m in _ends(span) for m, span in zip(marks, spans, strict=True)]),
            cautious=np.array([self._cautious(c.id, day) for c, _ in self.bench.rows]),
        )


def _clean_mark(heard: float, span: TempoSpan) -> int:
    """The highest mark that came out clean, up to the goal."""
    return mark_at_or_below(min(span.goal, span.goal * 2 ** (heard / 16)))


def _grade(margin: float) -> int:
    """The grade for a hearing so many notches above the tempo played."""
    return int(np.searchsorted(GRADE_CUTS[1:-1], margin)) + 1


def _ends(span: TempoSpan) -> tuple[int, int]:
    """The marks at which a target is cut off."""
    return lowest_mark(span), mark_at_or_below(span.goal)

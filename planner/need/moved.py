"""How far a group of combinations has moved between two days, with the spread of that. Needs numpy.

Conventions: notches from the goal. A group is the mean over its rows, each the same. All ratings up to the
later day count for both days: what is known now of the player then, so that getting to know a player does not
look like progress. As silence takes nothing from what was heard, the figures of a single day may lie a little
above those of the plan. The spread of a change is that of the difference itself, not of two unrelated days.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from planner.diary.rating import Rating
from planner.need.combinations import Combination
from planner.need.covariance import Array, Codes, fresh_in_time, lasting_in_time, lately_in_time
from planner.need.decompose import Told
from planner.need.gain import Gains, Turn, gains, turns_of
from planner.need.heard import Heard
from planner.need.levels import Estimates


@dataclass(frozen=True, slots=True)
class Level:
    """Mean and spread of a group on one day."""

    mean: float
    sd: float


@dataclass(frozen=True, slots=True)
class Moved:
    """A group on two days, and how far it has moved between them."""

    then: Level
    now: Level
    change: Level


@dataclass(frozen=True, slots=True)
class Behind:
    """What stands behind the estimates of one measure, and what practice is expected to have gained."""

    told: Told
    practised: Gains


def practice_behind(
    estimates: Estimates, combinations: Mapping[str, Combination], ratings: Iterable[Rating]
) -> tuple[Behind, ...]:
    """What stands behind estimates that were made of these combinations and ratings, measure by measure."""
    turns = turns_of(combinations, ratings, estimates.day)
    return tuple(Behind(told, _gains(told, turns)) for told in estimates.told if isinstance(told, Told))


def _gains(told: Told, turns: Sequence[Turn]) -> Gains:
    number = told.shelf.number
    inside = [turn for turn in turns if (turn.combination, turn.articulation) in number]
    shelf = told.shelf
    return gains(inside, number, shelf.rows.combination, shelf.guess, shelf.scales.gain)


def moved(behind: Iterable[Behind], names: Sequence[tuple[str, str]], then: date, now: date) -> Moved:
    """How far the mean of these rows of one measure has moved from `then` to `now`.

    KeyError where a row is none of those estimated, or the rows are of several measures.
    """
    mine = next((one for one in behind if names[0] in one.told.shelf.number), None)
    if mine is None:
        raise KeyError(names[0])
    rows = [mine.told.shelf.number[name] for name in names]
    group = _Group(mine.told, mine.practised, np.array(rows, dtype=np.int64))
    days = then.toordinal(), now.toordinal()
    levels = [group.on(day) for day in days]
    return Moved(levels[0], levels[1], group.between(*days))


class _Group:
    """The mean of some rows: its covariances with what was heard, on any day."""

    def __init__(self, told: Told, practised: Gains, rows: Codes) -> None:
        self._shelf, self._heard, self._practised = told.shelf, told.heard, practised
        self._rows = rows
        self._roots: Array = told.shelf.roots[rows].mean(axis=0)
        self._codes = told.shelf.rows.combination[rows]
        size = int(told.shelf.rows.combination.max()) + 1
        self._share = np.bincount(self._codes, minlength=size) / len(rows)
        scales = told.shelf.scales
        self._lasting = float(self._roots @ self._roots)
        self._lately = scales.lately**2
        self._fresh = scales.fresh**2 * float(self._share @ self._share)

    def on(self, day: int) -> Level:
        """Mean and spread on one day."""
        heard, prior = self._heard, self._prior(day)
        variance = self._lasting + self._lately + self._fresh
        if heard is None:
            return Level(prior, variance**0.5)
        return _known(heard, prior, variance, self._across(heard, day))

    def between(self, then: int, now: int) -> Level:
        """Mean and spread of the change from one day to another."""
        heard, prior = self._heard, self._prior(now) - self._prior(then)
        apart = np.array(now - then)
        variance = 2 * self._lasting * (1 - float(lasting_in_time(apart)))
        variance += 2 * self._lately * (1 - float(lately_in_time(apart)))
        variance += 2 * self._fresh * (1 - float(fresh_in_time(apart)))
        if heard is None:
            return Level(prior, variance**0.5)
        return _known(heard, prior, variance, self._across(heard, now) - self._across(heard, then))

    def _prior(self, day: int) -> float:
        guess = self._shelf.guess[self._rows]
        gained = self._practised.before(self._codes, guess, np.full(len(guess), day + 1.0))
        return float((guess + gained).mean())

    def _across(self, heard: Heard, day: int) -> Array:
        """The covariance of the group on a day with every site."""
        sites, scales = heard.sites, self._shelf.scales
        ages = np.abs(day - sites.day)
        own = self._share[self._shelf.rows.combination[sites.row]]
        across: Array = (self._shelf.roots[sites.row] @ self._roots) * lasting_in_time(ages)
        across += scales.lately**2 * lately_in_time(ages) + scales.fresh**2 * own * fresh_in_time(ages)
        return across


def _known(heard: Heard, prior: float, variance: float, across: Array) -> Level:
    """What the sites say to something with these covariances."""
    known = float(across @ heard.posterior.inverse @ across)
    return Level(prior + float(across @ heard.posterior.pull), max(variance - known, 0.0) ** 0.5)

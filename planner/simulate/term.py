"""One term of one policy: S players side by side, day after day, and what came of it.

Conventions: S players (one a seed), N combinations; the score of a level is 1 at the goal and above it, 0 at
half its tempo and below 0 under that: 1 + notches / 16. A turn is five minutes. The same seeds meet the same
players and the same dice whatever the policy. Needs numpy.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import NormalDist

import numpy as np

from planner.need.gain import AS_PLANNED
from planner.need.parts import NOISE
from planner.need.turns import BREAK_DAYS
from planner.simulate.catalogue import Catalogue
from planner.simulate.hearing import heard, mark_for, worth
from planner.simulate.learners import TURN_SECONDS, Array, Codes, Learner, Mask
from planner.simulate.listening import Listening, Told
from planner.simulate.players import ROLLS, Kind, Players, Start, learner, players
from planner.simulate.policies import Policy
from planner.simulate.practice import Gained
from planner.simulate.rules import NEVER, Calendar, Morning, calendar, granted_weeks

FIRST_GUESS = -8.0
"""What the estimate supposes of every combination before anything is heard, in notches from the goal."""

BOLDNESS = 0.84
AFTER_DAYS = 14
WEAKEST_SHARE = 10


@dataclass(frozen=True, slots=True)
class Setting:
    """The circumstances of a term.

    `neutral`: a turn teaches the same at every tempo. `ratings`: how many of the turns are rated, spread over
    the term (None: all). `first_hearing`: one rating of everything before the first day. `marks` is the share
    of ratings that name a clean mark instead of a grade.
    """

    learner: Kind = "A"
    start: Start = "mixed"
    neutral: bool = True
    missed_week: int | None = None
    ratings: int | None = None
    first_hearing: bool = True
    marks: float = 1 / 3
    weeks: int = 12


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of a term, one entry for each player.

    Scores at the end and 14 days later (mean, and mean of the weakest tenth); the day of full coverage from 1
    (0 where it was not reached); the longest gap between two turns of a combination, as a share of the span;
    minutes spent; root mean square of (estimate - level) at the end in notches.
    """

    mean_end: Array
    weakest_end: Array
    mean_later: Array
    weakest_later: Array
    covered_on: Codes
    longest_gap: Array
    minutes: Array
    missed_by: Array


class Term:
    """One policy's term with S players."""

    def __init__(self, setting: Setting, catalogue: Catalogue, seeds: Sequence[int], in_work: int) -> None:
        self.setting, self.catalogue = setting, catalogue
        self.calendar = calendar(setting.weeks, setting.missed_week)
        self.span_days = 7 * granted_weeks(catalogue, in_work)
        self.who: Players = players(seeds, catalogue, setting.start)
        self.learner: Learner = learner(setting.learner, self.who)
        self.gained = Gained(np.full(self.who.cost.shape, FIRST_GUESS))
        self.listening = Listening(np.full(self.who.cost.shape, FIRST_GUESS), catalogue, self.calendar.days)
        self.log = Log(self.who, catalogue)
        self._index = np.arange(len(seeds))
        self._rated = _which_are_rated(setting, self.calendar, catalogue)
        self._slot = 0

    def run(self, policy: Policy) -> Outcome:
        """The whole term and the two weeks after it."""
        if self.setting.first_hearing:
            self._first_hearing()
        for day in range(self.calendar.days):
            if self.calendar.practised(day):
                self._practise(policy, day)
            self.learner.sleep(1)
        return self._outcome()

    def _first_hearing(self) -> None:
        """One quick rating of everything on the day before, at no minutes: the same for every policy."""
        mean, sd = self.listening.estimates(-1, self.gained.prior())
        level = self.learner.level()
        for combination in np.flatnonzero(self.catalogue.weeks == 1):
            chosen = np.full(len(self._index), combination)
            tempo = self._tempo(mean[:, combination], sd[:, combination], True)
            self._listen(chosen, level[:, combination], tempo, sd, -1, np.ones(len(chosen), dtype=bool))

    def _practise(self, policy: Policy, day: int) -> None:
        self.listening.settle()
        mean, sd = self.listening.estimates(day, self.gained.prior())
        chosen = policy(self._morning(day, mean, sd))
        for number in range(chosen.shape[1]):
            self._turn(chosen[:, number], mean, sd, day)
        self.gained.sleep(day)

    def _morning(self, day: int, mean: Array, sd: Array) -> Morning:
        dice = np.random.default_rng([day, *self.who.seeds]).random(mean.shape)
        return Morning(
            day=day,
            calendar=self.calendar,
            catalogue=self.catalogue,
            span_days=self.span_days,
            mean=mean,
            sd=sd,
            last=self.log.last,
            met_pairs=self.log.met_pairs,
            dice=dice,
            learner=self.learner,
        )

    def _turn(self, chosen: Codes, mean: Array, sd: Array, day: int) -> None:
        site = (self._index, chosen)
        cautious = day - self.log.last[site] >= BREAK_DAYS
        tempo = self._tempo(mean[site], sd[site], cautious)
        level = self.learner.level_of(chosen)
        rated = bool(self._rated[self._slot])
        margin = self._listen(chosen, level, tempo, sd, day, np.full(len(chosen), rated))
        self.gained.take(chosen, tempo, margin if rated else np.full_like(margin, AS_PLANNED))
        self.learner.practise(chosen, worth(level, tempo, neutral=self.setting.neutral))
        self.log.note(chosen, day)
        self._slot += 1

    def _tempo(self, mean: Array, sd: Array, cautious: Mask | bool) -> Array:
        margin = NormalDist().inv_cdf(BOLDNESS) * np.hypot(sd, NOISE)
        return mark_for(mean - margin, np.broadcast_to(np.asarray(cautious), mean.shape))

    def _listen(self, chosen: Codes, level: Array, tempo: Array, sd: Array, day: int, asked: Mask) -> Array:
        """The rating of a turn, told to the estimate where `asked`; the margin that was heard."""
        site = (self._index, chosen)
        roll = (*site, self.log.turns[site] % ROLLS)
        low, high, margin = heard(level, tempo, self.who.dice[roll], self.who.share[roll], self.setting.marks)
        told = Told(low, high, sd[site] ** 2, self.gained.prior()[site])
        self.listening.take(chosen, day, told, asked)
        return margin

    def _outcome(self) -> Outcome:
        now, later = score(self.learner.level()), score(self.learner.ahead(AFTER_DAYS)[0])
        self.listening.settle()
        mean, _ = self.listening.estimates(self.calendar.days, self.gained.prior())
        error = np.sqrt(((mean - self.learner.level()) ** 2).mean(axis=1))
        gap = self.log.longest_gap(self.calendar)
        return Outcome(
            mean_end=now.mean(axis=1),
            weakest_end=weakest(now),
            mean_later=later.mean(axis=1),
            weakest_later=weakest(later),
            covered_on=self.log.covered_on,
            longest_gap=gap / self.span_days,
            minutes=np.full(len(self._index), self._slot * TURN_SECONDS / 60),
            missed_by=error,
        )


class Log:
    """Turns so far: last day, number and longest gap of each combination, last day of each pair."""

    def __init__(self, who: Players, catalogue: Catalogue) -> None:
        later = catalogue.weeks > 1
        self.catalogue = catalogue
        self.last = np.where(later, NEVER, who.last)
        self.turns = np.ones(who.cost.shape, dtype=np.int64)
        self.met = np.zeros(who.cost.shape, dtype=bool)
        self.covered_on = np.zeros(len(who.cost), dtype=np.int64)
        self.gaps: list[tuple[Codes, Codes, Codes, int]] = []
        self.met_pairs = _last_of_pairs(self.last, catalogue)
        self._index = np.arange(len(who.cost))
        self.first = np.where(later, 7 * (catalogue.weeks - 1) - 1, -1)[None] + np.zeros_like(self.last)

    def note(self, chosen: Codes, day: int) -> None:
        """One turn of one combination for each player."""
        site = (self._index, chosen)
        self.gaps.append((self._index, chosen, np.maximum(self.last[site], self.first[site]), day))
        self.last[site] = day
        self.turns[site] += 1
        self.met[site] = True
        done = self.met.all(axis=1) & (self.covered_on == 0)
        self.covered_on[done] = day + 1
        has = self.catalogue.pairs[chosen] > 0
        self.met_pairs[has] = day

    def longest_gap(self, days: Calendar) -> Array:
        """Days from one turn to the next, or to the end of the term; days of a missed week not counted."""
        ends = [(who, chosen, since, np.full_like(since, day)) for who, chosen, since, day in self.gaps]
        players, size = self.last.shape
        who, chosen = np.divmod(np.arange(players * size), size)
        last = np.maximum(self.last, self.first).reshape(-1)
        ends.append((who, chosen, last, np.full(players * size, days.days)))
        longest = np.zeros(players)
        for who, _, since, until in ends:
            lost = sum(((since < day) & (day < until)).astype(np.int64) for day in days.missed)
            np.maximum.at(longest, who, until - since - lost)
        return longest


def _last_of_pairs(last: Codes, catalogue: Catalogue) -> Codes:
    """The day of the last turn of each pair, (S, P)."""
    has = catalogue.pairs > 0
    found = [last[:, has[:, pair]].max(axis=1) for pair in range(has.shape[1])]
    return np.stack(found, axis=1)


def _which_are_rated(setting: Setting, days: Calendar, catalogue: Catalogue) -> Mask:
    """Which turns of the term are rated, in order: all, or so many of them drawn once for all policies."""
    turns = catalogue.items_a_day * int(days.between(-1, days.days - 1))
    if setting.ratings is None:
        return np.ones(turns, dtype=bool)
    edges = np.linspace(0, turns, setting.ratings + 1).astype(np.int64)
    dice = np.random.default_rng(setting.ratings)
    rated = np.zeros(turns, dtype=bool)
    rated[[int(dice.integers(a, b)) for a, b in pairwise(edges)]] = True
    return rated


def score(level: Array) -> Array:
    """A level as a score: 1 at the goal and above it, 0 at half its tempo, -1 at a quarter."""
    return np.minimum(1 + level / 16, 1.0)


def weakest(scores: Array) -> Array:
    """The mean of the weakest tenth of each player's combinations."""
    count = -(-scores.shape[1] // WEAKEST_SHARE)
    found: Array = np.sort(scores, axis=1)[:, :count].mean(axis=1)
    return found

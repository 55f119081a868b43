"""Who decides what is played: baselines, ours, and a reference that sees the true state.

Conventions: a policy looks at a morning (rules.py) and names K combinations for each of S players, (S, K), in
playing order. None but the reference sees more than the shared estimate. "Spans kept" means that what
would outlive the granted span stands first. Needs numpy.

- blocked: one combination a day in all its items, then the next; same week: the same K all week, then the
  next;
- round robin: whatever rested longest; random; weakest first: most need; gain only: the modelled gain of a
  turn;
- ours: value = practice days since the last x (0.1 + need)^DIAL, combinations in work chosen by need, their
  rhythm, spans and pairs, as planner.need.weigh and planner.need.capacity have them;
- reference: the same rules, but it sees the learner itself and takes what helps most two weeks from now.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from planner.need.capacity import IN_WORK_EVERY, RECENT_WEEKS, in_work_places
from planner.need.parts import NOISE
from planner.need.targets import NEED_NOTCHES
from planner.need.weigh import DIAL
from planner.simulate.learners import Array, Codes, Mask
from planner.simulate.rules import NEVER, PRACTICE_DAYS, Morning, items_a_week

Policy = Callable[[Morning], Codes]

OUT = -1e18
TIER = 1e9
LOOK_AHEAD_DAYS = 14
MOST_ABOVE = 4.0
"""How far above the goal the modelled gain still sees something to gain, in notches [assumption]."""


@dataclass(frozen=True, slots=True)
class Weights:
    """What is tried in the weighting, and the rhythm of what is in work.

    Value = since^rest x (floor + need)^power. `share` of the items is for what is in work, each every
    `every` practice days and not before `least`; it is chosen anew every `chosen_every` days. Need is
    (bound x spread - mean) / scale.
    """

    power: float = float(DIAL)
    rest: float = 1.0
    floor: float = 0.1
    share: float = 0.25
    every: int = IN_WORK_EVERY
    least: int = 1
    chosen_every: int = 1
    bound: float = 1.0
    scale: float = float(NEED_NOTCHES)
    recent: bool = True
    pairs: bool = True


AS_BUILT = Weights()


def need(mean: Array, sd: Array, weights: Weights = AS_BUILT) -> Array:
    """Need from 0 to 1: the shortfall of the lower bound, as planner.need.targets has it (not rounded)."""
    return np.clip((weights.bound * sd - mean) / weights.scale, 0.0, 1.0)


def blocked(morning: Morning) -> Codes:
    """One combination a day, in order."""
    turn = int(morning.calendar.between(-1, morning.day)) - 1
    order = np.flatnonzero(morning.playable())
    return np.full((len(morning.last), morning.items), order[turn % len(order)])


def same_week(morning: Morning) -> Codes:
    """The same combinations all week, then the next in order."""
    order = np.flatnonzero(morning.playable())
    place = (morning.week - 1) * morning.items + np.arange(morning.items)
    return np.repeat(order[place % len(order)][None], len(morning.last), axis=0)


def round_robin(morning: Morning) -> Codes:
    """What rested longest, in order where equal."""
    return best(-morning.last.astype(np.float64), morning)


def at_random(morning: Morning) -> Codes:
    """Drawn without putting back."""
    return best(morning.dice, morning)


def weakest_first(morning: Morning) -> Codes:
    """Most need."""
    return best(morning.sd - morning.mean, morning)


def gain_only(morning: Morning) -> Codes:
    """The modelled gain of a turn at the tempo asked for: challenge x what is left to gain.

    Challenge z e^((1 - z^2)/2) after Wilson et al. (2019), z the margin over the tempo in spreads.
    """
    spread = np.hypot(morning.sd, NOISE)
    margin = np.maximum(morning.mean / spread, 1.0)  # a target is never above the goal
    challenge = margin * np.exp((1 - margin**2) / 2)
    return best(challenge * np.maximum(MOST_ABOVE - morning.mean, 0.0), morning)


def spans_kept(policy: Policy) -> Policy:
    """The same policy, but what would outlive its span stands first."""

    def chosen(morning: Morning) -> Codes:
        plain = policy(morning)
        score = np.zeros_like(morning.mean)
        np.put_along_axis(score, plain, np.arange(plain.shape[1], 0.0, -1.0)[None] + 1, axis=1)
        return best(score + TIER * morning.pressing(), morning)

    return chosen


class Ours:
    """The planner's own rule; what is in work is remembered from one choice to the next.

    Make one for each run. `truth`: it sees the learner's own levels instead of the estimate.
    """

    def __init__(self, weights: Weights = AS_BUILT, *, truth: bool = False) -> None:
        self.weights, self.truth = weights, truth
        self._in_work: Mask | None = None
        self._chosen_on = 0

    def __call__(self, morning: Morning) -> Codes:
        """The day's items: spans that end, turns of what is in work, pairs, then by value."""
        weights = self.weights
        wanted = self._need(morning)
        in_work = self.working(morning, wanted)
        since = morning.since()
        standing = (since >= np.where(in_work, weights.least, 2)) & morning.playable()
        value = since**weights.rest * (weights.floor + wanted) ** weights.power
        score = value + TIER * (2.0 * morning.pressing() + 1.0 * (in_work & (since >= weights.every)))
        score = np.where(standing, score, OUT)
        if weights.pairs:
            return _with_pairs(score, morning)
        return np.argsort(-score, axis=1, kind="stable")[:, : morning.items]

    def _need(self, morning: Morning) -> Array:
        if self.truth:
            level = morning.learner.level()
            return need(level, np.zeros_like(level), self.weights)
        return need(morning.mean, morning.sd, self.weights)

    def working(self, morning: Morning, wanted: Array) -> Mask:
        """What is in work, chosen by need among what was met and is recent or not yet clean at the goal."""
        if self._in_work is None or morning.day - self._chosen_on >= self.weights.chosen_every:
            recent = self.weights.recent & (morning.catalogue.weeks >= morning.week - RECENT_WEEKS)
            able = (morning.last != NEVER) & (recent | (morning.mean < 0)) & morning.playable()
            places = places_in_work(items_a_week(morning.catalogue), self.weights)
            ranked = np.argsort(np.where(able, -wanted, np.inf), axis=1, kind="stable")[:, :places]
            self._in_work = np.zeros(wanted.shape, dtype=bool)
            np.put_along_axis(self._in_work, ranked, np.take_along_axis(able, ranked, axis=1), axis=1)
            self._chosen_on = morning.day
        return self._in_work


def places_in_work(items: int, weights: Weights = AS_BUILT) -> int:
    """How many combinations are in work: `share` of a week's items, each every `every` practice days."""
    if weights.share == AS_BUILT.share and weights.every == AS_BUILT.every:
        return in_work_places(items, PRACTICE_DAYS)
    return int(items * weights.share * weights.every / PRACTICE_DAYS)


@dataclass(frozen=True, slots=True)
class Reference:
    """Sees the true levels two weeks from now, with and without a turn today; spans kept.

    It takes what lowers the sum of e^(-steepness x level) most: with 0 the mean, the steeper the more the
    weakest (level 0 at half the goal's tempo, 1 at the goal).
    """

    steepness: float

    def __call__(self, morning: Morning) -> Codes:
        """The day's items."""
        without, with_turn = (np.minimum(level, 0.0) / 16 for level in morning.learner.ahead(LOOK_AHEAD_DAYS))
        saved = np.exp(-self.steepness * without) - np.exp(-self.steepness * with_turn)
        return best(saved + TIER * 1e6 * morning.pressing(), morning)


def best(score: Array, morning: Morning) -> Codes:
    """The K highest scores of what may stand today, the first in order where equal."""
    score = np.where(morning.may_stand(), score, OUT)
    return np.argsort(-score, axis=1, kind="stable")[:, : morning.items]


def _with_pairs(score: Array, morning: Morning) -> Codes:
    """The highest scores, but a pair whose span ends today is met if anything can meet it."""
    open_pairs = morning.open_pairs()
    chosen = np.argsort(-score, axis=1, kind="stable")[:, : morning.items]
    for player in np.flatnonzero(open_pairs.any(axis=1)):
        chosen[player] = _one_with_pairs(score[player], open_pairs[player], morning)
    return chosen


def _one_with_pairs(score: Array, open_pairs: Mask, morning: Morning) -> Codes:
    pairs, left = morning.catalogue.pairs, open_pairs.astype(np.float64)
    score = score.copy()
    chosen = []
    for _ in range(morning.items):
        helped = score + TIER / 2 * (pairs @ left) * (score > OUT)
        pick = int(np.argmax(helped))
        chosen.append(pick)
        score[pick] = 2 * OUT
        left *= 1 - pairs[pick]
    return np.array(chosen)

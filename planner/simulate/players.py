"""The simulated players: what is hard for each, what they practised before, and their dice.

Conventions: S players, one a seed; N combinations; costs in notches; days count from 0, the Monday on which
the term begins, days before it are negative. Everything about a player comes from its seed and the shelf
alone, so every policy meets the same players. All numbers are invented and unlike the estimate's own. Needs
numpy.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from planner.simulate.activation import Activation
from planner.simulate.catalogue import KEYS, LONGEST, Catalogue
from planner.simulate.hearing import LOGISTIC
from planner.simulate.learners import Array, Codes, Learner
from planner.simulate.states import BY_STATES, SLOW_TO_FORGET, States

Start = Literal["mixed", "equal"]
Kind = Literal["A", "B", "C"]

WEAK_KEYS, WEAK_POSITIONS = 4, 2
KEY_COST = POSITION_COST = 3.0
"""Neighbouring keys on the circle and neighbouring positions from 3 up that are weak, and what each costs."""

OWN_SPREAD = 1.2

TURNS_BEFORE = {"mixed": (14, 5, 1), "equal": (4, 4, 4)}
"""Turns of each third of the shelf before the term: strong, middle and new ones, or all alike."""

BEFORE_DAYS, LAST_BEFORE_DAYS = 90, 14
"""Those turns lie in so many days before the term, the last of each in the last two weeks."""

ROLLS = 200


@dataclass(frozen=True, slots=True)
class Players:
    """S players at the beginning of a term.

    `cost` (S, N) as in learners.py; `past` (S, N, turns) days of the turns before (NaN where there are none),
    in order of time; `dice` and `share` (S, N, ROLLS) uniform draws for each turn of each combination.
    """

    seeds: tuple[int, ...]
    cost: Array
    past: Array
    dice: Array
    share: Array

    @property
    def last(self) -> Codes:
        """The day of the last turn of each combination, (S, N)."""
        found: Codes = self.past[..., -1].astype(np.int64)
        return found


def players(seeds: Sequence[int], catalogue: Catalogue, start: Start) -> Players:
    """The players of these seeds."""
    drawn = [_one(np.random.default_rng(seed), catalogue, TURNS_BEFORE[start]) for seed in seeds]
    cost, past, dice, share = (np.array(part) for part in zip(*drawn, strict=True))
    return Players(tuple(seeds), cost, past, dice, share)


def learner(kind: Kind, who: Players) -> Learner:
    """These players with one of the models of learning, and what they practised before."""
    if kind == "A":
        activation = Activation(who.cost)
        activation.remember(who.past)
        return activation
    states = States(who.cost, BY_STATES if kind == "B" else SLOW_TO_FORGET)
    states.remember(who.past)
    return states


def _one(dice: np.random.Generator, catalogue: Catalogue, turns: tuple[int, ...]) -> tuple[Array, ...]:
    """Cost, past turns and two sets of draws of one player."""
    cost = _cost(dice, catalogue)
    thirds = dice.permutation(np.arange(catalogue.size) % len(turns))
    past = np.stack([_past(dice, turns[third], max(turns)) for third in thirds])
    rolls = dice.uniform(1e-6, 1 - 1e-6, size=(2, catalogue.size, ROLLS))
    return cost, past, rolls[0], rolls[1]


def _cost(dice: np.random.Generator, catalogue: Catalogue) -> Array:
    keys, positions = np.zeros(KEYS), np.zeros(LONGEST)
    keys[(dice.integers(KEYS) + np.arange(WEAK_KEYS)) % KEYS] = KEY_COST
    positions[dice.integers(2, LONGEST - WEAK_POSITIONS + 1) + np.arange(WEAK_POSITIONS)] = POSITION_COST
    roll = dice.uniform(1e-6, 1 - 1e-6, size=catalogue.size)
    own = OWN_SPREAD * LOGISTIC * np.log(roll / (1 - roll))
    cost: Array = catalogue.keys @ keys + catalogue.positions @ positions + own
    return cost


def _past(dice: np.random.Generator, turns: int, most: int) -> Array:
    """Days of the turns of one combination before the term, in order, after NaN for those it lacks."""
    last = -int(dice.integers(1, LAST_BEFORE_DAYS + 1))
    earlier = dice.choice(np.arange(-BEFORE_DAYS, last), size=turns - 1, replace=False)
    days = np.full(most, np.nan)
    days[most - turns :] = [*np.sort(earlier), last]
    return days

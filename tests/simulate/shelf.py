"""A small synthetic shelf, short terms and mornings for the tests of the simulation."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from planner.simulate.catalogue import Catalogue, grid
from planner.simulate.players import learner, players
from planner.simulate.policies import Policy, places_in_work
from planner.simulate.rules import Morning, calendar, granted_weeks, items_a_week
from planner.simulate.term import Log, Outcome, Setting, Term

SMALL = grid(28, 5)
SEEDS = (1001, 1002, 1003)
SHORT = Setting(weeks=6)


def outcome(
    policy: Policy, catalogue: Catalogue = SMALL, seeds: tuple[int, ...] = SEEDS, **changes: Any
) -> Outcome:
    """What comes of a short term."""
    return term(catalogue, seeds, **changes).run(policy)


def term(catalogue: Catalogue = SMALL, seeds: tuple[int, ...] = SEEDS, **changes: Any) -> Term:
    """A short term before its first day."""
    setting = replace(SHORT, **changes)
    return Term(setting, catalogue, seeds, places_in_work(items_a_week(catalogue)))


def morning(day: int = 0, catalogue: Catalogue = SMALL, **changes: Any) -> Morning:
    """A morning of one player, of whom nothing is known yet but what was played before the term."""
    who = players((1001,), catalogue, "mixed")
    log = Log(who, catalogue)
    plain = Morning(
        day=day,
        calendar=calendar(12),
        catalogue=catalogue,
        span_days=7 * granted_weeks(catalogue, places_in_work(items_a_week(catalogue))),
        mean=np.full((1, catalogue.size), -8.0),
        sd=np.full((1, catalogue.size), 4.0),
        last=log.last,
        met_pairs=log.met_pairs,
        dice=np.random.default_rng(day).random((1, catalogue.size)),
        learner=learner("A", who),
    )
    return replace(plain, **changes)

"""How much of an estimate silence has taken away since the last rating. Needs numpy.

Conventions: notches, never below 0. What is forgotten of a combination is what its fresh part was on the day
of its last rating, as known today, less what it is today; of the player's level lately the same since the
last rating of anything of the measure. As in silence.py both only ever fall while nothing is heard.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.need import silence
from planner.need.decompose import Told
from planner.need.levels import Estimates


@dataclass(frozen=True, slots=True)
class Forgotten:
    """Notches that silence has taken: of the combination itself, and of the player's level lately."""

    combination: float
    lately: float

    @property
    def together(self) -> float:
        """Both."""
        return self.combination + self.lately


def forgotten(estimates: Estimates, combination_id: str, articulation: str) -> Forgotten:
    """What silence has taken from one estimate; nothing where nothing was heard."""
    name = combination_id, articulation
    for told in estimates.told:
        if isinstance(told, Told) and name in told.shelf.number:
            return _of(told, told.shelf.number[name], estimates.day.toordinal())
    return Forgotten(0.0, 0.0)


def _of(told: Told, row: int, day: int) -> Forgotten:
    heard = told.heard
    if heard is None:
        return Forgotten(0.0, 0.0)
    until = silence.furthest(heard, day)
    last = int(heard.sites.day.max())
    lately = silence.lately_mean(heard, last) - silence.lately_mean(heard, until)
    own = np.flatnonzero(heard.shelf.rows.combination[heard.sites.row] == heard.shelf.rows.combination[row])
    if not len(own):
        return Forgotten(0.0, max(0.0, lately))
    rated = int(heard.sites.day[own].max())
    fresh = silence.fresh_mean(heard, own, rated) - silence.fresh_mean(heard, own, until)
    return Forgotten(max(0.0, fresh), max(0.0, lately))

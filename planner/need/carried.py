"""What a week carries and what is asked of it, in items: the figures behind the capacity.

Conventions: seconds are whole, means exact fractions; counts of items are turns a week.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

FREE_SHARE = Fraction(1, 4)
"""Of the items of a week nothing is promised to so many."""

SHORTEST_WEEKS, LONGEST_WEEKS = 4, 16
"""Spans that may be granted to what is kept up."""


@dataclass(frozen=True, slots=True)
class Room:
    """Seconds and load for items, what a mean item takes of both, and how many items that makes."""

    seconds: int
    load: Fraction
    item_seconds: Fraction
    item_load: Fraction
    minutes: int
    days: int

    @property
    def by_clock(self) -> int:
        """Items that the seconds carry."""
        return math.floor(self.seconds / self.item_seconds) if self.item_seconds else 0

    @property
    def by_load(self) -> int:
        """Items that the load carries."""
        return max(0, math.floor(self.load / self.item_load)) if self.item_load else 0

    @property
    def items(self) -> int:
        """Items that both carry."""
        return min(self.by_clock, self.by_load)


@dataclass(frozen=True, slots=True)
class Asked:
    """Items a week by what they are for; of each exercise what is kept up, and what its pairs ask for.

    `waiting` new combinations come in over the weeks, `new` of them this week: a quarter of the items at
    most, or a backlog would push the span of everything else to its end.
    """

    waiting: int
    new: int
    in_work: Fraction
    kept_up: Mapping[str, int]
    pairs: Mapping[str, Fraction]

    def kept(self, weeks: int) -> Fraction:
        """Items a week for what is kept up at a span of so many weeks, pairs included."""
        return sum(
            (max(Fraction(count, weeks), self.pairs[e]) for e, count in self.kept_up.items()), Fraction(0)
        )

    def total(self, weeks: int) -> Fraction:
        """All items a week at a span of so many weeks."""
        return self.new + self.in_work + self.kept(weeks)

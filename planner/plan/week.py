"""Everything a week is made from, before it becomes whole numbers."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from planner.inputs.player import Player
from planner.need.capacity import Capacity
from planner.need.days import DayFacts
from planner.need.weigh import Pair, Wish

SMALL_SHELF_DAYS = 3
"""A shelf with fewer combinations than so many days carry is small [assumption]."""


@dataclass(frozen=True, slots=True)
class DayBefore:
    """The day before the first day as the diary has it: load with rehearsals, heavy work, combinations."""

    date: date
    load: Fraction
    heavy: bool
    combinations: frozenset[str]


@dataclass(frozen=True, slots=True)
class Week:
    """Everything the week is made from, before it becomes numbers.

    `missed`: the combinations whose turns were missed, of which nothing may be silently dropped.
    """

    player: Player
    wishes: tuple[Wish, ...]
    pairs: tuple[Pair, ...]
    capacity: Capacity
    days: tuple[DayFacts, ...]
    before: DayBefore
    last_turns: frozenset[tuple[str, date]]
    pins: frozenset[tuple[str, date]]
    seed: int
    promised: tuple[str, ...] = ()
    """Combinations that the term promises a turn this week."""
    missed: frozenset[str] = frozenset()

    @property
    def first_day(self) -> date:
        """The first day."""
        return self.days[0].date

    @property
    def last_day(self) -> date:
        """The last day."""
        return self.days[-1].date

    @property
    def has_small_shelf(self) -> bool:
        """Whether the shelf holds fewer than three days' items: a beginner's does."""
        items_a_day = self.capacity.items_per_week // max(1, self.capacity.practice_days)
        return len(self.wishes) < SMALL_SHELF_DAYS * items_a_day

    def index_of(self, day: date) -> int:
        """A day as its index, which may lie outside the week."""
        return (day - self.first_day).days

"""What the checks share: the plan, what else is known of its player, and days and blocks as groups."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from itertools import groupby
from typing import Any

from checker.breach import Day, Item, Plan
from checker.player import Player, Table


@dataclass(frozen=True)
class Known:
    """A plan of the right shape; the player's file and the exercises where they were given."""

    plan: Plan
    player: Player | None = None
    exercises: Mapping[str, Table] | None = None

    @cached_property
    def days(self) -> list[Day]:
        """The days of the plan."""
        return list(self.plan["days"])

    @cached_property
    def states(self) -> dict[str, Mapping[str, Any]]:
        """What the week wants of each combination, by its id."""
        return {one["combination"]: one for one in self.plan["combinations"]}

    @cached_property
    def practice(self) -> list[int]:
        """Numbers of the days that have free minutes."""
        return [number for number, day in enumerate(self.days) if day["seconds_free"] > 0]

    @cached_property
    def turns(self) -> dict[str, list[int]]:
        """The numbers of the days on which each combination has its turn, in order."""
        found: dict[str, list[int]] = {}
        for number, day in enumerate(self.days):
            for name in dict.fromkeys(item["combination"] for item in played(day)):
                found.setdefault(name, []).append(number)
        return found

    @cached_property
    def items_a_day(self) -> int | None:
        """Items that a day carries on the average of the whole week; None where it cannot be known."""
        count = self.days_of_the_week
        return None if count is None else self.plan["capacity"]["items_per_week"] // max(1, count)

    @property
    def days_of_the_week(self) -> int | None:
        """Practice days from Monday to Sunday, planned or not; None where it cannot be known."""
        if len(self.days) == 7:
            return len(self.practice)
        if self.player is None:
            return None
        first = date.fromisoformat(self.plan["first_day"])
        monday = date.fromordinal(first.toordinal() - first.weekday())
        return self.player.practice_days(monday, date.fromordinal(monday.toordinal() + 6))

    @property
    def small(self) -> bool | None:
        """Whether the shelf is less than three days' items; None where it cannot be known."""
        return None if self.items_a_day is None else len(self.states) < 3 * self.items_a_day


def played(day: Day) -> list[Item]:
    """The items of a day that are combinations."""
    return [item for item in day["items"] if item["combination"]]


def blocks(day: Day) -> list[list[Item]]:
    """Items of a day that stand together under one letter."""
    return [list(group) for _, group in groupby(day["items"], key=lambda item: item["block"])]


def work_blocks(day: Day) -> list[list[Item]]:
    """Those of combinations."""
    return [block for block in blocks(day) if block[0]["combination"]]


def every(plan: Plan) -> Iterator[tuple[Day, Item]]:
    """Every item of a plan with its day."""
    for day in plan["days"]:
        for item in day["items"]:
            yield day, item


def frame_seconds(day: Day) -> int:
    """Seconds of warm-up, warm-down and own music as they stand."""
    return sum(item["seconds"] for item in day["items"] if not item["combination"])

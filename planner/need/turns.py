"""What the diary says about turns: when each combination was last played, and in which articulation.

Conventions: a turn is a rating, rated or not, limited or not; only days before the first day of the week
count. Articulations alternate from one return to the next, in the player's own order.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from planner.diary.rating import Rating
from planner.inputs.curriculum import Articulation
from planner.inputs.player import Player
from planner.need.combinations import Combination

BREAK_DAYS = 7
"""A combination not played for so many days is taken up again a little below its tempo."""


@dataclass(frozen=True, slots=True)
class Turns:
    """The turns of one combination: its ratings in the order in which they were given, at least one."""

    ratings: tuple[Rating, ...]

    @property
    def last(self) -> Rating:
        """The last of them."""
        return self.ratings[-1]


def turns_before(ratings: Iterable[Rating], first_day: date) -> Mapping[str, Turns]:
    """The turns of every combination met before `first_day`."""
    found: dict[str, list[Rating]] = {}
    for rating in sorted(ratings, key=lambda rating: (rating.day, rating.at)):
        if rating.day < first_day:
            found.setdefault(rating.combination, []).append(rating)
    return {combination: Turns(tuple(members)) for combination, members in found.items()}


def articulations_in_turn(
    combination: Combination, turns: Turns | None, player: Player
) -> tuple[Articulation, ...]:
    """The articulations in the order in which the next turns take them, after the one rated last."""
    order = player.articulation_order
    rank = {word: place for place, word in enumerate(order)}
    inside = sorted(combination.articulations, key=lambda word: rank.get(word, len(order)))
    names: list[str] = list(inside)
    last = "" if turns is None else turns.last.articulation
    start = names.index(last) + 1 if last in names else 0
    return tuple(inside[start:] + inside[:start])


def after_a_break(turns: Turns | None, first_day: date) -> bool:
    """Whether the tempo is rounded down: at first contact, or not played for a week and more."""
    return turns is None or (first_day - turns.last.day).days >= BREAK_DAYS

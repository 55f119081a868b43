"""Answers about one player and one day, remembered: a plan asks for the same few days many thousand times."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from functools import wraps
from typing import TypeVar

from planner.inputs.player import Player

T = TypeVar("T")
Question = Callable[[Player, date], T]

PLAYERS = 8
"""How many players are remembered at a time; the one asked for first goes first."""


def remembered(question: Question[T]) -> Question[T]:
    """The same question, asked once for a day of a player.

    Players are told apart by identity, which is cheap; each is kept while its answers are, so that no other
    can take its place in memory. The question must depend on nothing but the player and the day.
    """
    known: dict[int, tuple[Player, dict[date, T]]] = {}

    @wraps(question)
    def asked(player: Player, day: date) -> T:
        found = known.get(id(player))
        if found is None:
            if len(known) >= PLAYERS:
                del known[next(iter(known))]
            found = known[id(player)] = player, {}
        answers = found[1]
        if day not in answers:
            answers[day] = question(player, day)
        return answers[day]

    return asked

"""A curriculum's own dates in the calendar of a player: counted from the Monday of week 1."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from typing import Literal

from planner.inputs.curriculum import Curriculum, TermDate
from planner.inputs.player import Player, SpecialDate

Kind = Literal["free", "short", "concert", "audition"]
KINDS: dict[str, Kind] = {
    "holiday": "free",
    "half week": "free",
    "concert": "concert",
    "assessment": "audition",
}


def in_term(player: Player, curriculum: Curriculum) -> Player:
    """The player with the curriculum's holidays, half weeks, concerts and assessments among the dates."""
    own = [date for one in curriculum.dates for date in _dates(one, player)]
    new = tuple(date for date in own if date not in player.dates)
    return replace(player, dates=(*player.dates, *new)) if new else player


def _dates(one: TermDate, player: Player) -> Iterator[SpecialDate]:
    monday = player.starts + timedelta(weeks=one.week - 1)
    for weekday in one.days:
        day = monday + timedelta(days=weekday)
        yield SpecialDate(KINDS[one.kind], day, day, one.title or one.kind, None)

"""Whose diary a command is about: the player, the day, the folder. The clock is asked here."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from planner.diary.digest import diary_anchor
from planner.diary.plans import load_plan
from planner.diary.told import Telling, tellings
from planner.errors import UsageError
from planner.inputs.dates import monday_of
from planner.inputs.quick import quick_player
from planner.paths import data_folder, find_player

if TYPE_CHECKING:
    from planner.inputs.player import Player


FIRST_YEAR, LAST_YEAR = 2000, 2199
"""Other years are slips of the finger."""


@dataclass(frozen=True, slots=True)
class Desk:
    """One player on one day. `clock` is the day of the clock, `day` the day that is meant."""

    data: Path
    player_file: Path
    player_id: str
    curriculum: str
    day: date
    clock: date

    @property
    def monday(self) -> date:
        """The Monday from which the player's relative dates count: stored, else the plan's, else this one."""
        stored = diary_anchor(self.data, self.player_id)
        if stored is not None:
            return stored
        plan = load_plan(self.data, self.player_id, self.day) or {}
        return date.fromisoformat(plan["anchor"]) if plan.get("anchor") else monday_of(self.day)

    def player(self) -> Player:
        """The whole player file, checked, with what was told beside it."""
        return self.with_told(self.plain_player(), tellings(self.data, self.player_id))

    def plain_player(self) -> Player:
        """The player file as it stands, without what was told beside it."""
        from planner.inputs.read import read_player

        return read_player(self.player_file, self.monday)

    def with_told(self, player: Player, told: tuple[Telling, ...]) -> Player:
        """The player with missed stretches and limits; days with ratings in the diary were not missed."""
        if not told:
            return player
        from planner.diary.history import history
        from planner.diary.told import with_told

        found = history(self.data, player, self.monday, warn=lambda _: None)
        return with_told(player, told, {rating.day for rating in found})


def desk(player: str | None, day: str | None, diary: str | None) -> Desk:
    """The desk that a command's options name; `UsageError` for a wrong date, `NoInput` without a player."""
    data, clock = data_folder(diary), date.today()  # noqa: DTZ011 - a practice day is the wall calendar's
    path = find_player(player, Path.cwd(), data)
    quick = quick_player(path)
    return Desk(data, path, quick.id, quick.curriculum, read_day(day, clock), clock)


def read_day(text: str | None, clock: date) -> date:
    """A day as it is typed, 2026-09-07; without one the clock's."""
    if text is None:
        return clock
    try:
        if len(text) == len("2026-09-07") and FIRST_YEAR <= date.fromisoformat(text).year <= LAST_YEAR:
            return date.fromisoformat(text)
    except ValueError:
        pass
    raise UsageError(f"{text[:40]!r} is no date", "write it like 2026-09-07")

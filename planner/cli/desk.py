"""Whose diary a command is about: the player, the day, the folder. The clock is asked here."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from planner.diary.digest import diary_anchor
from planner.diary.files import safe_name
from planner.diary.plans import load_plan
from planner.diary.told import Telling, tellings
from planner.errors import BadData, Fault, UsageError
from planner.inputs.dates import monday_of
from planner.inputs.quick import quick_player
from planner.inputs.text import file_name
from planner.inputs.whom import Whom, find_whom, words_for_whom
from planner.paths import data_folder, id_inside, names_a_file, of_one_id

if TYPE_CHECKING:
    from planner.inputs.player import Player


FIRST_YEAR, LAST_YEAR = 2000, 2099
"""Other years are slips of the finger; player files allow the same."""

DATE_FORMS = "write it like 2026-09-07, or yesterday, today or tomorrow"
_SHAPE = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)

NEAR_DAYS = {"yesterday": -1, "today": 0, "tomorrow": 1}


@dataclass(frozen=True, slots=True)
class Desk:
    """One player on one day. `clock` is the day of the clock, `day` the day that is meant.

    `pupil` is "" where the file is the player's own, else the id of one of the pupils of the class in it.
    """

    data: Path
    player_file: Path
    player_id: str
    curriculum: str
    day: date
    clock: date
    pupil: str = ""

    @property
    def monday(self) -> date:
        """The Monday from which the player's relative dates count: stored, else the plan's, else this one."""
        stored = diary_anchor(self.data, self.player_id)
        if stored is not None:
            return stored
        plan = load_plan(self.data, self.player_id, self.day) or {}
        return date.fromisoformat(plan["anchor"]) if plan.get("anchor") else monday_of(self.day)

    @property
    def file_stem(self) -> str:
        """How files about this player begin: "anna", of a pupil "first-years-cornets"."""
        return safe_name(self.player_id.replace("/", "-"))

    @property
    def option(self) -> str:
        """The option that names this player again here: " --player anna"; "" where none is needed."""
        import shlex

        text = words_for_whom(Whom(self.player_file, self.pupil), Path.cwd(), self.data)
        return "" if text is None else f" --player {shlex.quote(text)}"

    @property
    def again(self) -> str:
        """The options that name this player and this day again."""
        return self.option + ("" if self.day == self.clock else f" --date {self.day.isoformat()}")

    def player(self) -> Player:
        """The whole player file, checked, with what was told beside it."""
        return self.with_told(self.plain_player(), tellings(self.data, self.player_id))

    def plain_player(self) -> Player:
        """The player file as it stands, without what was told beside it."""
        from planner.inputs.read import read_player

        return read_player(self.player_file, self.monday, self.pupil)

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
    path, pupil = find_whom(player, Path.cwd(), data)
    quick = quick_player(path, pupil)
    found = Desk(data, path, quick.id, quick.curriculum, read_day(day, clock), clock, pupil)
    if pupil or player is None or not names_a_file(player):
        refuse_a_shared_diary(found)
    return found


def refuse_a_shared_diary(place: Desk) -> None:
    """`BadData` where another player file here has the same id: what one plays would count for both.

    A file that is named by its path may be looked at all the same (a copy to try something on); a player who
    is looked for in folders, and whoever is rated, has to be the only one.
    """
    path, player_id = place.player_file, id_inside(place.player_file)[0] if place.pupil else place.player_id
    other = of_one_id(path, player_id, Path.cwd(), place.data)
    if other is not None:
        message = f"the id {player_id} is that of {_short(other)} too: both would write into one diary"
        fault = Fault(file_name(path), id_inside(path)[1], 1, message, "give one of them another id")
        raise BadData((fault,))


def _short(path: Path) -> str:
    """A path from the folder one is in, where it lies there."""
    try:
        return file_name(path.relative_to(Path.cwd()))
    except ValueError:
        return file_name(path)


def read_monday(text: str | None, clock: date) -> date | None:
    """The Monday that is typed, None without one; `UsageError` for another day."""
    found = read_day(text, clock) if text else None
    if found is not None and found != monday_of(found):
        raise UsageError(f"{found} is no Monday", f"the Monday of that week is {monday_of(found)}")
    return found


def read_day(text: str | None, clock: date) -> date:
    """A day as it is typed, 2026-09-07, or yesterday, today or tomorrow; without one the clock's."""
    if text is None:
        return clock
    if text.lower() in NEAR_DAYS:
        return clock + timedelta(days=NEAR_DAYS[text.lower()])
    try:
        found = date.fromisoformat(text) if len(text) == len("2026-09-07") else None
    except ValueError:
        found = None
    if found is None and _SHAPE.fullmatch(text):
        raise UsageError(f"{text} is not in the calendar", "look at its month and day")
    if found is None:
        raise UsageError(f"{text[:40]!r} is no date", DATE_FORMS)
    if not FIRST_YEAR <= found.year <= LAST_YEAR:
        raise UsageError(f"{found} lies outside the years {FIRST_YEAR} to {LAST_YEAR}", "look at its year")
    return found

"""What a player's own TOML file says about the days of a plan, and a curriculum's about its exercises.

Read with tomllib alone, as README.md describes the files. Nothing is checked here: a file that the
program took is taken.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import Any

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
RELATIVE = re.compile(r"(?:in (\d+) (day|week)s?|(\d+) (day|week)s? ago|this week)")
BOLDNESS = {"careful": 0.92, "usual": 0.84, "bold": 0.75}
Table = Mapping[str, Any]


def day_of(value: Any, anchor: date) -> date:
    """A date of a player file: itself, ISO text, or words counted from the Monday planned."""
    if isinstance(value, date):
        return value
    found = RELATIVE.fullmatch(str(value))
    if not found:
        return date.fromisoformat(str(value))
    ahead, ahead_unit, ago, ago_unit = found.groups()
    count = int(ahead or 0) - int(ago or 0)
    return anchor + timedelta(days=count * (7 if "week" in (ahead_unit, ago_unit) else 1))


@dataclass(frozen=True, slots=True)
class Player:
    """A player file and the Monday from which its relative dates count."""

    table: Table
    anchor: date

    def number(self, name: str, usual: float) -> float:
        """A number of the file, else the usual one of README.md."""
        return float(self.table.get(name, usual))

    @property
    def starts(self) -> date:
        """The Monday of the curriculum's first week."""
        return day_of(self.table["starts"], self.anchor)

    @property
    def boldness(self) -> float:
        """How likely today's tempo is to come out clean."""
        said = self.table.get("boldness", "usual")
        return BOLDNESS[said] if isinstance(said, str) else float(said)

    def special(self, day: date, *kinds: str) -> Iterator[Table]:
        """The special dates of these kinds that a day is."""
        for one in self.table.get("date", ()):
            first = day_of(one.get("from", one.get("date")), self.anchor)
            last = day_of(one.get("to", one.get("date")), self.anchor)
            if one["kind"] in kinds and first <= day <= last:
                yield one

    def limits(self, day: date) -> Iterator[Table]:
        """The limits that hold on a day."""
        for one in self.table.get("limit", ()):
            first = day_of(one["from"], self.anchor) if "from" in one else date.min
            if first <= day <= day_of(one["until"], self.anchor):
                yield one

    def minutes(self, day: date) -> int:
        """Free minutes of a day: its weekday's, a special date's, at most what a limit allows."""
        if next(self.special(day, "free"), None):
            return 0
        found = int(self.table["minutes"].get(WEEKDAYS[day.weekday()], 0))
        for one in self.special(day, "short"):
            found = int(one["minutes"])
        return min([found, *(int(one["minutes"]) for one in self.limits(day) if "minutes" in one)])

    def practice_days(self, first: date, last: date) -> int:
        """Days with free minutes from one day to another, both counted."""
        days = range((last - first).days + 1)
        return sum(self.minutes(first + timedelta(days=number)) > 0 for number in days)

    def playing_load(self, day: date) -> float:
        """Load of the rehearsals of a day: minutes x share on the lip x intensity; none on a free date."""
        if next(self.special(day, "free"), None):
            return 0.0
        return sum(
            float(one["minutes"] * one.get("on_the_lip", 0.55) * one.get("intensity", 3))
            for one in self.table.get("playing", ())
            if WEEKDAYS[day.weekday()] in one["days"]
        )

    def from_concert(self, day: date) -> set[int]:
        """How many days a day lies from each concert or audition near it, -2 to 1."""
        near = range(-2, 2)
        return {
            at for at in near if next(self.special(day - timedelta(days=at), "concert", "audition"), None)
        }

    def load_limit(self, day: date) -> float:
        """Most load of a day, rehearsals counted."""
        limit = self.number("load_per_minute", 1.25) * self.minutes(day)
        if self.from_concert(day) & {-1, 1} or any(self.special(day, "audition")):
            limit *= 0.6  # the day of an audition itself as well; the day of a concert has its whole limit
        playing = self.playing_load(day)
        return limit * (0.55 if playing else 1) + playing

    def music(self, day: date) -> Iterator[tuple[str, Table]]:
        """Own music that may stand on a day, by its id: on its weekdays, until its last day."""
        for one in self.table.get("music", ()):
            weekdays = one.get("days") or WEEKDAYS
            if "until" in one and day > day_of(one["until"], self.anchor):
                continue
            if WEEKDAYS[day.weekday()] in weekdays:
                name = one.get("id") or "-".join(re.findall("[a-z0-9]+", one["title"].lower()))
                yield name, one

    def without(self, day: date) -> set[str]:
        """Families that limits leave out on a day."""
        return {family for one in self.limits(day) for family in one.get("without", ())}


def read_player(path: Path, anchor: date) -> Player:
    """The player of a TOML file."""
    return Player(tomllib.loads(path.read_text(encoding="utf-8")), anchor)


def read_exercises(path: Path) -> dict[str, Table]:
    """The exercises of a curriculum file by their ids."""
    return {one["id"]: one for one in tomllib.loads(path.read_text(encoding="utf-8"))["exercise"]}

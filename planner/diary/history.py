"""What happened, from wherever it is written: the diary, or the player's own file of earlier ratings.

A player file may name a CSV of earlier ratings. They count as long as the diary holds nothing for the
player; with the first own ratings they move into the diary, and from then on the diary alone counts.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from planner.diary.exchange import from_text, read_file
from planner.diary.files import DIARY_FILE
from planner.diary.rating import Rating
from planner.diary.rows import order

if TYPE_CHECKING:
    from planner.inputs.player import Player

Say = Callable[[str], object]


def to_stderr(line: str) -> None:
    """A warning for the user, on standard error."""
    sys.stderr.write(line + "\n")


def read_history(path: Path, monday: date) -> tuple[Rating, ...]:
    """A CSV of earlier ratings: day,combination,articulation,tempo,clean,grade,value.

    A day is a date or a whole number of days counted from `monday` (-12 lies twelve days before it).
    The last of several for one day, combination and articulation holds. `BadData` with every fault.
    """
    found = from_text(read_file(path), str(path), monday=monday)
    last = {(rating.day, rating.combination, rating.articulation): rating for rating in found}
    return tuple(sorted(last.values(), key=order))


def history(folder: Path, player: Player, monday: date, warn: Say = to_stderr) -> tuple[Rating, ...]:
    """What holds for a player: the diary if it has anything, else the player's file of earlier ratings.

    `monday` is the player's anchor where one is stored, else the Monday of the week planned. Damaged
    rows are left out and named through `warn`. Raises `DiaryTrouble`, `Busy`, `BadData` or `NoInput`.
    """
    kept: tuple[Rating, ...] = ()
    if (folder / DIARY_FILE).exists():
        from planner.diary.store import Diary

        with Diary.open(folder) as diary:
            kept = diary.ratings(player.id)
        for line in diary.damaged:
            warn(line)
    return kept or _earlier(player, monday)


def record(
    folder: Path,
    player: Player,
    ratings: Sequence[Rating],
    source: str,
    *,
    monday: date,
    today: date,
    whole: bool = False,
    warn: Say = to_stderr,
) -> int:
    """Stores ratings of a player as one batch and returns its number, 0 where there are none.

    With the first batch the player's file of earlier ratings moves in, unless the ratings are a `whole`
    diary already, and `monday` is kept as the Monday from which relative dates count. `today` is the
    day of the clock, for the daily copy.
    """
    from planner.diary.store import Diary

    with Diary.open(folder, today) as diary:
        first = not diary.ratings(player.id)
        earlier = _earlier(player, monday) if first and not whole else ()
        batch = diary.add(player.id, ratings, source, earlier=earlier, anchor=monday)
    for line in (*diary.damaged, *diary.warnings):
        warn(line)
    return batch


def _earlier(player: Player, monday: date) -> tuple[Rating, ...]:
    return read_history(Path(player.history), monday) if player.history else ()

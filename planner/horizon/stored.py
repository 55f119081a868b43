"""Whether a stored plan still stands: its files, its ratings, the program. Standard library only.

This is the short road of `planner today`: nothing is planned again while nothing has changed.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from datetime import date
from pathlib import Path
from typing import Any

from planner import __version__
from planner.diary.digest import diary_digest
from planner.diary.pins import Pin, pin_of
from planner.errors import NoInput

FILE_WORDS = {"ratings": "earlier-ratings", "missed": "missed-days"}
OTHER_RATINGS = "other ratings"
NO_RATINGS = hashlib.sha256().hexdigest()


def input_digests(files: Mapping[str, Path]) -> tuple[dict[str, str], ...]:
    """Name and SHA-256 of every file a plan is made from, in the order given."""
    return tuple({"name": name, "sha256": _digest(path)} for name, path in files.items())


def _digest(path: Path) -> str:
    try:
        return hashlib.sha256(path.read_bytes()).hexdigest()
    except OSError as error:
        raise NoInput(f"{path.name} cannot be read: {error.strerror}") from error


def what_changed(
    plan: Mapping[str, Any],
    files: Mapping[str, Path],
    data: Path,
    player_id: str,
    day: date,
    anchor: date,
    pins: Iterable[Pin] = (),
) -> tuple[str, ...]:
    """Why `plan` is not what would be made again for `day`, in words; () for one that holds.

    Files, program, anchor, earlier ratings count, and the pins from that day on: the past stays.
    """
    was = {entry["name"]: entry["sha256"] for entry in plan["inputs"]}
    now = {entry["name"]: entry["sha256"] for entry in input_digests(files)}
    edited = [name for name in {**was, **now} if was.get(name) != now.get(name)]
    causes = (
        (plan["made_with"]["planner"] != __version__, "another version of the program"),
        (plan["anchor"] != anchor.isoformat(), "dates that count from another Monday"),
        *((True, f"an edited {FILE_WORDS.get(name, name)} file") for name in edited),
        (not _same_pins(plan, day, pins), "other pins"),
        (not _same_ratings(plan, diary_digest(data, player_id, before=day)), OTHER_RATINGS),
    )
    return tuple(words for holds, words in causes if holds)


def _same_pins(plan: Mapping[str, Any], day: date, pins: Iterable[Pin]) -> bool:
    last = date.fromisoformat(plan["last_day"])
    planned = {pin_of(entry) for entry in plan["pins"]}
    return {pin for pin in planned if pin.day >= day} == {pin for pin in pins if day <= pin.day <= last}


def _same_ratings(plan: Mapping[str, Any], digest: str) -> bool:
    """An empty diary is also what a plan from a file of earlier ratings was made beside."""
    beside_an_empty_diary = digest == NO_RATINGS and plan["ratings_from"] != "diary"
    return bool(plan["diary_digest"] == digest or beside_an_empty_diary)

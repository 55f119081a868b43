"""The routine of a day as it was printed: the letters on the paper go on meaning what stands there.

    <folder>/plans/<player>/printed_2026-09-09.json     the routine printed last for that day

A plan may change after a sheet was printed. Who rates that day afterwards reads the letters off the paper, so
these are looked for here first. Standard library only.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Any

from planner.diary.files import safe_name, write_whole
from planner.diary.sealed import content_of, sealed_text

MEANT = ("id", "combination", "articulation", "tempo", "target")
"""What a letter stands for: routines that agree in these are one routine for whoever rates."""


def save_printed(folder: Path, player_id: str, routine_json: Mapping[str, Any]) -> None:
    """Keeps the routine of a day (one of a plan's days) as it was printed. Raises `CannotWrite`."""
    day = date.fromisoformat(routine_json["date"])
    write_whole(_file(folder, player_id, day), sealed_text(routine_json))


def load_printed(folder: Path, player_id: str, day: date) -> dict[str, Any] | None:
    """The routine of a day as it was printed last, None where it was not printed or is damaged."""
    found = content_of(_file(folder, player_id, day))
    return found if found is not None and isinstance(found.get("items"), list) else None


def drop_printed(folder: Path, player_id: str, day: date) -> None:
    """Forgets that a day was printed: another routine is what is played on it."""
    _file(folder, player_id, day).unlink(missing_ok=True)


def same_letters(one: Mapping[str, Any], other: Mapping[str, Any]) -> bool:
    """Whether the letters of two routines stand for the same things at the same tempos."""
    return _letters(one) == _letters(other)


def _letters(routine: Mapping[str, Any]) -> list[tuple[Any, ...]]:
    return [tuple(item.get(name) for name in MEANT) for item in routine["items"]]


def _file(folder: Path, player_id: str, day: date) -> Path:
    return folder / "plans" / safe_name(player_id) / f"printed_{day.isoformat()}.json"

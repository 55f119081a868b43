"""The shelf with its last turns, for the coverage views."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from planner.diary.history import history
from planner.inputs.goals import read_curriculum_for
from planner.inputs.player import Player
from planner.need.combinations import Combination, scope


@dataclass(frozen=True, slots=True)
class Shelved:
    """One combination in scope: where it is played, what its notes touch, when it was last met."""

    combination: str
    exercise: str
    keys: tuple[str, ...]
    positions: tuple[int, ...]
    touched: tuple[tuple[str, int], ...]
    last_met: date | None


def covered(
    data: Path, player: Player, curriculum_file: Path, monday: date, day: date
) -> tuple[Shelved, ...]:
    """Every playable combination as the coverage views want it; ratings up to and with `day` count."""
    shelf = scope(read_curriculum_for(curriculum_file, player), player, day)
    met: dict[str, date] = {}
    for rating in history(data, player, monday):
        if rating.day <= day:
            met[rating.combination] = rating.day
    return tuple(_shelved(combination, met) for combination in shelf.playable)


def _shelved(combination: Combination, met: Mapping[str, date]) -> Shelved:
    touched = {
        (passage.key.name, note.position): None
        for passage in combination.passages
        for note in passage.notes
        if note.position is not None
    }
    return Shelved(
        combination=combination.id,
        exercise=combination.exercise.title,
        keys=tuple(dict.fromkeys(key.name for key in combination.keys)),
        positions=combination.positions,
        touched=tuple((key, position) for key, position in touched if position is not None),
        last_met=met.get(combination.id),
    )


def coverage_json(plan: Mapping[str, Any], shelf: Sequence[Shelved]) -> dict[str, Any]:
    """Coverage as plain JSON values: the plan's account and, for every combination, its turns."""
    planned: dict[str, list[str]] = {}
    for day in plan["days"]:
        for item in day["items"]:
            if item["combination"] and item["go"] == 1:
                planned.setdefault(item["combination"], []).append(day["date"])
    return {
        "format": "planner.coverage/1",
        "player": plan["player"],
        "first_day": plan["first_day"],
        "last_day": plan["last_day"],
        "coverage": plan["coverage"],
        "combinations": [
            {
                "combination": one.combination,
                "keys": list(one.keys),
                "positions": list(one.positions),
                "touched": [[key, position] for key, position in one.touched],
                "last_met": one.last_met.isoformat() if one.last_met else None,
                "planned": planned.get(one.combination, []),
            }
            for one in shelf
        ],
    }

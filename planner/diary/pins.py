"""Pins: what a player fixed on a day. One file a player, written whole or not at all.

    <folder>/pins/<player>.json

The file holds every step in the order in which it was taken, pinned or taken away; a step that is undone is
marked and stays. `after_batch` of a step is the last batch of ratings that stood in the diary when it was
taken, so that `undo` knows which of the two came last. A damaged file is named and counts as holding no
pins; before it is written again it is put aside. Standard library only: `planner today` reads it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from planner.diary.files import safe_name, write_whole
from planner.diary.sealed import content_of, sealed_text
from planner.errors import CannotWrite

Say = Callable[[str], object]


@dataclass(frozen=True, slots=True, order=True)
class Pin:
    """One combination on one day."""

    day: date
    combination: str

    def to_json(self) -> dict[str, str]:
        """The pin as it stands in a plan."""
        return {"date": self.day.isoformat(), "combination": self.combination}

    def words(self) -> str:
        """The pin in a line: "clock-stairs/b/3-4-5 on 2026-09-09"."""
        return f"{self.combination} on {self.day.isoformat()}"


def pin_of(entry: Mapping[str, str]) -> Pin:
    """The pin that an entry of a plan or of the file says."""
    return Pin(date.fromisoformat(entry["date"]), entry["combination"])


def pins(folder: Path, player_id: str, warn: Say | None = None) -> tuple[Pin, ...]:
    """The pins that stand for a player, by day; a damaged file is named through `warn` and holds none."""
    standing: set[Pin] = set()
    for step in _steps(folder, player_id, warn):
        if not step["undone"]:
            standing |= {pin_of(entry) for entry in step["pinned"]}
            standing -= {pin_of(entry) for entry in step["taken_away"]}
    return tuple(sorted(standing))


def change_pins(
    folder: Path,
    player_id: str,
    *,
    pinned: Iterable[Pin] = (),
    taken_away: Iterable[Pin] = (),
    after_batch: int = 0,
) -> None:
    """Takes one step: pins set, taken away, or both. Raises `CannotWrite`, and nothing is changed then."""
    step = {
        "pinned": [pin.to_json() for pin in pinned],
        "taken_away": [pin.to_json() for pin in taken_away],
        "after_batch": after_batch,
        "undone": False,
    }
    _write(folder, player_id, [*_steps(folder, player_id, None), step])


def last_step(folder: Path, player_id: str) -> int:
    """The place of the last step that is not undone, from 1; 0 where there is none."""
    steps = _steps(folder, player_id, None)
    return max((number for number, step in enumerate(steps, start=1) if not step["undone"]), default=0)


def undo_pins(folder: Path, player_id: str, last_batch: int) -> str:
    """Takes back the last step where it came after the batch `last_batch`, and says what it was.

    "" where there is none, or where ratings were written later than it.
    """
    steps = _steps(folder, player_id, None)
    live = [step for step in steps if not step["undone"]]
    if not live or live[-1]["after_batch"] < last_batch:
        return ""
    live[-1]["undone"] = True
    _write(folder, player_id, steps)
    return _described(live[-1])


def _described(step: Mapping[str, Any]) -> str:
    """What a step did: "the pin of clock-stairs/b/3-4-5 on 2026-09-09"."""
    set_, gone = ([pin_of(entry).words() for entry in step[name]] for name in ("pinned", "taken_away"))
    said = [f"the pin of {', '.join(set_)}"] if set_ else []
    return " and ".join([*said, *([f"the unpinning of {', '.join(gone)}"] if gone else [])])


def pins_file(folder: Path, player_id: str) -> Path:
    """Where the pins of a player are."""
    return folder / "pins" / f"{safe_name(player_id)}.json"


def _steps(folder: Path, player_id: str, warn: Say | None) -> list[dict[str, Any]]:
    path = pins_file(folder, player_id)
    steps = (content_of(path) or {}).get("steps")
    if isinstance(steps, list):
        return steps
    if warn is not None and path.exists():
        warn(f"the pins in {path} are damaged and left out (pin again what should stay)")
    return []


def _write(folder: Path, player_id: str, steps: list[dict[str, Any]]) -> None:
    path = pins_file(folder, player_id)
    if path.exists() and content_of(path) is None:
        _put_aside(path)
    write_whole(path, sealed_text({"steps": steps}))


def _put_aside(path: Path) -> None:
    """A damaged file keeps its content under another name."""
    number = 1
    while (place := path.with_name(f"{path.stem}-{number}.damaged")).exists():
        number += 1
    try:
        path.rename(place)
    except OSError as trouble:
        raise CannotWrite(f"{path} cannot be put aside: {trouble.strerror}") from trouble

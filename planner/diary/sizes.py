"""Sizes fitted to a player's own ratings, as far as the player has taken them: one file beside the diary.

    <folder>/sizes/<player>.json

Written whole or not at all, with a checksum over its content. Every step is kept, the last one holds; None
stands for the usual sizes. What the sizes mean is need/parts.py's part. Standard library only.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from datetime import date
from pathlib import Path

from planner.diary.files import safe_name, write_whole
from planner.diary.sealed import content_of, sealed_text
from planner.errors import DiaryTrouble

FORMAT = "planner.sizes/1"


@dataclass(frozen=True, slots=True)
class Step:
    """Sizes taken on a day (ISO), fitted to so many ratings; `after` marks what was written by then."""

    day: str
    after: str
    ratings: int
    sizes: Mapping[str, float] | None


def sizes_file(folder: Path, player_id: str) -> Path:
    """Where the sizes of a player stand; there need not be such a file."""
    return folder / "sizes" / f"{safe_name(player_id)}.json"


def taken_sizes(folder: Path, player_id: str) -> Mapping[str, float] | None:
    """The sizes that hold for a player, None for the usual ones; `DiaryTrouble` where the file is damaged."""
    steps = _steps(folder, player_id)
    return steps[-1].sizes if steps else None


def steps_taken(folder: Path, player_id: str) -> int:
    """How many steps stand; 0 where there is no file or a damaged one."""
    try:
        return len(_steps(folder, player_id))
    except DiaryTrouble:
        return 0


def take_sizes(
    folder: Path, player_id: str, sizes: Mapping[str, float] | None, *, day: date, after: str, ratings: int
) -> None:
    """From now on these sizes hold, None: the usual ones. Replaces a damaged file. Raises `CannotWrite`."""
    try:
        steps = _steps(folder, player_id)
    except DiaryTrouble:
        steps = ()
    _write(folder, player_id, (*steps, Step(day.isoformat(), after, ratings, sizes)))


def take_back(folder: Path, player_id: str, after: str) -> str:
    """Takes back the last step and says what it was; "" where there is none or the diary changed since."""
    try:
        steps = _steps(folder, player_id)
    except DiaryTrouble:
        return ""
    if not steps or steps[-1].after != after:
        return ""
    _write(folder, player_id, steps[:-1])
    last = steps[-1]
    if last.sizes is None:
        return f"the usual sizes of {last.day}"
    return f"the sizes fitted to {last.ratings} ratings on {last.day}"


def _write(folder: Path, player_id: str, steps: tuple[Step, ...]) -> None:
    content = {"format": FORMAT, "player": player_id, "steps": [asdict(step) for step in steps]}
    write_whole(sizes_file(folder, player_id), sealed_text(content))


def _steps(folder: Path, player_id: str) -> tuple[Step, ...]:
    path = sizes_file(folder, player_id)
    try:
        path.stat()
    except (FileNotFoundError, NotADirectoryError):
        return ()
    except OSError as trouble:
        raise _damaged(path) from trouble
    content = content_of(path)
    if content is None or content.get("format") != FORMAT:
        raise _damaged(path)
    return tuple(Step(**step) for step in content["steps"])


def _damaged(path: Path) -> DiaryTrouble:
    return DiaryTrouble(
        f"the fitted sizes in {path} are damaged and left out",
        "planner refit --default puts the usual ones back",
    )

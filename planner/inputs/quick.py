"""The little of a player file that showing a stored routine needs, read by the standard parser alone.

`planner today` comes through here when the week is already planned: no pydantic, no brass, a few
milliseconds. The file was checked in full when the week was planned.
"""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from planner.errors import BadData, Fault
from planner.inputs.text import file_name, load_table, read_text


class QuickPlayer(NamedTuple):
    """Id, the curriculum's id or path as written, the path of the file of earlier ratings or ""."""

    id: str
    curriculum: str
    history: str


def quick_player(path: Path) -> QuickPlayer:
    """The three words of a player file; `NoInput` or `BadData` where they cannot be had."""
    file = file_name(path)
    table = load_table(read_text(path), file)
    words = {word: table.get(word, "") for word in ("id", "curriculum", "ratings")}
    wrong = [word for word, value in words.items() if not isinstance(value, str)]
    wrong += [word for word in ("id", "curriculum") if word not in table]
    if wrong:
        hint = "planner check says more"
        raise BadData(tuple(Fault(file, 1, 1, f"'{word}' is missing or no text", hint) for word in wrong))
    ratings = str(words["ratings"])
    return QuickPlayer(
        str(words["id"]), str(words["curriculum"]), str(path.parent / ratings) if ratings else ""
    )

"""The little of a player file that showing a stored routine needs, read by the standard parser alone.

`planner today` comes through here when the week is already planned: no pydantic, no brass, a few
milliseconds. The file was checked in full when the week was planned.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import NamedTuple

from planner.errors import BadData, Fault, NoInput
from planner.inputs.text import file_name, load_table, read_text, shown


class QuickPlayer(NamedTuple):
    """Id, the curriculum's id or path as written, the path of the file of earlier ratings or ""."""

    id: str
    curriculum: str
    history: str


def quick_player(path: Path, pupil: str = "") -> QuickPlayer:
    """The three words of a player file, or of a pupil of a class; `NoInput` or `BadData` without them."""
    file = file_name(path)
    table = table_of(path, pupil)
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


def table_of(path: Path, pupil: str = "") -> Mapping[str, object]:
    """The table of a player file; of a class profile what a pupil's own file would say."""
    table = load_table(read_text(path), file_name(path))
    if not pupil:
        return table
    rows = table.get("pupil")
    for row in rows if isinstance(rows, list) else ():
        if isinstance(row, dict) and row.get("id") == pupil:
            return as_pupil(table, row)
    raise NoInput(f"{file_name(path)} has no pupil {shown(pupil)}")


def as_pupil(table: Mapping[str, object], row: Mapping[str, object]) -> dict[str, object]:
    """What a pupil's own file would say: the words of the class, and over them the pupil's.

    The id names the class as well, so that two classes may both have "cornets". A pupil without a name is
    called after both. Range and known notes say the same thing: the pupil's own one stands.
    """
    shared = {word: value for word, value in table.items() if word != "pupil"}
    for word, instead in (("range", "known_notes"), ("known_notes", "range")):
        if instead in row:
            shared.pop(word, None)
    merged = {**shared, **row, "id": pupil_id(table.get("id", ""), row.get("id", ""))}
    if "name" not in row and isinstance(shared.get("name"), str):
        merged["name"] = f"{shared['name']}, {row.get('id', '')}"
    return merged


def pupil_id(class_id: object, pupil: object) -> str:
    """Under which id a pupil's diary stands: "first-years/cornets"."""
    return f"{class_id}/{pupil}"

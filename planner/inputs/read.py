"""The door for everything people write: curriculum and player files, read, checked, as frozen types.

Every reader either returns a faultless value or raises `NoInput` (the file cannot be opened) or `BadData`
with all its faults in the order of the file, each with line and column.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Literal, TypeVar

from planner.errors import BadData
from planner.inputs.text import file_name, load_table, read_text

if TYPE_CHECKING:
    from planner.inputs.curriculum import Curriculum
    from planner.inputs.findings import Found
    from planner.inputs.player import Player

Value = TypeVar("Value")


def read_curriculum(path: Path) -> Curriculum:
    """The curriculum in a file."""
    return curriculum_from(read_text(path), file_name(path))


def read_player(path: Path, monday: date, pupil: str = "") -> Player:
    """The player in a file, or a pupil of a class; relative dates count from `monday` of the week planned."""
    if pupil:
        from planner.inputs.class_file import read_pupil

        return read_pupil(path, pupil, monday)
    return player_from(read_text(path), file_name(path), path.parent, monday)


def kind_of(path: Path) -> Literal["curriculum", "class", "player"]:
    """What a file is by its content: a curriculum has exercises, a class pupils, all else is a player."""
    return kind_of_table(load_table(read_text(path), file_name(path)))


def kind_of_table(table: Mapping[str, object]) -> Literal["curriculum", "class", "player"]:
    """The same of a table already read; a curriculum may have [curriculum] and no exercise yet."""
    if "exercise" in table or isinstance(table.get("curriculum"), dict):
        return "curriculum"
    return "class" if "pupil" in table else "player"


def curriculum_from(text: str, file: str) -> Curriculum:
    """The curriculum in a text; `file` is how messages name it."""
    from planner.inputs.curriculum_file import curriculum_of
    from planner.inputs.findings import Found

    table = load_table(text, file)
    found = Found()
    return _faultless(curriculum_of(table, found), found, text, file)


def player_from(text: str, file: str, folder: Path, monday: date) -> Player:
    """The player in a text; paths in it lead from `folder`."""
    from planner.inputs.findings import Found
    from planner.inputs.player_file import player_of

    table = load_table(text, file)
    found = Found()
    return _faultless(player_of(table, folder, monday, found), found, text, file)


def _faultless(value: Value | None, found: Found, text: str, file: str) -> Value:
    from planner.inputs.findings import faults

    if found.findings or value is None:
        raise BadData(faults(found.findings, text, file))
    return value

"""Whom a word behind --player means: a player with a file of their own, or a pupil of a class.

A pupil is named class/pupil: the class by its id or its file, `first-years/cornets` or
`players/first-years.toml/cornets`; by the pupil's id alone where one class only has it. This is the one place
that knows: a command asks `find_whom` and plans for what it finds.
Standard library only: the fast start of `planner today` comes through here.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

from planner.errors import BadData, NoInput
from planner.inputs.text import file_name, load_table, plain, read_text
from planner.paths import (
    classes_in,
    find_player,
    id_inside,
    is_class,
    known,
    players_in,
    same_file,
    words_for,
)


class Whom(NamedTuple):
    """A player file, or a class profile and the id of one of its pupils ("" for a player)."""

    file: Path
    pupil: str


def find_whom(text: str | None, cwd: Path, data: Path) -> Whom:
    """The player or pupil that a word names, without a word the only player here.

    `NoInput` with the pupils of a class where it is named without one, and as `paths.find_player`.
    """
    if text is not None and not _is_there(cwd / text):
        head, _, tail = text.rpartition("/")
        path = _class_named(head, cwd, data) if head else None
        if path is not None:
            return _pupil_of(path, tail, cwd)
    try:
        path = find_player(text, cwd, data)
    except NoInput as trouble:
        return _only_pupil(text, cwd, data, trouble)
    if is_class(path):
        raise _without_a_pupil(path, cwd)
    return Whom(path, "")


def all_named(text: str, cwd: Path, data: Path) -> tuple[str, ...]:
    """The words for everybody a word names: each pupil of a class, else the word itself."""
    path = _class_named(text, cwd, data)
    return (text,) if path is None else tuple(f"{text}/{pupil}" for pupil in pupils_of(path))


def find_class(text: str, cwd: Path, data: Path) -> Path:
    """The class profile that a word names: a file, or an id as with players; else `NoInput`."""
    path = _class_named(text, cwd, data)
    if path is not None:
        return path
    if _is_there(cwd / text):
        return cwd / text  # its faults say that it is no class
    names = [one.stem for one in _classes(cwd, data)]
    raise NoInput(f"there is no class {plain(text, 80)}", known("classes", names, text))


def words_for_whom(whom: Whom, cwd: Path, data: Path) -> str | None:
    """What leads to this player or pupil behind --player; None where a command finds them without."""
    if not whom.pupil:
        return words_for(whom.file, id_inside(whom.file)[0], cwd, data)
    for name in (id_inside(whom.file)[0], whom.file.stem):
        path = _class_named(name, cwd, data)
        if path is not None and same_file(path, whom.file):
            return f"{name}/{whom.pupil}"
    return f"{_short(whom.file, cwd)}/{whom.pupil}"


def pupils_of(path: Path) -> tuple[str, ...]:
    """The ids of the pupils of a class profile, in the order of the file; `BadData` where it is no TOML."""
    rows = load_table(read_text(path), file_name(path)).get("pupil")
    ids = (row.get("id") for row in (rows if isinstance(rows, list) else ()) if isinstance(row, dict))
    return tuple(one for one in ids if isinstance(one, str))


def _pupil_of(path: Path, pupil: str, cwd: Path) -> Whom:
    names = pupils_of(path)
    if pupil not in names:
        raise NoInput(f"{_short(path, cwd)} has no pupil {plain(pupil, 80)}", known("pupils", names, pupil))
    return Whom(path, pupil)


def _class_named(text: str, cwd: Path, data: Path) -> Path | None:
    """A class by the path of its file, with or without its ending, or by its id."""
    for path in (cwd / text, cwd / f"{text}.toml"):
        if text and _is_there(path) and is_class(path):
            return path
    if "/" in text or os.sep in text:
        return None
    classes = _classes(cwd, data)
    named = (path for path in classes if path.stem == text)
    return next(named, None) or next((path for path in classes if id_inside(path)[0] == text), None)


def _classes(cwd: Path, data: Path) -> list[Path]:
    return [path for folder in (cwd, cwd / "players", data / "players") for path in classes_in(folder)]


def _only_pupil(text: str | None, cwd: Path, data: Path, trouble: NoInput) -> Whom:
    """A pupil named without the class, where one class only has such a one; else the trouble, with pupils."""
    classes = _classes(cwd, data)
    for path in classes:
        if text is not None and id_inside(path)[0] == text:
            raise _without_a_pupil(path, cwd) from None
    everybody = [Whom(path, pupil) for path in classes for pupil in _sound_pupils(path)]
    named = [one for one in everybody if one.pupil == text]
    if len(named) == 1:
        return named[0]
    if named:
        raise NoInput(f"several classes have a pupil {text}", f"name one: {_names(named)}") from None
    here = [one for one in everybody if text is None and one.file.parent == cwd]
    if here and not players_in(cwd):
        raise NoInput("a class is here and no player file", f"name a pupil with --player: {_names(here)}")
    if everybody and text is not None:
        trouble.hint += f"; pupils: {_names(everybody)}"
    raise trouble


def _sound_pupils(path: Path) -> Iterator[str]:
    try:
        yield from pupils_of(path)
    except (BadData, NoInput):
        return


def _names(found: Sequence[Whom]) -> str:
    return ", ".join(f"{id_inside(one.file)[0] or one.file.stem}/{one.pupil}" for one in found)


def _without_a_pupil(path: Path, cwd: Path) -> NoInput:
    everybody = [Whom(path, pupil) for pupil in pupils_of(path)]
    hint = f"name a pupil with --player: {_names(everybody)}" if everybody else "it has no [[pupil]] yet"
    return NoInput(f"{_short(path, cwd)} is a class", hint)


def _short(path: Path, cwd: Path) -> str:
    """A path from the folder one is in, where it lies there."""
    return file_name(path.relative_to(cwd) if path.is_relative_to(cwd) else path)


def _is_there(path: Path) -> bool:
    try:
        return path.is_file()
    except (OSError, ValueError):
        return False

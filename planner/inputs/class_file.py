"""A class profile: what a player file says, once for everybody, and for each pupil what differs.

    id = "first-years"
    name = "First years"
    curriculum = "first-year-five-notes"
    starts = 2026-09-07
    level = "beginner"
    minutes = { monday = 15, tuesday = 15, thursday = 15 }

    [[pupil]]
    id = "cornets"
    instrument = "cornet"
    known_notes = ["C4", "D4", "E4", "F4", "G4"]

A pupil may stand for all who play the same instrument at the same level. Every word of a player file may
stand above or in a pupil; what the pupil says counts.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from planner.errors import BadData, NoInput
from planner.inputs.fields import is_id, suggestion
from planner.inputs.findings import Found, faults, tables_of
from planner.inputs.player import Player
from planner.inputs.player_file import player_of
from planner.inputs.quick import as_pupil, pupil_id
from planner.inputs.schema import PlayerTable
from planner.inputs.tables import sound_part
from planner.inputs.text import file_name, load_table, read_text, shown

MOST_PUPILS = 60


@dataclass(frozen=True, slots=True)
class SchoolClass:
    """A class: its id and name, and its pupils as players, in the order of the file."""

    id: str
    name: str
    pupils: tuple[Player, ...]


def read_class(path: Path, monday: date) -> SchoolClass:
    """The class in a file; relative dates count from `monday`. `NoInput`, or `BadData` with every fault."""
    text, file = read_text(path), file_name(path)
    table = load_table(text, file)
    found = Found()
    tables = tables_of("pupil", table.get("pupil"), found.under("pupil"), MOST_PUPILS)
    if not tables:
        found.add((), "a class has at least one [[pupil]]", "a single player has a file of their own")
    _check_head(table, found)
    _check_class(table, found)
    pupils = [_pupil(table, one, place, path.parent, monday, found) for place, one in enumerate(tables)]
    _check_ids(tables, found)
    _once(found, len(tables))
    if found.findings:
        raise BadData(faults(found.findings, text, file))
    words = {word: str(table.get(word, "")) for word in ("id", "name")}
    return SchoolClass(words["id"], words["name"], tuple(one for one in pupils if one is not None))


def read_pupil(path: Path, pupil: str, monday: date) -> Player:
    """One pupil of a class as a player of their own, under the id of class and pupil; errors as above."""
    found = read_class(path, monday)
    for one in found.pupils:
        if one.id == pupil:
            return replace(one, id=pupil_id(found.id, pupil))
    raise NoInput(f"{file_name(path)} has no pupil {shown(pupil)}", known_pupils(found))


def known_pupils(found: SchoolClass) -> str:
    """A hint with the pupils of a class."""
    return f"its pupils: {', '.join(one.id for one in found.pupils)}"


def _pupil(
    table: Mapping[str, object], row: object, place: int, folder: Path, monday: date, found: Found
) -> Player | None:
    """One pupil with the words of the class; faults stand where their word stands."""
    own = row if isinstance(row, Mapping) else {}
    if "id" not in own:
        found.add(("pupil", place), "a pupil has an id", 'for example id = "cornets"')
        return None
    mine = Found(("pupil", place))
    player = player_of({**as_pupil(table, own), "id": own["id"]}, folder, monday, mine)
    for one in mine.findings:
        word = one.loc[2] if len(one.loc) > 2 else ""
        shared = word in table and word not in own
        found.findings.append(replace(one, loc=one.loc[2:]) if shared else one)
    return player


def _check_head(table: Mapping[str, object], found: Found) -> None:
    """Id and name of the class itself, which every pupil may have otherwise, are as those of a player."""
    head = {word: table[word] for word in ("id", "name") if word in table}
    mine = Found()
    sound_part(PlayerTable, head, mine)
    found.findings.extend(one for one in mine.findings if one.loc and one.loc[0] in head)


def _once(found: Found, pupils: int) -> None:
    """A word that every pupil misses is told once, for the class."""
    missing = Counter(one.message for one in found.findings if len(one.loc) == 2)
    for message, number in missing.items():
        if number == pupils > 1:
            found.findings[:] = [one for one in found.findings if one.message != message]
            word = message.removesuffix(" in pupil")
            found.add((), word, "write it above the pupils where it holds for all, else under each [[pupil]]")


def _check_class(table: Mapping[str, object], found: Found) -> None:
    """The class has an id, and no file of earlier ratings: those are one pupil's."""
    word = table.get("id")
    if "id" not in table:
        found.add((), "the class has no id", 'above the pupils, for example id = "first-years"')
    elif isinstance(word, str) and not is_id(word):
        found.add(("id",), f"id {shown(word)} is not made of a-z, 0-9 and single hyphens", suggestion(word))
    if "ratings" in table:
        hint = "take it out here and write it under each [[pupil]] that has one"
        found.add(("ratings",), "earlier ratings are one pupil's, not a class's", hint, word=True)


def _check_ids(tables: object, found: Found) -> None:
    """Every pupil has an id of its own."""
    seen: set[object] = set()
    for place, one in enumerate(tables if isinstance(tables, (list, tuple)) else ()):
        word = one.get("id") if isinstance(one, Mapping) else None
        if isinstance(word, str) and word in seen:
            found.add(("pupil", place, "id"), f"a pupil '{word[:40]}' stands above already")
        seen |= {word} if isinstance(word, str) else set()

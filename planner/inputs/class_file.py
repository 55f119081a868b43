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

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from planner.errors import BadData
from planner.inputs.findings import Finding, Found, faults, tables_of
from planner.inputs.player import Player
from planner.inputs.player_file import player_of
from planner.inputs.schema import PlayerTable
from planner.inputs.tables import sound_part
from planner.inputs.text import file_name, load_table, read_text

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
    shared = {word: value for word, value in table.items() if word != "pupil"}
    pupils = [_pupil(shared, one, place, path.parent, monday, found) for place, one in enumerate(tables)]
    _check_head(table, found)
    _check_ids(tables, found)
    if found.findings:
        raise BadData(faults(found.findings, text, file))
    words = {word: str(table.get(word, "")) for word in ("id", "name")}
    return SchoolClass(words["id"], words["name"], tuple(one for one in pupils if one is not None))


def _pupil(
    shared: Mapping[str, object], table: object, place: int, folder: Path, monday: date, found: Found
) -> Player | None:
    """One pupil with the words of the class; faults stand where their word stands."""
    own = table if isinstance(table, Mapping) else {}
    if not isinstance(table, Mapping) or "id" not in own:
        found.add(("pupil", place), "a pupil has an id", 'for example id = "cornets"')
        return None
    name = own.get("name", shared.get("name", ""))
    mine = Found()
    player = player_of({**shared, **own, "name": name}, folder, monday, mine)
    for one in mine.findings:
        inside = bool(one.loc) and one.loc[0] in own
        loc = ("pupil", place, *one.loc) if inside or not one.loc else one.loc
        found.findings.append(Finding(loc, one.message, one.hint, one.column, one.word))
    return player


def _check_head(table: Mapping[str, object], found: Found) -> None:
    """Id and name of the class itself, which every pupil may have otherwise, are as those of a player."""
    head = {word: table[word] for word in ("id", "name") if word in table}
    mine = Found()
    sound_part(PlayerTable, head, mine)
    found.findings.extend(one for one in mine.findings if one.loc and one.loc[0] in head)


def _check_ids(tables: object, found: Found) -> None:
    """Every pupil has an id of its own."""
    seen: set[object] = set()
    for place, one in enumerate(tables if isinstance(tables, (list, tuple)) else ()):
        word = one.get("id") if isinstance(one, Mapping) else None
        if isinstance(word, str) and word in seen:
            found.add(("pupil", place, "id"), f"a pupil '{word[:40]}' stands above already")
        seen |= {word} if isinstance(word, str) else set()

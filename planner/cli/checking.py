"""What `planner check` reads: a file, and for a player file also the curriculum and the ratings it names."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from planner.errors import BadData, Fault, NoInput
from planner.inputs.text import file_name
from planner.paths import find_curriculum, is_class

if TYPE_CHECKING:
    from planner.inputs.player import Player
    from planner.inputs.quick import QuickPlayer


def lines_about(path: Path, monday: date) -> tuple[str, ...]:
    """One line about each file read, none of them with a fault; BadData with all faults, or NoInput."""
    from planner.inputs.read import kind_of

    if kind_of(path) == "curriculum":
        return (_curriculum(path),)
    if is_class(path):
        return _class(path, monday)
    found: list[str] = []
    faults: list[Fault] = []
    for read in _parts(path, monday):
        try:
            found.append(read())
        except BadData as trouble:
            faults += trouble.faults
    if faults:
        raise BadData(tuple(faults))
    return tuple(found)


class _Part:
    """One of the files: the player's own, or one that it names under a word."""

    def __init__(self, path: Path, monday: date, word: str = "", quick: QuickPlayer | None = None) -> None:
        self.path, self.monday, self.word, self.quick = path, monday, word, quick

    def __call__(self) -> str:
        """A line about it; BadData otherwise. A named file that is not there is a fault where it is named."""
        if self.quick is None:
            return _player(self.path, self.monday)
        try:
            if self.word == "ratings":
                return _ratings(Path(self.quick.history), self.monday)
            return _curriculum(find_curriculum(self.quick.curriculum, self.path))
        except NoInput as trouble:
            raise BadData(_at_the_word(self.path, self.word, trouble)) from trouble


def _parts(path: Path, monday: date) -> Iterator[_Part]:
    from planner.inputs.quick import quick_player

    yield _Part(path, monday)
    try:
        quick = quick_player(path)
    except BadData:
        return  # the faults of the player file say what is missing
    yield _Part(path, monday, "curriculum", quick)
    if quick.history:
        yield _Part(path, monday, "ratings", quick)


def _class(path: Path, monday: date) -> tuple[str, ...]:
    """A class profile with its pupils, then the curricula that they name, each once."""
    from planner.inputs.class_file import read_class

    pupils = read_class(path, monday).pupils
    names = ", ".join(f"{one.id} ({one.instrument})" for one in pupils)
    number = "1 pupil" if len(pupils) == 1 else f"{len(pupils)} pupils"
    lines = [f"{file_name(path)}: a class without a fault: {number}, {names}"]
    for word in dict.fromkeys(one.curriculum for one in pupils):
        try:
            lines.append(_curriculum(find_curriculum(word, path)))
        except NoInput as trouble:
            raise BadData(_at_the_word(path, "curriculum", trouble)) from trouble
    return tuple(lines)


def _at_the_word(path: Path, word: str, trouble: NoInput) -> tuple[Fault, ...]:
    from planner.inputs.findings import Found, faults
    from planner.inputs.text import read_text

    one = Found()
    if word == "ratings":
        one.add((word,), "there is no such file beside this one")
    else:
        one.add((word,), trouble.message, trouble.hint)
    return faults(one.findings, read_text(path), file_name(path))


def _curriculum(path: Path) -> str:
    from planner.inputs.read import read_curriculum

    found = read_curriculum(path)
    exercises = len(found.exercises)
    return f"{file_name(path)}: a curriculum without a fault: {exercises} exercises in {found.weeks} weeks"


def _player(path: Path, monday: date) -> str:
    from planner.inputs.read import read_player

    found: Player = read_player(path, monday)
    days = sum(minutes > 0 for minutes in found.minutes)
    told = f"{found.instrument}, {sum(found.minutes)} minutes on {days} days a week"
    return f"{file_name(path)}: a player without a fault: {told}{_not_begun(path, found.starts, monday)}"


def _not_begun(path: Path, starts: date, monday: date) -> str:
    """A second line where the curriculum begins after this week: a slip in the year is seen at once."""
    from planner.inputs.places import Places
    from planner.inputs.text import read_text
    from planner.show.words import counted, date_in_words

    weeks = (starts - monday).days // 7
    if weeks < 1:
        return ""
    place = Places(read_text(path)).of(("starts",))
    when = f"{date_in_words(starts.isoformat())}, in {counted(weeks, 'week')}"
    told = f"the curriculum begins on {when}; until then there is a warm-up and a warm-down alone"
    return f"\n{file_name(path)}:{place.line}:{place.column}: {told}"


def _ratings(path: Path, monday: date) -> str:
    from planner.diary.history import read_history

    found = read_history(path, monday)
    number = "1 rating" if len(found) == 1 else f"{len(found)} ratings"
    days = len({one.day for one in found})
    when = "1 day" if days == 1 else f"{days} days"
    return f"{file_name(path)}: earlier ratings without a fault: {number} on {when}"

"""What `planner check` reads: a file, and for a player or class also the curricula and ratings it names."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from planner.errors import BadData, Fault, NoInput
from planner.inputs.text import file_name
from planner.paths import find_curriculum
from planner.show.words import counted

if TYPE_CHECKING:
    from planner.inputs.player import Player
    from planner.inputs.quick import QuickPlayer


def lines_about(path: Path, monday: date) -> tuple[str, ...]:
    """One line about each file read, none of them with a fault; BadData with all faults, or NoInput."""
    from planner.inputs.read import kind_of

    kind = kind_of(path)
    if kind == "curriculum":
        return (_curriculum(path),)
    found: list[str] = []
    faults: list[Fault] = []
    for read in _parts_of_class(path, monday) if kind == "class" else _parts(path, monday):
        try:
            found.append(read())
        except BadData as trouble:
            faults += trouble.faults
    if faults:
        raise BadData(tuple(dict.fromkeys(faults)))
    return tuple(dict.fromkeys(found))


class _Part:
    """One of the files: the player's own, or one that it names under a word.

    `pupil` is the number of a pupil of a class, from 0; None where the file is a player's.
    """

    def __init__(
        self,
        path: Path,
        monday: date,
        word: str = "",
        quick: QuickPlayer | None = None,
        pupil: int | None = None,
    ) -> None:
        self.path, self.monday, self.word, self.quick, self.pupil = path, monday, word, quick, pupil

    def __call__(self) -> str:
        """A line about it; BadData otherwise. A named file that is not there is a fault where it is named."""
        if self.quick is None:
            return _player(self.path, self.monday)
        try:
            if self.word == "ratings":
                return _ratings(Path(self.quick.history), self.monday)
            return _curriculum(find_curriculum(self.quick.curriculum, self.path))
        except NoInput as trouble:
            raise BadData(_at_the_word(self.path, self.word, self.pupil, trouble)) from trouble


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


def _parts_of_class(path: Path, monday: date) -> Iterator[Callable[[], str]]:
    """The class itself, then what each pupil names; what several name is told once."""
    from planner.inputs.quick import quick_player
    from planner.inputs.whom import pupils_of

    yield lambda: _class(path, monday)
    for number, pupil in enumerate(pupils_of(path)):
        try:
            quick = quick_player(path, pupil)
        except BadData:
            continue
        yield _Part(path, monday, "curriculum", quick, number)
        if quick.history:
            yield _Part(path, monday, "ratings", quick, number)


def _class(path: Path, monday: date) -> str:
    """A line about the class and one about each pupil."""
    from planner.inputs.class_file import read_class
    from planner.show.warmup import instrument_name

    found = read_class(path, monday)
    lines = [f"{file_name(path)}: a class without a fault: {counted(len(found.pupils), 'pupil')}"]
    for one in found.pupils:
        days = counted(sum(minutes > 0 for minutes in one.minutes), "day")
        told = f"{instrument_name(one.instrument)}, {counted(sum(one.minutes), 'minute')} on {days} a week"
        lines.append(f"   {found.id}/{one.id}: {told}")
    starts = {one.starts for one in found.pupils}
    return "\n".join(lines) + "".join(_not_begun(path, day, monday) for day in sorted(starts))


def _at_the_word(path: Path, word: str, pupil: int | None, trouble: NoInput) -> tuple[Fault, ...]:
    from planner.inputs.findings import Found, faults
    from planner.inputs.text import load_table, read_text

    one = Found()
    loc: tuple[str | int, ...] = (word,)
    rows: Any = load_table(read_text(path), file_name(path)).get("pupil")
    if pupil is not None and word in rows[pupil]:
        loc = ("pupil", pupil, word)
    if word == "ratings":
        one.add(loc, "there is no such file beside this one")
    else:
        one.add(loc, trouble.message, trouble.hint)
    return faults(one.findings, read_text(path), file_name(path))


def _curriculum(path: Path) -> str:
    from planner.inputs.read import read_curriculum

    found = read_curriculum(path)
    holds = f"{counted(len(found.exercises), 'exercise')} in {counted(found.weeks, 'week')}"
    return f"{file_name(path)}: a curriculum without a fault: {holds}"


def _player(path: Path, monday: date) -> str:
    from planner.inputs.read import read_player

    found: Player = read_player(path, monday)
    days = counted(sum(minutes > 0 for minutes in found.minutes), "day")
    told = f"{found.instrument}, {counted(sum(found.minutes), 'minute')} on {days} a week"
    return f"{file_name(path)}: a player without a fault: {told}{_not_begun(path, found.starts, monday)}"


def _not_begun(path: Path, starts: date, monday: date) -> str:
    """A second line where the curriculum begins after this week: a slip in the year is seen at once."""
    from planner.inputs.places import Places
    from planner.inputs.text import read_text
    from planner.show.words import date_in_words

    weeks = (starts - monday).days // 7
    if weeks < 1:
        return ""
    place = Places(read_text(path)).of(("starts",))  # of a class: its own, or the top where it has none
    when = f"{date_in_words(starts.isoformat())}, in {counted(weeks, 'week')}"
    told = f"the curriculum begins on {when}; until then there is a warm-up and a warm-down alone"
    return f"\n{file_name(path)}:{place.line}:{place.column}: {told}"


def _ratings(path: Path, monday: date) -> str:
    from planner.diary.history import read_history

    found = read_history(path, monday)
    number, when = counted(len(found), "rating"), counted(len({one.day for one in found}), "day")
    return f"{file_name(path)}: earlier ratings without a fault: {number} on {when}"

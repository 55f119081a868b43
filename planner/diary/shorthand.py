"""Ratings as people type them: B2=108 C1=3 D=skip, or rolling-fives/a/5-6-7/slurred=4@96.

    left of "="     an item of the routine (B2), a whole block (D), a combination's id, with /articulation
                    behind it where another is meant than the one planned last, or the id of own music
    right of "="    see `values.py`

One wrong word and nothing is stored: all wrong words are named at once, each with its place. Words are
separated by white space, commas or semicolons. Standard library, and the tables of brass/ where needed.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from planner.diary.rating import Rating
from planner.diary.rows import ARTICULATIONS
from planner.diary.text import shown, stripped
from planner.diary.values import (
    OWN_MUSIC,
    Target,
    Value,
    WordError,
    clean_as_marked,
    fault_in,
    rated,
    read_value,
)
from planner.errors import BadData, Fault, UsageError

_WORD = re.compile(r"[^\s=,;]*[ \t]*=[ \t]*[^\s,;]+|[^\s,;]+")
_ITEM = re.compile(r"[A-Z]{1,2}\d{1,2}", re.ASCII)
_BLOCK = re.compile(r"[A-Z]{1,2}", re.ASCII)
_DATE = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)
_LOOKS_LIKE_A_DATE = re.compile(r"\d{1,4}[./-]\d{1,2}[./-]?(?:\d{2,4})?")
_COMMENT = re.compile(r"(^|\s)#.*")


class WordsError(UsageError):
    """Words of a line that are not understood, one line each."""

    def __init__(self, faults: Sequence[str]) -> None:
        super().__init__("; ".join(faults), "nothing was stored")
        self.faults = tuple(faults)

    def lines(self) -> tuple[str, ...]:
        """One line a word, and that nothing was stored."""
        *others, last = self.faults
        return (*others, f"{last} ({self.hint})")


@dataclass(frozen=True, slots=True)
class Sheet:
    """What can be named on one day: the items of its routine and, by `shelf`, any combination by its id.

    `limited`: the day lies inside a limit. `shelf` gives None for an id that is no combination.
    """

    day: date
    targets: tuple[Target, ...]
    shelf: Callable[[str], Target | None]
    limited: bool = False
    example: Callable[[], str] = lambda: "EXERCISE/PATTERN/PLACE=4@96"


@dataclass(frozen=True, slots=True)
class Entry:
    """One word understood: what it names and what was reached there."""

    word: str
    targets: tuple[Target, ...]
    value: Value

    @property
    def left(self) -> str:
        """What stands left of "="."""
        return self.word.partition("=")[0]

    @property
    def is_block(self) -> bool:
        """Whether it names a whole block."""
        return bool(_BLOCK.fullmatch(self.left.upper())) and self.targets[0].block == self.left.upper()


def target_of(item: Mapping[str, Any], name: str = "") -> Target:
    """An item of a plan as something to rate, under its own id or another name."""
    own = item.get("family") == OWN_MUSIC and not item.get("combination")
    measure = str(item["measure"])
    return Target(
        name=name or str(item["id"]),
        block="" if name else str(item["block"]),
        family=str(item["family"]),
        measure=measure,
        combination=f"own-music/{item['exercise']}" if own else str(item["combination"]),
        articulation=str(item["articulation"]),
        tempo=item["tempo"],
        aim=float((item["tempo_goal"] if measure == "band" else item.get("target")) or 0),
        lowest=int(item["lowest"]),
        highest=int(item["highest"]),
        at=int(item["at"]),
    )


def targets_of(items: Iterable[Mapping[str, Any]]) -> tuple[Target, ...]:
    """The items of a day that are played, as something to rate."""
    return tuple(target_of(item) for item in items if item["kind"] == "play")


def read_words(line: str, sheet: Sheet) -> tuple[Entry, ...]:
    """The words of a line, each possible on this day; `WordsError` with every one that is not."""
    entries: list[Entry] = []
    faults: list[str] = []
    for number, (word, _) in enumerate(_words(line), 1):
        try:
            entries.append(_entry(word, sheet))
        except WordError as trouble:
            faults.append(f"word {number}, {shown(word)}: {trouble}")
    faults += [f"{name} stands twice" for name in _named_twice(entries)]
    if faults:
        raise WordsError(faults)
    return tuple(entries)


def ratings_of(entries: Sequence[Entry], sheet: Sheet, *, rest_clean: bool = False) -> tuple[Rating, ...]:
    """The ratings that words stand for; with `rest_clean` every item not named is clean as marked.

    A word for an item goes before one for its block. Of a combination that stands twice in the day, in
    two goes, the rest is rated once.
    """
    chosen: dict[str, tuple[Target, Value]] = {}
    for entry in sorted(entries, key=lambda entry: not entry.is_block):
        chosen |= {target.name: (target, entry.value) for target in entry.targets}
    found = [rated(target, value, sheet.day) for target, value in chosen.values()]
    if rest_clean:
        named = {target.combination for target, _ in chosen.values()}
        rest = {t.combination: t for t in sheet.targets if t.is_rated and t.combination not in named}
        found += [clean_as_marked(target, sheet.day) for target in rest.values()]
    kept = sorted((rating for rating in found if rating is not None), key=lambda rating: rating.at)
    return tuple(replace(rating, limited=sheet.limited) for rating in kept)


@dataclass(frozen=True, slots=True)
class Filled:
    """A paper sheet that was filled in: each word with its day, in order, and the ratings they stand for."""

    lines: tuple[tuple[date, Entry], ...]
    ratings: tuple[Rating, ...]


def read_sheet(text: str, file: str, sheet_for: Callable[[date], Sheet], today: date) -> Filled:
    """A whole paper sheet: one rating a line, a date before it where the day is not `today`.

    A line with a date alone gives the day of the lines below it; "#" begins a comment. Several words may
    stand in a line; of two for one thing the lower holds, and a word for an item goes before one for its
    block. Raises `BadData` with every fault, its line and column.
    """
    found: list[tuple[date, Entry]] = []
    faults: list[Fault] = []
    sheets: dict[date, Sheet] = {}
    heading = today
    for number, line in enumerate(text.splitlines(), 1):
        words = list(_words(_COMMENT.sub("", line)))
        day = heading
        try:
            day, words = _dated(words, heading, today)
        except WordError as trouble:
            faults.append(Fault(file, number, words[0][1], str(trouble)))
            continue
        heading = heading if words else day
        sheet = sheets.setdefault(day, sheets.get(day) or sheet_for(day))
        for word, column in words:
            try:
                found.append((day, _entry(word, sheet)))
            except WordError as trouble:
                faults.append(Fault(file, number, column, f"{shown(word)}: {trouble}"))
    if faults:
        raise BadData(tuple(faults))
    days = dict.fromkeys(day for day, _ in found)
    named = {one: tuple(entry for day, entry in found if day == one) for one in days}
    ratings = (rating for day in days for rating in ratings_of(named[day], sheets[day]))
    return Filled(tuple(found), tuple(ratings))


def _words(line: str) -> Iterator[tuple[str, int]]:
    """The words of a line with their columns from 1; spaces around "=" do not part a word."""
    for match in _WORD.finditer(line):
        yield stripped(re.sub(r"[ \t]*=[ \t]*", "=", match[0])), match.start() + 1


def _dated(words: list[tuple[str, int]], heading: date, today: date) -> tuple[date, list[tuple[str, int]]]:
    """The day of a line and its words without the date."""
    if not words or not _DATE.fullmatch(words[0][0]):
        return heading, words
    text = words[0][0]
    try:
        day = date.fromisoformat(text)
    except ValueError:
        raise WordError(f"{text} is not in the calendar") from None
    if day > today:
        raise WordError(f"{text} lies after {today.isoformat()}")
    return day, words[1:]


def _entry(word: str, sheet: Sheet) -> Entry:
    """One word; it is tried on its targets, so that what cannot be is found while words are read."""
    name, sign, text = word.partition("=")
    if not sign or not name or not text:
        date_like = _LOOKS_LIKE_A_DATE.fullmatch(word)
        hint = "; a date is written 2026-11-23" if date_like else ""
        raise WordError(f"a word is what was played, =, and what was reached: B2=108{hint}")
    value = read_value(text)
    try:
        targets = _find(name, sheet)
    except WordError as trouble:
        wrong = fault_in(value)
        raise WordError(f"{wrong}; and {trouble}" if wrong else str(trouble)) from None
    for target in targets:
        rated(target, value, sheet.day)
    return Entry(word, targets, value)


def _find(name: str, sheet: Sheet) -> tuple[Target, ...]:
    """What a name stands for, several for a block; `WordError` where nothing goes by it."""
    targets: tuple[Target, ...] = ()
    if _ITEM.fullmatch(name.upper()):
        targets = tuple(target for target in sheet.targets if target.name == name.upper())
    elif _BLOCK.fullmatch(name.upper()):
        targets = tuple(target for target in sheet.targets if target.block == name.upper())
    if not targets:  # the id of own music may look like an item or a block: "op3", "ab"
        targets = tuple(target for target in [_by_id(name, sheet)] if target is not None)
    if not targets:
        raise WordError(_not_there(name, sheet))
    return targets


def _by_id(name: str, sheet: Sheet) -> Target | None:
    """A combination or a piece of own music by its id, as it stands in the routine or from the shelf."""
    combination, _, articulation = name.rpartition("/")
    for target in reversed(sheet.targets):
        if name in (target.combination, target.combination.removeprefix("own-music/")):
            return target
        if (combination, articulation) == (target.combination, target.articulation):
            return target
    return sheet.shelf(name)


def _not_there(name: str, sheet: Sheet) -> str:
    import difflib

    if "/" in name:
        known = [target.combination for target in sheet.targets if target.is_rated]
        near = difflib.get_close_matches(name, known, n=1)
        return f"there is no combination {shown(name)!r}" + (f"; did you mean {near[0]}?" if near else "")
    if not sheet.targets:
        return f"no routine stands for {sheet.day}: name the combination, like {sheet.example()}"
    known = [target.name for target in sheet.targets if target.is_rated]
    return f"{shown(name)!r} is not in the routine of {sheet.day}: {', '.join(known)}"


def _named_twice(entries: Iterable[Entry]) -> list[str]:
    """Names under which one line gives two values; an item beside its block is an exception, and meant."""
    seen: set[str] = set()
    twice: dict[str, None] = {}
    for entry in entries:
        name = entry.left.upper() if entry.is_block else entry.targets[0].name
        if name in seen:
            twice[name] = None
        seen.add(name)
    return list(twice)


def split_articulation(name: str) -> tuple[str, str]:
    """An id and the articulation behind it, "" where none stands there."""
    combination, _, last = name.rpartition("/")
    return (combination, last) if last in ARTICULATIONS and combination else (name, "")

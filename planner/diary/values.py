"""The right-hand side of a word such as B2=108: what was reached, read and held against what is measured.

Conventions: tempos are marks of the item's own beat a minute; notes are written MIDI numbers; seconds
are seconds held steady. Raises `WordError` with one line that says what would be right.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any, Literal

from planner.diary.rating import Rating
from planner.diary.rows import GRADES
from planner.diary.text import shown

Kind = Literal["skip", "played", "grade", "mark", "seconds", "note", "bend", "band"]

OWN_MUSIC = "own music"
LONGEST_HOLD_SECONDS = 180  # nobody holds one breath longer
OCTAVE = 12
_NEARLY_A_MARK = 30  # what lies between the grades and here was meant as neither

GRADE_WORDS: Mapping[int, str] = {1: "fell apart", 2: "uneven", 3: "nearly", 4: "clean", 5: "comfortable"}

_GRADE_AT_MARK = re.compile(r"(\d{1,4})@(\d{1,4})", re.ASCII)
_NUMBER = re.compile(r"\d{1,4}", re.ASCII)
_SECONDS = re.compile(r"(\d{1,4}(?:\.\d{1,3})?)s", re.ASCII | re.IGNORECASE)
_NOTE = re.compile(r"[A-Ga-g]\S*\d", re.ASCII)
_WORDS: Mapping[str, tuple[Kind, int]] = {
    "skip": ("skip", 0),
    "played": ("played", 0),
    "yes": ("bend", 1),
    "no": ("bend", 0),
    "in": ("band", 1),
    "out": ("band", 0),
}
_ALLOWED: Mapping[str, tuple[Kind, ...]] = {
    "tempo": ("grade", "mark"),
    "seconds": ("seconds",),
    "top note": ("note",),
    "bend": ("bend",),
    "band": ("band",),
    OWN_MUSIC: ("band", "grade", "mark"),
}
_ASKS: Mapping[str, str] = {
    "tempo": "is rated by the highest clean mark ({0}=108) or a grade of 1 to 5 ({0}=4)",
    "seconds": "is rated in seconds held steady: {0}=14s",
    "top note": "is rated by the highest note that spoke softly, as it is written: {0}=G5",
    "bend": "is rated by whether the bend was reached and centred: {0}=yes or {0}=no",
    "band": "is rated by whether it was in its tempo band: {0}=in or {0}=out",
    OWN_MUSIC: "is rated by {0}=in or {0}=out, a clean mark or a grade of 1 to 5",
}
_FORMS = "a clean mark (108), a grade (1 to 5), 14s, G5, yes or no, in or out, or skip"


class WordError(ValueError):
    """A word that is not understood or cannot be meant."""


@dataclass(frozen=True, slots=True)
class Value:
    """What a word says was reached: `number` in the terms of its kind, `tempo` the mark after "@"."""

    kind: Kind
    number: float = 0.0
    tempo: int | None = None


@dataclass(frozen=True, slots=True)
class Target:
    """What a word can name: an item of a routine, or a combination off the shelf.

    `name`, `block`: "B2" and "B" ("" off the shelf). `tempo`: the mark asked for. `aim`: what is asked
    for in the other measures. `lowest`, `highest`: written MIDI. `at`: order within the day.
    """

    name: str
    block: str
    family: str
    measure: str
    combination: str
    articulation: str
    tempo: int | None
    aim: float
    lowest: int
    highest: int
    at: int

    @property
    def is_rated(self) -> bool:
        """Whether it has ratings at all: the warm-up and the warm-down have none."""
        return bool(self.combination)


def read_value(text: str) -> Value:
    """What the right-hand side of a word says; `WordError` for anything that is none of the forms.

    A number is held against grades and marks only with its target: elsewhere it means neither.
    """
    word = text.lower()
    if word in _WORDS:
        return Value(*_WORDS[word])
    if match := _GRADE_AT_MARK.fullmatch(text):
        return Value("grade", int(match[1]), int(match[2]))
    if _NUMBER.fullmatch(text):
        return Value("grade" if int(text) in GRADES else "mark", int(text))
    if match := _SECONDS.fullmatch(text):
        return Value("seconds", _hold(float(match[1])))
    if _NOTE.fullmatch(text):
        return Value("note", _note(text))
    raise WordError(f"{shown(text)!r} is not understood: write {_FORMS}")


def fault_in(value: Value) -> str:
    """What is wrong with a value whatever it is said of: a number that is no grade and no mark; else ""."""
    try:
        if value.kind == "mark":
            _mark_or_grade(int(value.number))
        elif value.kind == "grade":
            _grade(int(value.number))
            if value.tempo is not None:
                _mark(value.tempo)
    except WordError as trouble:
        return str(trouble)
    return ""


def rated(target: Target, value: Value, day: date) -> Rating | None:
    """The rating of a target by a value; None for skip. `WordError` where the two do not go together."""
    if value.kind == "skip":
        return None
    if not target.is_rated:
        raise WordError(f"{target.name} is not rated: it is the {target.family}")
    if value.kind == "played":
        return played(target, day)
    subject = OWN_MUSIC if target.family == OWN_MUSIC else target.measure
    if value.kind not in _ALLOWED.get(subject, ()):
        asks = _ASKS.get(subject, "has no measure: {0}=played or {0}=skip").format(target.name)
        raise WordError(f"{target.name} {asks}")
    return replace(played(target, day), **_reached(target, value))


def clean_as_marked(target: Target, day: date) -> Rating:
    """The rating of a target that went as it is marked: clean at its mark, held, reached, in its band."""
    reached: dict[str, Any] = {}
    if target.measure == "tempo" and target.tempo is not None:
        reached = {"tempo": target.tempo, "clean": target.tempo, "grade": 4}
    elif target.measure == "seconds" and target.aim > 0:
        reached = {"value": target.aim, "grade": 4}
    elif target.measure == "top note" and target.aim > 0:
        reached = {"value": target.aim}
    elif target.measure == "band" and target.aim > 0:
        reached = {"tempo": target.tempo, "value": 1.0}
    elif target.measure == "bend":
        reached = {"value": 1.0}
    return replace(played(target, day), **reached)


def played(target: Target, day: date) -> Rating:
    """Played and not rated: a turn, and nothing more."""
    return Rating(day, target.combination, target.articulation, None, None, None, None, at=target.at)


def described(target: Target, value: Value) -> str:
    """What was reached in words: "clean at 108", "nearly (3) at 96", "held 14 s"."""
    number, tempo = value.number, value.tempo or target.tempo
    at = f" at {tempo}" if tempo is not None else ""
    words = {
        "skip": "left out",
        "played": "played",
        "grade": f"{GRADE_WORDS.get(int(number), '')} ({number:g}){at}",
        "mark": f"clean at {number:g}",
        "seconds": f"held {number:g} s",
        "bend": "reached" if number else "not reached",
        "band": "in its band" if number else "out of its band",
    }
    return words.get(value.kind) or f"up to {_note_name(int(number))}"


def _reached(target: Target, value: Value) -> dict[str, Any]:
    """The fields of a rating that a value sets."""
    if value.kind == "grade":
        return {"tempo": _tempo_of_grade(target, value), "grade": _grade(int(value.number))}
    if value.kind == "mark":
        mark = _mark_or_grade(int(value.number))
        return {"tempo": mark if target.tempo is None else target.tempo, "clean": mark}
    if value.kind == "note":
        _check_note(target, int(value.number))
    return {"tempo": target.tempo if value.kind == "band" else None, "value": value.number}


def _tempo_of_grade(target: Target, value: Value) -> int | None:
    tempo = target.tempo if value.tempo is None else _mark(value.tempo)
    if tempo is None and target.family != OWN_MUSIC:
        raise WordError(f"a grade of {target.name} needs its tempo: {target.name}={value.number:g}@96")
    return tempo


def _check_note(target: Target, note: int) -> None:
    """A note an octave below all that is played, or two above, is a slip of the pen."""
    if target.highest and not target.lowest - OCTAVE <= note <= target.highest + 2 * OCTAVE:
        raise WordError(f"that note lies far from what is played in {target.name}")


def _grade(number: int) -> int:
    if number not in GRADES:
        meant = ", ".join(f"{grade} {words}" for grade, words in GRADE_WORDS.items())
        raise WordError(f"{number} is no grade: {meant}")
    return number


def _mark_or_grade(number: int) -> int:
    from planner.brass.tempo import MARKS

    if number < _NEARLY_A_MARK:
        raise WordError(
            f"{number} is neither a grade (1 to 5) nor a metronome mark ({MARKS[0]} to {MARKS[-1]})"
        )
    return _mark(number)


def _mark(number: int) -> int:
    from planner.brass.tempo import MARKS

    if number in MARKS:
        return number
    near = [mark for mark in MARKS if mark < number][-1:] + [mark for mark in MARKS if mark > number][:1]
    raise WordError(f"{number} is no metronome mark; nearest: {' and '.join(map(str, near))}")


def _hold(seconds: float) -> float:
    if not 0 < seconds <= LONGEST_HOLD_SECONDS:
        raise WordError(f"{seconds:g} seconds cannot be one breath: 1 to {LONGEST_HOLD_SECONDS}")
    return seconds


def _note(text: str) -> int:
    from planner.brass.keys import BadName, parse_pitch

    try:
        return parse_pitch(text[:1].upper() + text[1:]).midi
    except BadName as trouble:
        raise WordError(f"{shown(text)!r} is no note: {trouble}") from trouble


def _note_name(midi: int) -> str:
    from planner.brass.keys import Key, spell

    return spell(midi, Key(0, "major")).name

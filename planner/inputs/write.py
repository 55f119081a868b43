"""The player file that a few answers make, and how the answers are understood.

`player_toml` writes what `read.player_from` reads back. Each answer is checked by itself against the same
tables as a file, so that a wrong one is told as it is given: `UsageError` with a hint.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from planner.brass.instruments import INSTRUMENTS, Instrument
from planner.errors import UsageError
from planner.inputs.curriculum import LEVELS, Level
from planner.inputs.fields import DEVICES, slug
from planner.inputs.findings import Found, did_you_mean, known_word
from planner.inputs.player_file import SevenMinutes, stays_below
from planner.inputs.schema import MOST_MINUTES, WEEKDAYS, PlayerTable
from planner.inputs.tables import sound_part
from planner.inputs.text import plain, shown

MINUTES_FORM = 'for example "mon-fri 30, sat 45" or "daily 25"'

_MINUTES = re.compile(r"([a-z]+)(?:\s*-\s*([a-z]+))?[\s:=]+([0-9]{1,4})(?:\s*min(?:utes)?)?")
_EVERY_DAY = frozenset({"daily", "everyday", "day", "days"})

# Lines a player may want next, to be had by taking the first # away; those without a heading stand before the
# first heading, or they would belong to it.
_MORE_WORDS = (
    '# range = ["G3", "G5"]    # lowest and highest written note; without it, what is usual at your level',
)
_MORE_TABLES = """
# A day or a stretch that is not as usual: kind "free", "short" (with minutes), "concert" or "audition".
# [[date]]
# kind = "free"
# date = 2026-12-24    # or from = ... and to = ...

# Rehearsals and other playing count as load.
# [[playing]]
# title = "band"
# days = ["tuesday"]
# minutes = 120

# A piece of your own.
# [[music]]
# title = "slow movement"
# minutes = 10
"""


@dataclass(frozen=True, slots=True)
class Answers:
    """What a new player file needs; `minutes` from Monday to Sunday, `starts` a Monday."""

    id: str
    name: str
    instrument: str
    level: Level
    curriculum: str
    starts: date
    minutes: SevenMinutes
    breath_seconds: float


def player_toml(answers: Answers) -> str:
    """The text of a player file, each line explained.

    >>> week = (20, 0, 0, 0, 0, 0, 0)
    >>> bo = Answers("bo", "Bo", "tuba-bb", "beginner", "term", date(2026, 9, 7), week, 6.0)
    >>> player_toml(bo).splitlines()[2]
    'instrument = "tuba-bb"'
    """
    breath = answers.breath_seconds
    seconds = int(breath) if breath == int(breath) else breath
    lines = (
        f"id = {_quoted(answers.id)}",
        f"name = {_quoted(answers.name)}",
        f"instrument = {_quoted(answers.instrument)}",
        f"level = {_quoted(answers.level)}",
        f"breath_seconds = {seconds!r}    # one comfortable breath at mezzo-forte",
        f"curriculum = {_quoted(answers.curriculum)}    # an id, or a file beside this one",
        f"starts = {answers.starts.isoformat()}    # the Monday of the curriculum's first week",
        *_MORE_WORDS,
        "",
        "[minutes]    # pauses and own music included",
        *(f"{day} = {minutes}" for day, minutes in zip(WEEKDAYS, answers.minutes, strict=True)),
    )
    return "\n".join(lines) + "\n" + _MORE_TABLES


def name_answer(text: str) -> str:
    """The player's name, without blanks around it."""
    return str(_sound("name", text.strip()))


def level_answer(text: str) -> Level:
    """A level; capitals do not matter."""
    word = text.strip().lower()
    for level in LEVELS:
        if word == level:
            return level
    raise UsageError(*known_word("a level", plain(text), LEVELS))


def curriculum_answer(text: str) -> str:
    """An id or a path below the player file's folder; whether the curriculum is there is not asked here."""
    word = str(_sound("curriculum", text.strip()))
    if not stays_below(word):
        raise UsageError(
            f"{shown(word)} is no file in the folder of the player file", "copy it beside that file"
        )
    return word


def instrument_answer(text: str) -> Instrument:
    """The instrument with this id; capitals and blanks do not matter."""
    word = re.sub(r"[\s_]+", "-", text.strip().lower())
    if word not in INSTRUMENTS:
        raise UsageError(*known_word("an instrument", plain(text), INSTRUMENTS))
    return INSTRUMENTS[word]


def breath_answer(text: str) -> float:
    """Seconds of one breath, "12" or "12.5"."""
    try:
        seconds = float(text.strip().removesuffix("s").strip())
    except ValueError:
        raise UsageError(f"{shown(text)} is no number of seconds", "for example 12") from None
    return float(str(_sound("breath_seconds", seconds)))


def minutes_answer(text: str) -> SevenMinutes:
    """Minutes from Monday to Sunday as people say them; what comes later wins.

    >>> minutes_answer("mon-fri 30, sat 45")
    (30, 30, 30, 30, 30, 45, 0)
    >>> minutes_answer("daily 20, sunday 0")
    (20, 20, 20, 20, 20, 20, 0)
    """
    minutes = [0] * 7
    for part in filter(None, (part.strip() for part in re.split(r"[,;]", text.lower()))):
        match = _MINUTES.fullmatch(part)
        if match is None:
            raise UsageError(f"{shown(part)} is not days and minutes", MINUTES_FORM)
        if int(match[3]) > MOST_MINUTES:
            raise UsageError(f"{match[3]} minutes are more than {MOST_MINUTES}", MINUTES_FORM)
        for day in _days(match[1], match[2]):
            minutes[day] = int(match[3])
    if not any(minutes):
        raise UsageError("no weekday has any minutes", MINUTES_FORM)
    monday, tuesday, wednesday, thursday, friday, saturday, sunday = minutes
    return monday, tuesday, wednesday, thursday, friday, saturday, sunday


def id_for(name: str) -> str:
    """An id made of a name, "player" where the name has no letter from a to z.

    >>> id_for("Zoë van Dijk"), id_for("Жанна"), id_for("Con")
    ('zoe-van-dijk', 'player', 'con-player')
    """
    made = slug(name) or "player"
    return f"{made}-player" if made in DEVICES else made


def _sound(word: str, value: object) -> object:
    """One answer as the player file's word takes it; `UsageError` where it would be a fault there."""
    found = Found()
    record = sound_part(PlayerTable, {word: value}, found)
    for finding in found.findings:
        if finding.loc == (word,):
            raise UsageError(plain(finding.message, 600), plain(finding.hint))
    return getattr(record, word)


def _quoted(text: str) -> str:
    """A TOML string; JSON's escapes are TOML's."""
    return json.dumps(text, ensure_ascii=False)


def _days(first: str, last: str | None) -> Iterator[int]:
    """The weekdays from `first` to `last`, over the week's end where need be."""
    if first in _EVERY_DAY and last is None:
        yield from range(7)
        return
    start = _day(first)
    end = start if last is None else _day(last)
    yield from ((start + step) % 7 for step in range((end - start) % 7 + 1))


def _day(word: str) -> int:
    """Monday = 0; at least the first two letters of a weekday."""
    short = word.removesuffix("s")  # "mons", "tues", "thurs"
    for number, day in enumerate(WEEKDAYS):
        if len(short) >= 2 and day.startswith(short):
            return number
    raise UsageError(f"{shown(word)} is not a weekday", did_you_mean(word, WEEKDAYS) or MINUTES_FORM)

"""Dates, tempos, keys and fingerings in words, on the page and read aloud. Standard library only.

Conventions: `pretty` writes music signs ("A♭ major"), `spoken` writes them out ("A flat major") for
screen readers. Dates come as ISO text, as they stand in a plan. Seconds are whole.
"""

from __future__ import annotations

import re
from datetime import date
from typing import Any

from planner.inputs.dates import WEEKDAYS
from planner.show.layout import NO_BREAK, clean, kept_together

MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
BEAT_SIGNS = {"eighth": "♪", "quarter": "♩", "dotted quarter": "♩."}
UNITS = {"min": "minute", "s": "second"}
FASTEST_EIGHTH = 208  # the last metronome mark: above it the quarter is shown as well

_KEY = re.compile(r"\b([A-G])-(flat|sharp)\b")
_DATE = re.compile(r"\b(\d{4})-(0[1-9]|1[0-2])-(\d\d)\b")
_SIGN = re.compile(r"\b([A-G])([♭♯])(\d?)")
_UNIT = re.compile(r"\b(\d+) (min|s)\b")
_SAID = {
    " → ": ", then ",
    "→": ", then ",
    " · ": ", ",
    "♪": "eighth note",
    "♩.": "dotted quarter note",
    "♩": "quarter note",
    "½": " and a half",
}


def day_of(text: str) -> date:
    """The date of ISO text."""
    return date.fromisoformat(text)


def date_in_words(text: str, *, year: bool = True) -> str:
    """An ISO date as "Monday 7 September 2026"."""
    day = day_of(text)
    words = f"{WEEKDAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]}"
    return f"{words} {day.year}" if year else words


def pretty(text: object) -> str:
    """Cleaned text with "A-flat" written "A♭", "F-sharp" "F♯", and an ISO date "22 Nov 2026"."""
    signs = _KEY.sub(lambda found: found[1] + ("♭" if found[2] == "flat" else "♯"), clean(text))
    return _DATE.sub(lambda found: f"{int(found[3])} {MONTHS[int(found[2]) - 1][:3]} {found[1]}", signs)


def spoken(text: str) -> str:
    """Text as it is read aloud: "A♭4" is "A flat 4", an arrow "then", a note sign its name."""
    text = _SIGN.sub(_said_pitch, text.replace(NO_BREAK, " "))
    text = _UNIT.sub(lambda found: counted(int(found[1]), UNITS[found[2]]), text)
    for sign, words in _SAID.items():
        text = text.replace(sign, words)
    return _KEY.sub(r"\1 \2", text)


def _said_pitch(found: re.Match[str]) -> str:
    words = f"{found[1]} {'flat' if found[2] == '♭' else 'sharp'}"
    return f"{words} {found[3]}" if found[3] else words


def clock(seconds: float) -> str:
    """Seconds as minutes and seconds of the clock: 98 is "1:38"."""
    return f"{round(seconds) // 60}:{round(seconds) % 60:02}"


def minutes(seconds: float) -> str:
    """Seconds as whole minutes, at least one: "3 min"."""
    return kept_together(f"{max(1, round(seconds / 60))} min")


def in_words(seconds: float) -> str:
    """Seconds read aloud: "1 minute 38 seconds"."""
    whole, left = divmod(round(seconds), 60)
    parts = [counted(whole, "minute")] if whole else []
    return " ".join(parts + ([counted(left, "second")] if left or not whole else []))


def counted(number: int, noun: str) -> str:
    """A number with its noun: "1 rating", "2 ratings"."""
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def beat_sign(beat: str) -> str:
    """The note sign of a beat; a half note is written out, its sign is missing from most fonts."""
    return BEAT_SIGNS.get(beat, beat)


def mark(beat: str, tempo: int) -> str:
    """A tempo as on a metronome, "♪ = 96"; eighths too fast for it get their quarter first."""
    if beat == "eighth" and tempo > FASTEST_EIGHTH:
        return kept_together(f"♩ = {tempo / 2:g} (♪ = {tempo})")
    return kept_together(f"{beat_sign(beat)} = {tempo}")


def without_need(reason: str) -> str:
    """A reason without the number of a need, which only why explains: more or less is what is read.

    >>> without_need("no room beside what needs it more (need 0.73, waiting since 2026-09-02)")
    'no room beside what needs it more (waiting since 2026-09-02)'
    >>> without_need("need 0.56, it was 0.31")
    'needed more than before'
    """
    reason = re.sub(r" \(need \d\.\d\d(?:, (.*))?\)$", lambda has: f" ({has[1]})" if has[1] else "", reason)
    moved = re.fullmatch(r"need (\d\.\d\d), it was (\d\.\d\d)", reason)
    if moved is None:
        return reason
    return f"needed {'more' if float(moved[1]) > float(moved[2]) else 'less'} than before"


def is_cycle(item: dict[str, Any]) -> bool:
    """Whether the item goes through positions ("5-6-7"), not through the notes of one key."""
    return bool(re.fullmatch(r"T?\d+(-T?\d+)*", item["place"]))


def humanised(identifier: str) -> str:
    """An id as words: "rolling-fives" is "Rolling fives"."""
    words = clean(identifier).replace("-", " ")
    return words[:1].upper() + words[1:]

"""What a command's words mean: a combination by its id or its letter on the stand, a day by its name.

Standard library only at the top.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date, timedelta
from difflib import get_close_matches

from planner.cli.desk import DATE_FORMS, Desk, read_day
from planner.errors import NoInput, UsageError

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
LEAST_LETTERS = 3
DAY_FORMS = "write a date like 2026-09-07, a weekday, today or tomorrow"
_LETTER = re.compile(r"([A-Z]{1,2})(\d{0,2})", re.IGNORECASE)


def named_day(text: str, today: date) -> date:
    """A date, "today", "tomorrow" or a weekday: the next one, today included; `UsageError` otherwise."""
    word = text.strip().lower()
    if word in ("today", "tomorrow"):
        return today + timedelta(days=word == "tomorrow")
    found = [number for number, name in enumerate(WEEKDAYS) if name.startswith(word)]
    if len(word) >= LEAST_LETTERS and found:
        return today + timedelta(days=(found[0] - today.weekday()) % 7)
    try:
        return read_day(text, today)
    except UsageError as trouble:
        if trouble.hint != DATE_FORMS:
            raise  # a date, but none of the calendar or of these years
        near = get_close_matches(word, WEEKDAYS, n=1)
        guess = f"did you mean {near[0]}? " if near else ""
        raise UsageError(f"{text[:40]!r} is no day", guess + DAY_FORMS) from None


def named_combination(place: Desk, text: str, known: Sequence[str]) -> str:
    """The id that is meant: one of the `known`, or a letter and number of the day's routine such as B2.

    `UsageError` with the nearest id where there is none.
    """
    word = text.strip()
    if word in known:
        return word
    letter = _LETTER.fullmatch(word)
    if letter:
        return _by_letter(place, letter[1].upper() + letter[2])
    raise UsageError(f"there is no combination {_shown(word)}", _nearest(word, known))


def _shown(word: str) -> str:
    return repr("".join(sign if sign.isprintable() else "\ufffd" for sign in word[:80]))


def _nearest(word: str, known: Sequence[str]) -> str:
    near = get_close_matches(word.lower(), known, n=3, cutoff=0.5)
    if near:
        return f"did you mean {' or '.join(near)}?"
    return "an id such as scales/a/d-major, or a letter and number of the day's routine such as B2"


def _by_letter(place: Desk, name: str) -> str:
    """The combination that stands under a letter and number in the stored routine of the day."""
    from planner.diary.plans import day_items

    items = day_items(place.data, place.player_id, place.day)
    if items is None:
        hint = f"planner today --date {place.day.isoformat()} plans one"
        raise NoInput(f"no routine is stored for {place.day.isoformat()}, so {name} names nothing", hint)
    found = {item["id"]: item["combination"] for item in items}
    if found.get(name):
        return str(found[name])
    if name in found:
        raise UsageError(f"{name} is no combination", f"it is {_family(items, name)}")
    inside = [one for one in found if found[one] and one.rstrip("0123456789") == name.rstrip("0123456789")]
    known = inside or [one for one in found if found[one]]
    raise UsageError(f"no item {name} stands in the routine of {place.day.isoformat()}", _one_of(known))


def _family(items: Sequence[dict[str, str]], name: str) -> str:
    return next(item["family"] for item in items if item["id"] == name)


def _one_of(names: Sequence[str]) -> str:
    return f"there are: {', '.join(names)}" if names else "nothing on that day is a combination"

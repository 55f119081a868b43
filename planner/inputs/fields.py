"""Checks of single values at the file edge, as pydantic validators that speak the reader's language.

Each returns the value in the form the frozen types want, or raises a fault whose message names the field,
says what it should be and shows what stands there. pydantic is imported here, in `tables.py` and
in `schema.py` only, and those only inside `read.py`'s functions.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from typing import Any

from pydantic import BeforeValidator, ValidationInfo
from pydantic_core import PydanticCustomError

from planner.inputs.dates import NotADateError, date_of
from planner.inputs.findings import known_word
from planner.inputs.text import shown, unwanted

_ID = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
LONGEST_ID = 60

# An id becomes part of file names, and these names open devices on Windows wherever they stand.
DEVICES = frozenset(
    {"con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(10))}
)

Check = Callable[[Any, ValidationInfo], Any]


def fault(message: str, hint: str = "", column: int = 0) -> PydanticCustomError:
    """A fault of one value; `column` counts from 1 inside a string."""
    return PydanticCustomError("fault", "{message}", {"message": message, "hint": hint, "column": column})


def text(longest: int) -> BeforeValidator:
    """A text of one line, not empty, at most `longest` characters, every one of them visible."""

    def check(value: Any, info: ValidationInfo) -> str:
        if not isinstance(value, str):
            raise fault(f"{info.field_name} should be a text in quotes, not {shown(value)}")
        if not value.strip():
            raise fault(f"{info.field_name} is empty")
        if len(value) > longest:
            raise fault(f"{info.field_name} has {len(value)} characters; at most {longest} fit")
        bad = unwanted(value) or next(
            ((at, "a tab or line end") for at in map(value.find, "\t\n\r") if at >= 0), None
        )
        if bad is not None:
            raise fault(f"{bad[1]} may not stand in {info.field_name}", "take it out", bad[0] + 1)
        return value.strip()

    return BeforeValidator(check)


def is_id(text: str) -> bool:
    """Whether a text can be an id."""
    return bool(_ID.fullmatch(text)) and len(text) <= LONGEST_ID and text not in DEVICES


def identifier() -> BeforeValidator:
    """An id: small letters a to z, digits and hyphens between them, usable in file names."""

    def check(value: Any, info: ValidationInfo) -> str:
        if not isinstance(value, str):
            raise fault(f"{info.field_name} should be a text in quotes, not {shown(value)}")
        if not _ID.fullmatch(value) or len(value) > LONGEST_ID:
            raise fault(
                f"{info.field_name} {shown(value)} is not made of a-z, 0-9 and single hyphens",
                suggestion(value),
            )
        if value in DEVICES:
            raise fault(f"{info.field_name} {shown(value)} is the name of a device on some computers")
        return value

    return BeforeValidator(check)


def slug(value: str) -> str:
    """The nearest id to any text: accents off, small letters, hyphens; "" where nothing is left."""
    import unicodedata

    bare = unicodedata.normalize("NFKD", value[:200]).encode("ascii", "ignore").decode("ascii").lower()
    return re.sub(r"[^a-z0-9]+", "-", bare).strip("-")[:LONGEST_ID].strip("-")


def suggestion(value: str) -> str:
    """A hint with the nearest id, "" where there is none."""
    near = slug(value)
    return f"for example '{near}'" if near else ""


def at_most(count: int) -> BeforeValidator:
    """A list of at most `count` entries; a longer one is refused before its entries are looked at."""

    def check(value: Any, info: ValidationInfo) -> Any:
        if isinstance(value, list) and len(value) > count:
            raise fault(f"{info.field_name} has {len(value)} entries; at most {count} fit")
        return value

    return BeforeValidator(check)


def one_of(kind: str, words: Sequence[str]) -> BeforeValidator:
    """One of a few words; the fault lists them and guesses which was meant."""

    def check(value: Any, _info: ValidationInfo) -> str:
        if not isinstance(value, str) or value not in words:
            raise fault(*known_word(kind, value, words))
        return value

    return BeforeValidator(check)


def whole(low: int, high: int) -> BeforeValidator:
    """A whole number from `low` to `high`, both included."""

    def check(value: Any, info: ValidationInfo) -> int:
        if type(value) is not int or not low <= value <= high:
            raise fault(
                f"{info.field_name} should be a whole number from {low} to {high}, not {shown(value)}"
            )
        return value

    return BeforeValidator(check)


def number(low: float, high: float) -> BeforeValidator:
    """A number from `low` to `high`, both included; never nan or infinite, never minus nought."""

    def check(value: Any, info: ValidationInfo) -> float:
        return in_span(info.field_name, value, low, high)

    return BeforeValidator(check)


def in_span(name: str | None, value: Any, low: float, high: float) -> float:
    """The value as a float between two bounds, or a fault."""
    fits = type(value) in (int, float) and low <= value <= high and math.isfinite(value)
    if not fits:
        raise fault(f"{name} should be a number from {low:g} to {high:g}, not {shown(value)}")
    return float(value) + 0.0


def word_or_number(words: Mapping[str, float], low: float, high: float) -> BeforeValidator:
    """One of a few words that stand for numbers, or a number between two bounds."""

    def check(value: Any, info: ValidationInfo) -> float:
        if isinstance(value, str):
            if value not in words:
                message, hint = known_word(f"a {info.field_name}", value, words)
                raise fault(f"{message}, or a number from {low:g} to {high:g}", hint)
            return words[value]
        return in_span(info.field_name, value, low, high)

    return BeforeValidator(check)


def day() -> BeforeValidator:
    """A plain date, or one counted from the Monday in the context's "monday"."""

    def check(value: Any, info: ValidationInfo) -> date:
        monday: date = info.context["monday"] if info.context else date(2000, 1, 3)
        try:
            return date_of(value, monday)
        except NotADateError as trouble:
            raise fault(f"{info.field_name}: {trouble}", trouble.hint) from None

    return BeforeValidator(check)

"""A table of a file and what is sound in it: the reading that every kind of table shares.

Every word is optional in a table; `required` names those that may not be left out. So a table with faults
still yields a record of what is sound in it, and the checks that cross words go on with that: all faults of a
file are told at once.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from itertools import islice
from typing import Any, ClassVar, Self, TypeVar

from pydantic import BaseModel, ConfigDict, PrivateAttr, ValidationError

from planner.inputs.findings import Found, did_you_mean
from planner.inputs.text import MOST_FAULTS, shown


class Table(BaseModel):
    """A table of a file: only its own words, none of them turned from one kind of value into another."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)
    required: ClassVar[tuple[str, ...]] = ()
    _given: frozenset[str] = PrivateAttr(frozenset())

    def has(self, word: str) -> bool:
        """Whether the file has this word, sound or not."""
        return word in self._given

    def given(self, words: Iterable[str]) -> Self:
        """Remembers the words that the file has."""
        self._given = frozenset(words)
        return self


Model = TypeVar("Model", bound=Table)

_SHOULD_BE = {
    "list_type": "a list in square brackets",
    "dict_type": "a table",
    "model_type": "a table",
}


def sound_part(model: type[Model], table: object, found: Found, monday: date | None = None) -> Model:
    """What is sound in a table, as its model; everything else goes to `found`. Never raises."""
    if not isinstance(table, Mapping):
        found.add((), f"{_called(found)} should be a table, not {shown(table)}")
        return model()
    _add_missing(model, table, found)
    context = {"monday": monday} if monday else None
    try:
        return model.model_validate(table, context=context).given(table)
    except ValidationError as trouble:
        errors = trouble.errors(include_url=False)
    for error in errors[:MOST_FAULTS]:
        _add(model, error, found)
    faulty = {error["loc"][0] for error in errors}
    rest = {word: value for word, value in table.items() if word not in faulty}
    return model.model_validate(rest, context=context).given(table)


def words_of(model: type[Table]) -> tuple[str, ...]:
    """The words that may stand in a table, as the file spells them."""
    return tuple(field.alias or name for name, field in model.model_fields.items())


def _add_missing(model: type[Table], table: Mapping[str, object], found: Found) -> None:
    """Required words that are not there; one that only seems misspelt is told once, as the misspelling."""
    allowed = words_of(model)
    unknown = islice((word for word in table if word not in allowed), MOST_FAULTS)
    meant = {did_you_mean(word, allowed) for word in unknown}
    for word in model.required:
        if word not in table and not any(f"'{word}'" in guess for guess in meant):
            found.add((), f"'{word}' is missing in {_called(found)}")


def _called(found: Found) -> str:
    """How a message names the table at a path: its last word, "the file" for the file as a whole."""
    names = [part for part in found.base if isinstance(part, str)]
    return names[-1] if names else "the file"


def _add(model: type[Table], error: Any, found: Found) -> None:
    """One pydantic error in our words."""
    loc, context = error["loc"], error.get("ctx", {})
    if error["type"] == "fault":
        found.add(loc, context["message"], context["hint"], column=context["column"])
    elif error["type"] == "extra_forbidden":
        allowed = words_of(model)
        message = f"{shown(loc[-1])} is not a word of {_called(found)}; allowed: {', '.join(allowed)}"
        found.add(loc, message, did_you_mean(loc[-1], allowed), word=True)
    else:
        should_be = _SHOULD_BE.get(error["type"], "written differently")
        found.add(loc, f"{loc[0]} should be {should_be}, not {shown(error['input'])}")

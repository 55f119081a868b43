"""The shape of a plan by its JSON Schema, read with the few keywords that the schema uses.

Keywords and meanings: JSON Schema 2020-12, core and validation (json-schema.org). A keyword that is not
known here is an error of the checker, so that no part of the schema is passed over in silence.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Mapping
from datetime import date
from pathlib import Path
from typing import Any

from checker.breach import Breach, Breaches

SCHEMA = Path(__file__).resolve().parents[2] / "planner" / "plan" / "plan.schema.json"
WORDS = frozenset({"$schema", "$defs", "title", "description", "$id"})
Schema = Mapping[str, Any]


def shape(plan: Any, schema: Schema | None = None) -> Breaches:
    """Every place where a JSON value is not of the shape the schema asks for."""
    root = schema if schema is not None else json.loads(SCHEMA.read_text(encoding="utf-8"))
    yield from _value(plan, root, root, "plan")


def _value(value: Any, schema: Schema, root: Schema, where: str) -> Breaches:
    for word, asked in schema.items():
        if word not in WORDS:
            yield from KEYWORDS[word](value, asked, root, where)


def _reference(value: Any, asked: str, root: Schema, where: str) -> Breaches:
    found: Any = root
    for part in asked.removeprefix("#/").split("/"):
        found = found[part]
    yield from _value(value, found, root, where)


def is_of(value: Any, kind: str) -> bool:
    """Whether a JSON value is of a type of JSON Schema; true and false are no numbers, 2.0 is whole."""
    if kind in ("integer", "number"):
        number = isinstance(value, (int, float)) and not isinstance(value, bool)
        return number and (kind == "number" or value == int(value))
    types = {"object": dict, "array": list, "string": str, "boolean": bool, "null": type(None)}
    return isinstance(value, types[kind])


def _type(value: Any, asked: str | list[str], _root: Schema, where: str) -> Breaches:
    kinds = [asked] if isinstance(asked, str) else asked
    if not any(is_of(value, kind) for kind in kinds):
        yield Breach("shape", where, f"{value!r} is not of type {' or '.join(kinds)}")


def _required(value: Any, asked: list[str], _root: Schema, where: str) -> Breaches:
    if isinstance(value, dict):
        for name in asked:
            if name not in value:
                yield Breach("shape", where, f"{name} is missing")


def _properties(value: Any, asked: Mapping[str, Schema], root: Schema, where: str) -> Breaches:
    if isinstance(value, dict):
        for name, inner in asked.items():
            if name in value:
                yield from _value(value[name], inner, root, f"{where}.{name}")


def _additional(value: Any, asked: Schema, root: Schema, where: str) -> Breaches:
    """Only where a schema names no properties of its own, as it stands in this format."""
    if isinstance(value, dict):
        for name, inner in value.items():
            yield from _value(inner, asked, root, f"{where}.{name}")


def _items(value: Any, asked: Schema, root: Schema, where: str) -> Breaches:
    if isinstance(value, list):
        for number, inner in enumerate(value):
            yield from _value(inner, asked, root, f"{where}[{number}]")


def _any_of(value: Any, asked: list[Schema], root: Schema, where: str) -> Breaches:
    if not any(next(_value(value, one, root, where), None) is None for one in asked):
        yield Breach("shape", where, f"{value!r} is of none of the shapes allowed")


def _enum(value: Any, asked: list[Any], _root: Schema, where: str) -> Breaches:
    if value not in asked:
        yield Breach("shape", where, f"{value!r} is none of {', '.join(map(repr, asked))}")


def _const(value: Any, asked: Any, _root: Schema, where: str) -> Breaches:
    if value != asked or isinstance(value, bool) != isinstance(asked, bool):
        yield Breach("shape", where, f"{value!r} is not {asked!r}")


def _pattern(value: Any, asked: str, _root: Schema, where: str) -> Breaches:
    if isinstance(value, str) and not re.search(asked, value):
        yield Breach("shape", where, f"{value!r} is not written as {asked}")


def _format(value: Any, asked: str, _root: Schema, where: str) -> Breaches:
    if asked != "date":
        raise ValueError(f"format {asked} is not known")
    if isinstance(value, str):
        try:
            date.fromisoformat(value)
        except ValueError:
            yield Breach("shape", where, f"{value!r} is no date")


def _bound(low: bool, length: bool) -> Callable[[Any, Any, Schema, str], Breaches]:
    """One of minimum, maximum, minItems, maxItems."""

    def bound(value: Any, asked: Any, _root: Schema, where: str) -> Breaches:
        if not is_of(value, "array" if length else "number"):
            return
        size = len(value) if length else value
        if not (size >= asked if low else size <= asked):
            yield Breach("shape", where, f"{size} is {'less' if low else 'more'} than {asked}")

    return bound


KEYWORDS: dict[str, Callable[[Any, Any, Schema, str], Breaches]] = {
    "$ref": _reference,
    "type": _type,
    "required": _required,
    "properties": _properties,
    "additionalProperties": _additional,
    "items": _items,
    "anyOf": _any_of,
    "enum": _enum,
    "const": _const,
    "pattern": _pattern,
    "format": _format,
    "minimum": _bound(low=True, length=False),
    "maximum": _bound(low=False, length=False),
    "minItems": _bound(low=True, length=True),
    "maxItems": _bound(low=False, length=True),
}

"""From frozen types and their words to a JSON Schema (draft 2020-12): for plans and for terms alike.

Whole and other numbers are not negative unless a field's words say `signed`. A description of a type is the
first line of its own text.
"""

from __future__ import annotations

import datetime as dt
import types
from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields, is_dataclass
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

DRAFT = "https://json-schema.org/draft/2020-12/schema"
PLAIN: Mapping[Any, dict[str, Any]] = {
    str: {"type": "string"},
    bool: {"type": "boolean"},
    int: {"type": "integer", "minimum": 0},
    float: {"type": "number", "minimum": 0},
    dt.date: {"type": "string", "format": "date", "pattern": r"^\d{4}-\d{2}-\d{2}$"},
    Any: {},
}


@dataclass(frozen=True, slots=True)
class Maker:
    """The types that get a name of their own in the schema, and the words of every field of a type.

    `words(type, field)` gives its description, and its limits by their names in JSON Schema.
    """

    records: Mapping[str, type]
    words: Callable[[type, str], Mapping[str, Any]]

    def schema(
        self, top: type, title: str, head: str, instead: Mapping[str, Any] | None = None
    ) -> dict[str, Any]:
        """The whole schema of `top`; `instead` names other types for some of its fields."""
        body = self._record(top, instead)
        return {
            "$schema": DRAFT,
            "title": title,
            "description": head,
            "type": "object",
            "required": ["format", *body["required"]],
            "properties": {"format": {"description": "name of this format", "const": title}}
            | body["properties"],
            "$defs": {
                name: {"description": _summary(kind)} | self._record(kind)
                for name, kind in self.records.items()
            },
        }

    def _record(self, kind: type, instead: Mapping[str, Any] | None = None) -> dict[str, Any]:
        """An object with every field of a type."""
        hints = get_type_hints(kind) | dict(instead or {})
        names = [field.name for field in fields(kind)]
        return {
            "type": "object",
            "required": names,
            "properties": {name: self._field(hints[name], self.words(kind, name)) for name in names},
        }

    def _field(self, hint: Any, words: Mapping[str, Any]) -> dict[str, Any]:
        """One field: its text, what it may hold, and its limits."""
        told = dict(words)
        shape, description = self._shape(hint), told.pop("description")
        if told.pop("signed", False):
            shape.pop("minimum")
        if "items_minimum" in told:
            shape["items"]["minimum"] = told.pop("items_minimum")
        return {"description": description} | shape | told

    def _shape(self, hint: Any) -> dict[str, Any]:
        """What a value of this type looks like in JSON."""
        origin, inner = get_origin(hint), get_args(hint)
        if is_dataclass(hint):
            return {"$ref": f"#/$defs/{next(name for name, kind in self.records.items() if kind is hint)}"}
        if origin is Literal:
            return {"enum": list(inner)}
        if origin in (Union, types.UnionType):
            return _or_null(self._shape(next(one for one in inner if one is not type(None))))
        if origin is tuple:
            return {"type": "array", "items": self._shape(inner[0])}
        if origin in (Mapping, dict):
            return {"type": "object", "additionalProperties": self._shape(inner[1])}
        return dict(PLAIN[hint])


def _or_null(shape: dict[str, Any]) -> dict[str, Any]:
    """The same, or null."""
    if "$ref" in shape:
        return {"anyOf": [shape, {"type": "null"}]}
    return shape | {"type": [shape["type"], "null"]}


def _summary(kind: type) -> str:
    """The first line of a type's own text."""
    return (kind.__doc__ or "").strip().splitlines()[0]

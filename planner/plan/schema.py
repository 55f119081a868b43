"""The JSON Schema (draft 2020-12) of a plan, generated from the types of `weekplan.py`.

`plan.schema.json` beside this module is its output and what `planner schema` prints; it is written again by
`python -m planner.plan.schema`.
"""

from __future__ import annotations

import datetime as dt
import json
import types
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from planner.plan.schema_types import MAPPINGS, RECORDS
from planner.plan.schema_words import FIELDS, HEAD
from planner.plan.weekplan import FORMAT, WeekPlan

DRAFT = "https://json-schema.org/draft/2020-12/schema"
FILE = Path(__file__).with_name("plan.schema.json")
PLAIN: Mapping[Any, dict[str, Any]] = {
    str: {"type": "string"},
    bool: {"type": "boolean"},
    int: {"type": "integer", "minimum": 0},
    float: {"type": "number", "minimum": 0},
    dt.date: {"type": "string", "format": "date", "pattern": r"^\d{4}-\d{2}-\d{2}$"},
    Any: {},
}


def schema() -> dict[str, Any]:
    """The whole schema as plain JSON values."""
    body = _record(WeekPlan, MAPPINGS)
    return {
        "$schema": DRAFT,
        "title": FORMAT,
        "description": HEAD,
        "type": "object",
        "required": ["format", *body["required"]],
        "properties": {"format": {"description": "name of this format", "const": FORMAT}}
        | body["properties"],
        "$defs": {name: {"description": _summary(kind)} | _record(kind) for name, kind in RECORDS.items()},
    }


def schema_text() -> str:
    """The schema as the text that is shipped and printed."""
    return json.dumps(schema(), ensure_ascii=False, indent=2) + "\n"


def _record(kind: type, instead: Mapping[str, Any] | None = None) -> dict[str, Any]:
    """An object with every field of a type; `instead` names other types for some of them."""
    hints = get_type_hints(kind) | dict(instead or {})
    names = [field.name for field in fields(kind)]
    return {
        "type": "object",
        "required": names,
        "properties": {name: _field(hints[name], FIELDS[kind][name]) for name in names},
    }


def _field(hint: Any, words: Mapping[str, Any]) -> dict[str, Any]:
    """One field: its text, what it may hold, and its limits."""
    told = dict(words)
    shape, description = _shape(hint), told.pop("description")
    if told.pop("signed", False):
        shape.pop("minimum")
    if "items_minimum" in told:
        shape["items"]["minimum"] = told.pop("items_minimum")
    return {"description": description} | shape | told


def _shape(hint: Any) -> dict[str, Any]:
    """What a value of this type looks like in JSON."""
    origin, inner = get_origin(hint), get_args(hint)
    if is_dataclass(hint):
        return {"$ref": f"#/$defs/{next(name for name, kind in RECORDS.items() if kind is hint)}"}
    if origin is Literal:
        return {"enum": list(inner)}
    if origin in (Union, types.UnionType):
        return _or_null(_shape(next(one for one in inner if one is not type(None))))
    if origin is tuple:
        return {"type": "array", "items": _shape(inner[0])}
    if origin in (Mapping, dict):
        return {"type": "object", "additionalProperties": _shape(inner[1])}
    return dict(PLAIN[hint])


def _or_null(shape: dict[str, Any]) -> dict[str, Any]:
    """The same, or null."""
    if "$ref" in shape:
        return {"anyOf": [shape, {"type": "null"}]}
    return shape | {"type": [shape["type"], "null"]}


def _summary(kind: type) -> str:
    """The first line of a type's own text."""
    return (kind.__doc__ or "").strip().splitlines()[0]


if __name__ == "__main__":
    FILE.write_text(schema_text(), encoding="utf-8")

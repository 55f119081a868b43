"""The JSON Schema (draft 2020-12) of a term, generated from the types of `termplan.py` and the words below.

`term.schema.json` beside this module is its output and what `planner schema --of term` prints; it is written
again by `python -m planner.plan.term.schema`.
"""

from __future__ import annotations

import datetime as dt
import json
import types
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any, Union, get_args, get_origin, get_type_hints

from planner.plan.term.schema_words import FIELDS, HEAD, SIGNED
from planner.plan.term.termplan import FORMAT, TermPlan

DRAFT = "https://json-schema.org/draft/2020-12/schema"
FILE = Path(__file__).with_name("term.schema.json")
PLAIN: Mapping[Any, dict[str, Any]] = {
    str: {"type": "string"},
    bool: {"type": "boolean"},
    int: {"type": "integer", "minimum": 0},
    float: {"type": "number", "minimum": 0},
    dt.date: {"type": "string", "format": "date", "pattern": r"^\d{4}-\d{2}-\d{2}$"},
    Any: {},
}


def term_schema() -> dict[str, Any]:
    """The whole schema as plain JSON values."""
    body = _record(TermPlan)
    kinds = [kind for kind in FIELDS if kind is not TermPlan]
    return {
        "$schema": DRAFT,
        "title": FORMAT,
        "description": HEAD,
        "type": "object",
        "required": ["format", *body["required"]],
        "properties": {"format": {"description": "name of this format", "const": FORMAT}}
        | body["properties"],
        "$defs": {kind.__name__: {"description": _summary(kind)} | _record(kind) for kind in kinds},
    }


def term_schema_text() -> str:
    """The schema as the text that is shipped and printed."""
    return json.dumps(term_schema(), ensure_ascii=False, indent=2) + "\n"


def _record(kind: type) -> dict[str, Any]:
    hints = get_type_hints(kind)
    names = [field.name for field in fields(kind)]
    return {
        "type": "object",
        "required": names,
        "properties": {name: _field(kind, name, hints[name]) for name in names},
    }


def _field(kind: type, name: str, hint: Any) -> dict[str, Any]:
    words = FIELDS[kind][name]
    text, limits = words if isinstance(words, tuple) else (words, {})
    shape = _shape(hint)
    if (kind, name) in SIGNED:
        shape.pop("minimum")
    return {"description": text} | shape | limits


def _shape(hint: Any) -> dict[str, Any]:
    origin, inner = get_origin(hint), get_args(hint)
    if is_dataclass(hint) and isinstance(hint, type):
        return {"$ref": f"#/$defs/{hint.__name__}"}
    if origin in (Union, types.UnionType):
        shape = _shape(next(one for one in inner if one is not type(None)))
        return shape | {"type": [shape["type"], "null"]}
    if origin is tuple:
        return {"type": "array", "items": _shape(inner[0])}
    if origin in (Mapping, dict):
        return {"type": "object", "additionalProperties": _shape(inner[1])}
    return dict(PLAIN[hint])


def _summary(kind: type) -> str:
    return (kind.__doc__ or "").strip().splitlines()[0]


if __name__ == "__main__":
    FILE.write_text(term_schema_text(), encoding="utf-8")

"""From the plan's JSON to frozen types, with every field present and of its type.

Conventions: a field that is not in the type is left alone (names may be added to the format); a whole
number stands where a float is asked for, never the other way round; true and false are no numbers; NaN and
infinities are refused; dates are ISO dates. Faults carry the path of the value, such as
`days[0].items[3].load`.
"""

from __future__ import annotations

import datetime as dt
import math
import types
from collections.abc import Callable, Mapping
from dataclasses import fields, is_dataclass
from functools import cache
from typing import Any, TypeVar, Union, cast, get_args, get_origin, get_type_hints

T = TypeVar("T")
Fault = tuple[str, str]
Reader = Callable[[Any, list[Fault]], Any]


def decode(kind: type[T], value: object) -> tuple[T | None, tuple[Fault, ...]]:
    """`value` as a `kind`, or None and every (path, what is wrong) found in it."""
    faults: list[Fault] = []
    result = _reader(cast("Any", kind))(value, faults)
    return (None, tuple(faults)) if faults else (cast("T", result), ())


@cache
def _reader(hint: Any) -> Reader:
    """The function that reads one kind of value."""
    if hint in _PLAIN:
        return _PLAIN[hint]
    if is_dataclass(hint):
        return _record_reader(hint)
    origin, inner = get_origin(hint), get_args(hint)
    if origin in (Union, types.UnionType):
        return _optional_reader(next(kind for kind in inner if kind is not type(None)))
    if origin is tuple:
        return _list_reader(inner[0])
    return _mapping_reader(inner[1])


def _record_reader(kind: Any) -> Reader:
    hints = get_type_hints(kind)
    readers = [(field.name, _reader(hints[field.name])) for field in fields(kind)]

    def read(value: Any, faults: list[Fault]) -> Any:
        if not isinstance(value, Mapping):
            return _wrong(faults, "an object", value)
        parts: dict[str, Any] = {}
        for name, reader in readers:
            if name not in value:
                faults.append((name, "is missing"))
                continue
            known = len(faults)
            parts[name] = reader(value[name], faults)
            _prefix(faults, known, name)
        return kind(**parts) if len(parts) == len(readers) else None

    return read


def _list_reader(kind: Any) -> Reader:
    inner = _reader(kind)

    def read(value: Any, faults: list[Fault]) -> Any:
        if not isinstance(value, list):
            return _wrong(faults, "a list", value)
        parts = []
        for index, part in enumerate(value):
            known = len(faults)
            parts.append(inner(part, faults))
            _prefix(faults, known, f"[{index}]")
        return tuple(parts)

    return read


def _mapping_reader(kind: Any) -> Reader:
    inner = _reader(kind)

    def read(value: Any, faults: list[Fault]) -> Any:
        if not isinstance(value, Mapping):
            return _wrong(faults, "an object", value)
        parts = {}
        for name, part in value.items():
            known = len(faults)
            parts[name] = inner(part, faults)
            _prefix(faults, known, str(name))
        return parts

    return read


def _optional_reader(kind: Any) -> Reader:
    inner = _reader(kind)
    return lambda value, faults: None if value is None else inner(value, faults)


def _prefix(faults: list[Fault], known: int, name: str) -> None:
    """Put `name` before the paths of the faults found since there were `known`."""
    for index in range(known, len(faults)):
        path, what = faults[index]
        joint = "" if not path or path.startswith("[") else "."
        faults[index] = (f"{name}{joint}{path}", what)


def _wrong(faults: list[Fault], wanted: str, value: object) -> None:
    faults.append(("", f"should be {wanted}, is {value!r:.60}"))


def _text(value: Any, faults: list[Fault]) -> Any:
    return value if isinstance(value, str) else _wrong(faults, "text", value)


def _whole(value: Any, faults: list[Fault]) -> Any:
    return value if type(value) is int else _wrong(faults, "a whole number", value)


def _number(value: Any, faults: list[Fault]) -> Any:
    fine = type(value) is int or (type(value) is float and math.isfinite(value))
    return value if fine else _wrong(faults, "a number", value)


def _truth(value: Any, faults: list[Fault]) -> Any:
    return value if isinstance(value, bool) else _wrong(faults, "true or false", value)


def _date(value: Any, faults: list[Fault]) -> Any:
    try:
        day = dt.date.fromisoformat(value)
    except (TypeError, ValueError):
        return _wrong(faults, "an ISO date", value)
    return day if day.isoformat() == value else _wrong(faults, "a date as 2026-09-07", value)


def _anything(value: Any, faults: list[Fault]) -> Any:  # noqa: ARG001 - one shape for all readers
    return value


_PLAIN: dict[Any, Reader] = {
    str: _text,
    int: _whole,
    float: _number,
    bool: _truth,
    dt.date: _date,
    Any: _anything,
}

"""The JSON Schemas (draft 2020-12) of `why`, `progress`, `week --changes` and `rebalance` with --json.

`<name>.schema.json` beside this module are its output and what `planner schema --of NAME` prints; they are
written again by `python -m planner.horizon.json_schema`.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import fields
from pathlib import Path
from typing import Any, get_type_hints

from planner.horizon import json_types
from planner.horizon.json_types import ChangesJson, ProgressJson, RebalanceJson, WhyJson
from planner.plan.schema_maker import Maker

TOPS: Mapping[str, tuple[type, str, str]] = {
    "why": (WhyJson, "planner.why/1", "why COMBINATION"),
    "progress": (ProgressJson, "planner.progress/1", "progress"),
    "changes": (ChangesJson, "planner.changes/1", "week --changes"),
    "rebalance": (RebalanceJson, "planner.rebalance/1", "rebalance"),
}
"""Name of a schema: its type, the format it describes, the command that prints it."""


def schema_file(name: str) -> Path:
    """Where a schema is shipped."""
    return Path(__file__).with_name(f"{name}.schema.json")


def schema(name: str) -> dict[str, Any]:
    """One schema as plain JSON values; KeyError for a name that is not of `TOPS`."""
    top, title, command = TOPS[name]
    inside = {kind.__name__.removesuffix("Json"): kind for kind in _inside(top)}
    maker = Maker(inside, lambda kind, word: _words(kind)[word])
    summary = (top.__doc__ or "").splitlines()[0]
    head = (
        f"{summary} What planner {command} --json prints ({title}). Dates are ISO dates; a notch is a "
        "sixteenth of an octave of tempo. Every field is always there: one that does not apply is null, an "
        "empty text or an empty list. Fields may be added within this format; none is taken away or changed."
    )
    return maker.schema(top, title, head)


def schema_text(name: str) -> str:
    """The schema as the text that is shipped and printed."""
    return json.dumps(schema(name), ensure_ascii=False, indent=2) + "\n"


def _words(kind: type) -> dict[str, Mapping[str, Any]]:
    """Of every field what stands beside its type."""
    hints = get_type_hints(kind, include_extras=True)
    return {one.name: hints[one.name].__metadata__[0] for one in fields(kind)}


def _inside(top: type) -> list[type]:
    """The types below a top one, in the order in which the module has them."""
    kinds = {name: kind for name, kind in vars(json_types).items() if name.endswith("Json")}
    found: list[type] = []
    waiting = [top]
    while waiting:
        for one in fields(waiting.pop()):
            for name, kind in kinds.items():
                if name in str(one.type) and kind not in found:
                    found.append(kind)
                    waiting.append(kind)
    return [kind for kind in kinds.values() if kind in found]


if __name__ == "__main__":
    for each in TOPS:
        schema_file(each).write_text(schema_text(each), encoding="utf-8")

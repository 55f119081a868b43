"""The JSON Schema (draft 2020-12) of a term, generated from the types of `termplan.py`.

`term.schema.json` beside this module is its output and what `planner schema --of term` prints; it is written
again by `python -m planner.plan.term.schema`.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from planner.plan.schema_maker import Maker
from planner.plan.term.schema_words import FIELDS, HEAD
from planner.plan.term.termplan import FORMAT, TermPlan

FILE = Path(__file__).with_name("term.schema.json")


def term_schema() -> dict[str, Any]:
    """The whole schema as plain JSON values."""
    records = {kind.__name__: kind for kind in FIELDS if kind is not TermPlan}
    return Maker(records, _words).schema(TermPlan, FORMAT, HEAD)


def term_schema_text() -> str:
    """The schema as the text that is shipped and printed."""
    return json.dumps(term_schema(), ensure_ascii=False, indent=2) + "\n"


def _words(kind: type, name: str) -> Mapping[str, Any]:
    words = FIELDS[kind][name]
    text, limits = words if isinstance(words, tuple) else (words, {})
    return {"description": text} | limits


if __name__ == "__main__":
    FILE.write_text(term_schema_text(), encoding="utf-8")

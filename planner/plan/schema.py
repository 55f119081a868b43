"""The JSON Schema (draft 2020-12) of a plan, generated from the types of `weekplan.py`.

`plan.schema.json` beside this module is its output and what `planner schema` prints; it is written again by
`python -m planner.plan.schema`.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from planner.plan.schema_maker import Maker
from planner.plan.schema_types import MAPPINGS, RECORDS
from planner.plan.schema_words import FIELDS, HEAD
from planner.plan.weekplan import FORMAT, WeekPlan

FILE = Path(__file__).with_name("plan.schema.json")


def schema() -> dict[str, Any]:
    """The whole schema as plain JSON values."""
    maker = Maker(RECORDS, lambda kind, name: FIELDS[kind][name])
    return maker.schema(WeekPlan, FORMAT, HEAD, MAPPINGS)


def schema_text() -> str:
    """The schema as the text that is shipped and printed."""
    return json.dumps(schema(), ensure_ascii=False, indent=2) + "\n"


if __name__ == "__main__":
    FILE.write_text(schema_text(), encoding="utf-8")

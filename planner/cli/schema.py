"""`planner schema`: what `--json` prints, as a JSON Schema. Standard library and typer only."""

from __future__ import annotations

from importlib.resources import files
from typing import Annotated

import typer

from planner.cli.run import put
from planner.errors import UsageError

SCHEMAS = {
    "plan": ("planner.plan", "plan.schema.json"),
    "term": ("planner.plan.term", "term.schema.json"),
    "why": ("planner.horizon", "why.schema.json"),
    "progress": ("planner.horizon", "progress.schema.json"),
    "changes": ("planner.horizon", "changes.schema.json"),
    "rebalance": ("planner.horizon", "rebalance.schema.json"),
}


def schema(
    of: Annotated[str, typer.Option("--of", help=f"One of {', '.join(SCHEMAS)}.")] = "plan",
) -> None:
    r"""The JSON Schema of what --json prints: a plan (today, week), a term, why, progress and others.

    \b
    planner schema > plan.schema.json
    planner schema --of term > term.schema.json
    planner schema --of changes         of planner week --changes
    """
    if of not in SCHEMAS:
        raise UsageError(f"there is no schema of {of[:40]!r}", f"known: {', '.join(SCHEMAS)}")
    package, name = SCHEMAS[of]
    put((files(package) / name).read_text(encoding="utf-8"))

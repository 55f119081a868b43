"""`planner schema`: what `--json` prints, as a JSON Schema. Standard library and typer only."""

from __future__ import annotations

from importlib.resources import files

from planner.cli.run import put


def schema() -> None:
    r"""The JSON Schema of a plan, as `planner week --json` and `planner today --json` print it.

    \b
    planner schema > plan.schema.json
    """
    put((files("planner.plan") / "plan.schema.json").read_text(encoding="utf-8"))

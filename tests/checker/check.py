"""The second checker of a week's plan: every rule of README.md counted again from the plan's JSON.

It shares nothing with the program: only the standard library, the plan, the JSON Schema of plans and,
where given, the player's own TOML file and the curriculum's. What these do not hold is not checked:
whether the estimate behind a tempo is right, whether the combinations are all there, and the exact cost
of pairs and touches, for which only the least is known.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

from checker.breach import Breach, Breaches
from checker.day import frame, goes, limits, room, routine, size
from checker.known import Known
from checker.player import read_exercises, read_player
from checker.shape import Schema, shape
from checker.soft import costs, families, rules, stages
from checker.spans import curriculum as curriculum_facts
from checker.spans import spans, told
from checker.states import coverage, empty, states
from checker.times import sums, tempo, times
from checker.week import calendar, file, heavy, load, order, pins, running

CHECKS: tuple[Callable[[Known], Breaches], ...] = (
    calendar,
    times,
    tempo,
    sums,
    frame,
    room,
    routine,
    size,
    goes,
    limits,
    load,
    heavy,
    running,
    pins,
    states,
    coverage,
    empty,
    rules,
    stages,
    costs,
    families,
    file,
    order,
    spans,
    told,
    curriculum_facts,
)


def check(
    plan: Any, player: Path | None = None, curriculum: Path | None = None, schema: Schema | None = None
) -> list[Breach]:
    """Every breach found in a plan (`planner.plan/1` as JSON values); [] for a sound one.

    `player` and `curriculum` are TOML files. A plan of the wrong shape is told for that alone.
    """
    found = list(shape(plan, schema))
    if found:
        return found
    known = Known(
        plan,
        read_player(player, date.fromisoformat(plan["anchor"])) if player else None,
        read_exercises(curriculum) if curriculum else None,
    )
    return [breach for one in CHECKS for breach in one(known)]


def check_file(plan: Path, player: Path | None = None, curriculum: Path | None = None) -> list[Breach]:
    """The same for a file; text that is no JSON is a breach of the shape."""
    try:
        value = json.loads(plan.read_text(encoding="utf-8"))
    except ValueError as error:
        return [Breach("shape", plan.name, f"this is no JSON: {error}")]
    return check(value, player, curriculum)

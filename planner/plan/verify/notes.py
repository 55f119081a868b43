"""The small objects of a plan which `weekplan.py` keeps as mappings, as frozen types for the checker."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from planner.plan.weekplan import Stage


@dataclass(frozen=True, slots=True)
class Capacity:
    """What the minutes carry: items a week, and the span granted to what is kept up, in days."""

    items_per_week: int
    granted_span_days: int
    sentence: str


@dataclass(frozen=True, slots=True)
class Left:
    """One combination that is wanted this week and has no turn."""

    combination: str
    reason: str
    expected: dt.date | None


@dataclass(frozen=True, slots=True)
class Coverage:
    """Turns wanted this week, turns met, and what is left."""

    wanted: int
    met: int
    left: tuple[Left, ...]


@dataclass(frozen=True, slots=True)
class SolverNote:
    """How the plan was found."""

    stages: tuple[Stage, ...]
    work: float
    stopped_by: str


@dataclass(frozen=True, slots=True)
class Before:
    """The day before the first day, from the diary."""

    date: dt.date
    load: float
    heavy: bool
    combinations: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RuleNote:
    """What the plan says about one rule."""

    hard: bool
    broken: int
    parameters: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class InputNote:
    """One file the plan was made from."""

    name: str
    sha256: str


@dataclass(frozen=True, slots=True)
class Excluded:
    """One combination that is not played, and why."""

    combination: str
    reason: str


@dataclass(frozen=True, slots=True)
class Notes:
    """All of them; the names are the plan's own."""

    capacity: Capacity
    coverage: Coverage
    solver: SolverNote
    before: Before
    rules: Mapping[str, RuleNote]
    inputs: tuple[InputNote, ...]
    excluded: tuple[Excluded, ...]

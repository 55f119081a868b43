"""The small objects of a plan which `weekplan.py` keeps as mappings, as types, for the plan's JSON Schema."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from planner.plan.weekplan import CleanTempoFigures, CombinationState, PlanDay, PlanItem, Stage


@dataclass(frozen=True, slots=True)
class MadeWith:
    """The versions of the program and its solver; another version may plan another week."""

    planner: str
    ortools: str


@dataclass(frozen=True, slots=True)
class InputFile:
    """One file the plan was made from."""

    name: str
    sha256: str


@dataclass(frozen=True, slots=True)
class CapacityNote:
    """What the minutes of the week carry."""

    items_per_week: int
    granted_span_days: int
    sentence: str
    proof: str
    fits: bool


@dataclass(frozen=True, slots=True)
class RuleNote:
    """How the plan stands to one rule."""

    hard: bool
    broken: int
    cost: int
    sentence: str
    parameters: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class SolverNote:
    """How the plan was found and what is proven of it; no wall-clock figure."""

    stages: tuple[Stage, ...]
    work: float
    stopped_by: Literal["proven", "work", "clock", "Ctrl-C"]


@dataclass(frozen=True, slots=True)
class Left:
    """A combination that wants a turn this week and has none."""

    combination: str
    reason: str
    expected: dt.date | None


@dataclass(frozen=True, slots=True)
class CoverageNote:
    """The turns that are wanted this week, and those the plan gives."""

    wanted: int
    met: int
    left: tuple[Left, ...]


@dataclass(frozen=True, slots=True)
class Excluded:
    """A combination that is not for this player now."""

    combination: str
    reason: str


@dataclass(frozen=True, slots=True)
class Before:
    """The day before the first day, from the diary; the rules over two days need it."""

    date: dt.date
    load: float
    heavy: bool
    combinations: tuple[str, ...]


MAPPINGS: Mapping[str, Any] = {
    "made_with": MadeWith,
    "inputs": tuple[InputFile, ...],
    "capacity": CapacityNote,
    "rules": Mapping[str, RuleNote],
    "solver": SolverNote,
    "coverage": CoverageNote,
    "pairs": tuple[Mapping[str, Any], ...],
    "excluded": tuple[Excluded, ...],
    "pins": tuple[Mapping[str, str], ...],
    "before": Before,
}
"""What the fields of a plan hold that `weekplan.py` types as mappings."""

RECORDS: Mapping[str, type] = {
    "item": PlanItem,
    "clean_tempo": CleanTempoFigures,
    "day": PlanDay,
    "stage": Stage,
    "state": CombinationState,
    "made_with": MadeWith,
    "input": InputFile,
    "capacity": CapacityNote,
    "rule": RuleNote,
    "solver": SolverNote,
    "left": Left,
    "coverage": CoverageNote,
    "excluded": Excluded,
    "before": Before,
}
"""Every object of a plan by the name of its definition."""

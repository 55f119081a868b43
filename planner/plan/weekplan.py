"""A finished plan as frozen types, and the same as JSON (`planner.plan/1`).

Conventions: whole seconds; dates are ISO dates; loads are play minutes x intensity with one decimal
or three; notes are written MIDI numbers. Every item has every field; one that does not apply is
0, "" or [], and tempo, clean_tempo, turn_by and last_played are null. No wall-clock figure anywhere.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Mapping
from dataclasses import dataclass, fields, is_dataclass
from typing import Any

FORMAT = "planner.plan/1"


@dataclass(frozen=True, slots=True)
class CleanTempoFigures:
    """The estimate behind a target: mean and spread in notches from the goal, success at the target."""

    mean: float
    sd: float
    success: float


@dataclass(frozen=True, slots=True)
class PlanItem:
    """One line of the routine. `kind` is "play" or "rest"; the family tells warm-up and own music."""

    id: str
    block: str
    kind: str
    family: str
    measure: str
    exercise: str
    title: str
    pattern: str
    place: str
    combination: str
    articulation: str
    at: int
    seconds: int
    play_seconds: int
    breath_pauses_seconds: int
    pause_seconds: int
    breath_seconds: float
    go: int
    goes: int
    rounds: int
    passes: int
    passes_wanted: int
    bars: int
    eighths_per_bar: float
    meter: str
    grouping: tuple[int, ...]
    notation: str
    keys: tuple[str, ...]
    positions: tuple[int, ...]
    fingerings: tuple[str, ...]
    first_note: str
    beat: str
    tempo: int | None
    tempo_first: int
    tempo_goal: int
    target: float
    lowest: int
    highest: int
    intensity: int
    load: float
    need: float
    clean_tempo: CleanTempoFigures | None
    state: str
    wanted: bool
    turn_by: dt.date | None
    last_played: dt.date | None
    pinned: bool
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PlanDay:
    """One day: its minutes, its load and its items in the order in which they are played."""

    date: dt.date
    title: str
    seconds_free: int
    available_seconds: int
    seconds_used: int
    load: float
    load_limit: float
    load_two_days: float
    load_two_days_limit: float
    playing_load: float
    notes: tuple[str, ...]
    without: tuple[str, ...]
    items: tuple[PlanItem, ...]


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage of the solve: what it looked for, how far it got and what is proven."""

    goal: str
    value: int
    bound: int
    status: str


@dataclass(frozen=True, slots=True)
class CombinationState:
    """What the week wants of one combination; `need` in thousandths, `since` in practice days."""

    combination: str
    state: str
    need: int
    since: int
    value: int
    value_again: int
    turn_by: dt.date | None
    last_played: dt.date | None
    articulations: tuple[str, ...]
    wanted: bool


@dataclass(frozen=True, slots=True)
class WeekPlan:
    """A checked plan from `first_day` to `last_day`, both included."""

    player: str
    name: str
    instrument: str
    curriculum: str
    curriculum_title: str
    curriculum_week: int
    curriculum_weeks: int
    highest: int
    known_notes: tuple[int, ...]
    longest_position: int
    anchor: dt.date
    first_day: dt.date
    last_day: dt.date
    seed: int
    made_with: Mapping[str, str]
    inputs: tuple[Mapping[str, str], ...]
    diary_digest: str
    ratings_from: str
    capacity: Mapping[str, Any]
    rules: Mapping[str, Mapping[str, Any]]
    solver: Mapping[str, Any]
    coverage: Mapping[str, Any]
    combinations: tuple[CombinationState, ...]
    pairs: tuple[Mapping[str, Any], ...]
    excluded: tuple[Mapping[str, str], ...]
    pins: tuple[Mapping[str, str], ...]
    before: Mapping[str, Any]
    days: tuple[PlanDay, ...]

    def to_json(self) -> dict[str, Any]:
        """The plan as plain JSON values, `format` first."""
        body: dict[str, Any] = plain(self)
        return {"format": FORMAT} | body


def plain(value: Any) -> Any:
    """Dataclasses, mappings, tuples and dates as JSON values, in the order of their fields."""
    if is_dataclass(value):
        return {field.name: plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, Mapping):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, (tuple, list)):
        return [plain(item) for item in value]
    return value.isoformat() if isinstance(value, dt.date) else value


def dumps(plan: Mapping[str, Any]) -> str:
    """A plan or a term as the text that is stored and printed: the same bytes for the same values."""
    return json.dumps(plan, ensure_ascii=False, indent=1) + "\n"

"""A finished term as frozen types, and the same as JSON (`planner.term/1`).

Conventions: whole seconds; ISO dates; weeks of the curriculum count from 1, `iso_week` is the week of ISO
8601 ("2026-W53"); loads are play minutes x intensity; tempos are marks of the exercise's own beat. An item is
one combination on one day, both goes together. No wall-clock figure anywhere.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from planner.plan.weekplan import plain

FORMAT = "planner.term/1"


@dataclass(frozen=True, slots=True)
class TermItem:
    """One combination on one day. `promised`: the term's own; else what the free share goes to."""

    combination: str
    articulation: str
    state: str
    promised: bool
    tempo: int | None
    target: float
    beat: str
    at: int
    seconds: int
    play_seconds: int
    goes: int
    load: float


@dataclass(frozen=True, slots=True)
class TermDay:
    """One day with practice or without: its room, what is used of it, its items in playing order.

    `seconds_used` and `load` hold warm-up, own music and warm-down too, `load` rehearsals as well.
    """

    date: dt.date
    title: str
    seconds_free: int
    seconds_used: int
    load: float
    load_limit: float
    items: tuple[TermItem, ...]


@dataclass(frozen=True, slots=True)
class TermWeek:
    """One week: what is new in it, what comes back, what it takes, what it could not hold.

    `items_carried`: items that its minutes carry. `in_work` are the combinations in work this week. `left`:
    promised and not laid out. `cuts`: turns that this week sent back to the term because they could not be
    laid out in it. `pairs_missed`: exercises not met in a key or on a position within two weeks.
    """

    week: int
    iso_week: str
    first_day: dt.date
    last_day: dt.date
    notes: tuple[str, ...]
    practice_days: int
    items_carried: int
    seconds_free: int
    seconds_used: int
    load: float
    load_limit: float
    new: tuple[str, ...]
    returning: tuple[str, ...]
    in_work: tuple[str, ...]
    promised: tuple[str, ...]
    left: tuple[str, ...]
    cuts: int
    pairs_missed: int
    days: tuple[TermDay, ...]


@dataclass(frozen=True, slots=True)
class TermCombination:
    """One combination through the term.

    `week`: its week in the curriculum; `meet_by`: the Sunday of that week, or of the first week with practice
    after it (null where it was met before the term). `longest_wait_days` counts from turn to turn, and to the
    end of the term, without days lost to holidays.
    """

    combination: str
    exercise: str
    week: int
    meet_by: dt.date | None
    met_before: dt.date | None
    first_met: dt.date | None
    turns: tuple[dt.date, ...]
    longest_wait_days: int
    weeks_behind: int
    weeks_over_span: int


@dataclass(frozen=True, slots=True)
class TempoStep:
    """The tempo of an exercise in one week of the curriculum.

    `planned`: on the way from its first mark to its goal, by even steps along the 39 marks to the end of the
    curriculum. `expected`: the middle target of its turns as laid out, null without one.
    """

    week: int
    planned: int
    expected: int | None


@dataclass(frozen=True, slots=True)
class TermExercise:
    """One exercise through the term: where it stands in every week and its tempo steps.

    `state`: for every week of the term "new", "in work", "kept up" or "".
    """

    exercise: str
    title: str
    family: str
    measure: str
    beat: str
    first: int
    goal: int
    combinations: int
    turns: tuple[int, ...]
    state: tuple[str, ...]
    steps: tuple[TempoStep, ...]


@dataclass(frozen=True, slots=True)
class Certificate:
    """What is proven of the term, counted on the days as they were laid out.

    `fits`: every combination met by its week and every span held. `met_by_week` of `to_meet`; `spans_held` of
    `spans`; `cost` what is given up, `bound` the least any plan of these weeks gives up, `empty` what a term
    without a turn would give up; `gap` is (cost - bound) over (empty - bound), 0 where nothing is given up.
    """

    fits: bool
    to_meet: int
    met_by_week: int
    met: int
    spans: int
    spans_held: int
    days_over_minutes: int
    days_over_load: int
    weeks_laid_out: int
    weeks_checked: int
    cost: int
    bound: int
    empty: int
    gap: float


@dataclass(frozen=True, slots=True)
class Option:
    """One change that was tried: what it changes, whether the term fits then, and its price in words."""

    kind: str
    fits: bool
    sentence: str
    amount: int


@dataclass(frozen=True, slots=True)
class TermPlan:
    """A checked term from `first_day` to `last_day`, both included."""

    player: str
    name: str
    instrument: str
    curriculum: str
    curriculum_title: str
    curriculum_weeks: int
    starts: dt.date
    anchor: dt.date
    first_day: dt.date
    last_day: dt.date
    made_with: Mapping[str, str]
    inputs: tuple[Mapping[str, str], ...]
    diary_digest: str
    ratings_from: str
    span_weeks: int
    free_share: float
    rise_a_turn: float
    capacity: Mapping[str, Any]
    certificate: Certificate
    options: tuple[Option, ...]
    solver: Mapping[str, Any]
    exercises: tuple[TermExercise, ...]
    combinations: tuple[TermCombination, ...]
    excluded: tuple[Mapping[str, str], ...]
    weeks: tuple[TermWeek, ...]

    def to_json(self) -> dict[str, Any]:
        """The term as plain JSON values, `format` first."""
        body: dict[str, Any] = plain(self)
        return {"format": FORMAT} | body

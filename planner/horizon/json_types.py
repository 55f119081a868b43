"""What `why`, `progress`, `week --changes` and `rebalance` print as JSON, as types with their words.

Only their JSON Schemas are made from these types (`json_schema.py`); the commands print plain mappings. A
field's words stand beside it: its description, and its limits by their names in JSON Schema. Notches are
sixteenths of an octave of tempo; dates are ISO dates; what does not apply is null, "" or [].
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Any, Literal

Kind = Literal["all", "exercise", "key", "position", "articulation"]
What = Literal["kept", "moved", "kept for later", "left out"]


def says(description: str, **limits: Any) -> Mapping[str, Any]:
    """The words of a field."""
    return {"description": description} | limits


# --- planner why


@dataclass(frozen=True, slots=True)
class PieceJson:
    """One piece of what is short of the goal."""

    name: Annotated[str, says("what it is: music, practised, level, exercise, key, spread and so on")]
    notches: Annotated[float, says("its share of the shortfall, in notches", signed=True)]
    sd: Annotated[float, says("spread of this part alone, in notches; 0 for what is no part of the estimate")]
    ratings: Annotated[int, says("ratings behind it")]
    sentence: Annotated[str, says("it in words, empty where it is too small to tell")]


@dataclass(frozen=True, slots=True)
class EstimateJson:
    """What is thought of one combination in the articulation of its next turn."""

    articulation: Annotated[str, says("articulation of the next turn")]
    measure: Annotated[str, says("what is measured: tempo, seconds, top note, bend, band")]
    mean: Annotated[float, says("clean tempo, notches from the goal", signed=True)]
    sd: Annotated[float, says("its spread, in notches")]
    need: Annotated[float, says("cautious shortfall in sixteen notches", maximum=1)]
    success_at_goal: Annotated[float, says("chance that the goal is clean today", maximum=1)]
    goal: Annotated[int | None, says("goal as a mark or in seconds")]
    beat: Annotated[str, says("note value of the mark")]
    clean: Annotated[int | None, says("mark or seconds that are clean now, by the mean")]
    between: Annotated[tuple[int, ...], says("the same one spread below and above")]
    shortfall: Annotated[
        float, says("what the cautious estimate is short of the goal, in notches", signed=True)
    ]
    pieces: Annotated[tuple[PieceJson, ...], says("the shortfall taken apart; the pieces add up to it")]


@dataclass(frozen=True, slots=True)
class TrialJson:
    """What another day, or no turn at all, would cost."""

    day: Annotated[dt.date | None, says("the day; null for no turn at all")]
    possible: Annotated[bool, says("whether a plan with it exists")]
    reason: Annotated[str, says("why not, where it is not possible")]
    turns: Annotated[int, says("what the soft rules cost more, 1000 for a turn", signed=True)]
    value: Annotated[int, says("by how much the value of the items changes", signed=True)]
    gives_up: Annotated[Mapping[str, int], says("rules broken more often, by name")]
    names: Annotated[tuple[str, ...], says("what is given up, the dearest first")]
    proven: Annotated[bool, says("whether it cannot cost less")]


@dataclass(frozen=True, slots=True)
class PlaceJson:
    """The combination's place in the week."""

    on_shelf: Annotated[bool, says("whether it can be planned at all this week")]
    days: Annotated[tuple[dt.date, ...], says("days on which it stands")]
    pinned: Annotated[tuple[dt.date, ...], says("days on which it is pinned")]
    state: Annotated[str, says("new, in work or kept up")]
    need: Annotated[float, says("need of the articulation that needs it most", maximum=1)]
    turn_by: Annotated[dt.date | None, says("day by which a turn is asked for")]
    last_played: Annotated[dt.date | None, says("day it was played last")]
    since: Annotated[int, says("practice days since then")]
    value: Annotated[int, says("what its first turn of the week is worth")]
    week_value: Annotated[int, says("what all turns of the week are worth")]
    reasons: Annotated[tuple[str, ...], says("why it stands where it does, the most telling first")]
    left_out: Annotated[TrialJson | None, says("what a week without it gives up; null where none is to come")]
    trials: Annotated[tuple[TrialJson, ...], says("the other days, each tried")]


@dataclass(frozen=True, slots=True)
class WhyJson:
    """Everything there is to say about one combination."""

    player: Annotated[str, says("id of the player")]
    date: Annotated[dt.date, says("day it was asked on")]
    first_day: Annotated[dt.date, says("first day of the plan")]
    last_day: Annotated[dt.date, says("last day of the plan")]
    combination: Annotated[str, says("id of the combination")]
    title: Annotated[str, says("it in words")]
    keys: Annotated[tuple[str, ...], says("its keys as written")]
    estimate: Annotated[EstimateJson | None, says("what is thought of it; null where it cannot be written")]
    week: Annotated[PlaceJson, says("its place in the week")]


# --- planner progress


@dataclass(frozen=True, slots=True)
class LevelJson:
    """A mean and its spread, in notches."""

    mean: Annotated[float, says("mean, in notches", signed=True)]
    sd: Annotated[float, says("spread, in notches")]


@dataclass(frozen=True, slots=True)
class GroupJson:
    """What has moved in one group of combinations."""

    measure: Annotated[Literal["tempo", "seconds"], says("what is measured")]
    kind: Annotated[Kind, says("what the group has in common")]
    name: Annotated[str, says("which exercise, key, position or articulation")]
    combinations: Annotated[int, says("combinations in it that were ever rated")]
    ratings: Annotated[int, says("ratings of them in all")]
    ratings_since: Annotated[int, says("ratings of them from the first day on")]
    then: Annotated[LevelJson, says("their mean on the first day, with all that is known now")]
    now: Annotated[LevelJson, says("their mean on the last day")]
    change: Annotated[LevelJson, says("the difference with its own spread")]
    moved: Annotated[bool, says("whether it is two spreads or more")]


@dataclass(frozen=True, slots=True)
class SurpriseJson:
    """A rating two spreads or more from what was expected."""

    date: Annotated[dt.date, says("its day")]
    combination: Annotated[str, says("id of the combination")]
    title: Annotated[str, says("it in words")]
    articulation: Annotated[str, says("how it was played")]
    said: Annotated[str, says("the rating in words")]
    expected: Annotated[LevelJson, says("what earlier days let expect, in notches from the goal")]
    expected_clean: Annotated[int | None, says("the same as a mark or in seconds")]
    ratings_before: Annotated[int, says("ratings of it on earlier days")]
    residual: Annotated[float, says("spreads between the two; negative is worse than expected", signed=True)]


@dataclass(frozen=True, slots=True)
class GoalJson:
    """An exercise whose goal is clean, with the next one."""

    exercise: Annotated[str, says("id of the exercise")]
    title: Annotated[str, says("it in words")]
    beat: Annotated[str, says("note value of the marks")]
    goal: Annotated[int, says("the goal that is clean, a mark")]
    offered: Annotated[int, says("the goal offered, a mark")]


@dataclass(frozen=True, slots=True)
class ProgressJson:
    """What has moved between two days."""

    player: Annotated[str, says("id of the player")]
    name: Annotated[str, says("name of the player")]
    since: Annotated[dt.date, says("first day")]
    date: Annotated[dt.date, says("last day")]
    ratings: Annotated[int, says("ratings up to the last day")]
    ratings_since: Annotated[int, says("ratings from the first day on")]
    days_since: Annotated[int, says("days with ratings from the first day on")]
    groups: Annotated[tuple[GroupJson, ...], says("what has moved, all together first")]
    surprises: Annotated[tuple[SurpriseJson, ...], says("ratings that surprised, the furthest first")]
    goals: Annotated[tuple[GoalJson, ...], says("exercises whose goal is clean everywhere")]


# --- planner week --changes


@dataclass(frozen=True, slots=True)
class ChangeJson:
    """One turn against the plan before."""

    combination: Annotated[str, says("id of the combination")]
    was: Annotated[dt.date | None, says("where it stood; null for nowhere")]
    now: Annotated[dt.date | None, says("where it stands; null for nowhere")]
    reason: Annotated[str, says("why, as far as the two plans show it")]


@dataclass(frozen=True, slots=True)
class ChangesJson:
    """What a new plan changes against the one before it, on the days that both hold."""

    player: Annotated[str, says("id of the player")]
    first_day: Annotated[dt.date, says("first day that both hold")]
    last_day: Annotated[dt.date, says("last day that both hold")]
    kept: Annotated[tuple[ChangeJson, ...], says("turns that stand where they stood")]
    moved: Annotated[tuple[ChangeJson, ...], says("turns that stand on another day")]
    new: Annotated[tuple[ChangeJson, ...], says("turns that no day had")]
    dropped: Annotated[tuple[ChangeJson, ...], says("turns that have gone")]


# --- planner rebalance


@dataclass(frozen=True, slots=True)
class EasedDayJson:
    """One practice day of the way back."""

    day: Annotated[dt.date, says("the day")]
    per_cent: Annotated[int, says("share of the usual minutes", maximum=100)]
    usual: Annotated[int, says("minutes it would have")]
    minutes: Annotated[int, says("minutes it has")]


@dataclass(frozen=True, slots=True)
class FateJson:
    """What became of one turn."""

    combination: Annotated[str, says("id of the combination")]
    title: Annotated[str, says("title of its exercise")]
    state: Annotated[str, says("new, in work or kept up")]
    day: Annotated[dt.date, says("where it stood")]
    missed: Annotated[bool, says("whether that day was missed")]
    what: Annotated[What, says("what became of it")]
    to: Annotated[dt.date | None, says("where it stands now; null for no date in sight")]
    reason: Annotated[str, says("why")]


@dataclass(frozen=True, slots=True)
class FirstWeekJson:
    """Turns of the first week that do not stand as they stood."""

    first_week: Annotated[int, says("how many")]
    at_least: Annotated[int | None, says("the fewest any plan with these turns has; null: not sought")]


@dataclass(frozen=True, slots=True)
class OutlookWeekJson:
    """One week that is left of the term."""

    first_day: Annotated[dt.date, says("its first day")]
    waiting: Annotated[int, says("combinations without a first turn at its beginning")]
    met: Annotated[int, says("how many of them get it")]
    seconds: Annotated[int, says("seconds that goes into")]
    room: Annotated[int, says("seconds its days leave for blocks")]


@dataclass(frozen=True, slots=True)
class OutlookJson:
    """How the term ends."""

    last_day: Annotated[dt.date, says("its last day")]
    not_met_yet: Annotated[int, says("combinations without a first turn today")]
    left: Annotated[tuple[str, ...], says("ids that find none")]
    proof: Annotated[Literal["met", "impossible", "open"], says("what is proven of it")]
    sentence: Annotated[str, says("the same with its numbers")]
    weeks: Annotated[tuple[OutlookWeekJson, ...], says("the weeks that are left")]
    first_meetings: Annotated[Mapping[str, dt.date], says("day of each first turn, by combination")]


@dataclass(frozen=True, slots=True)
class WayOutJson:
    """One change that was tried for the term."""

    kind: Annotated[str, says("minutes, end of the term, scope and so on")]
    price: Annotated[str, says("what it would take, in words")]
    fits: Annotated[bool, says("whether everything is met with it")]


@dataclass(frozen=True, slots=True)
class RebalanceJson:
    """A new plan after a missed stretch, with what became of every turn."""

    player: Annotated[str, says("id of the player")]
    name: Annotated[str, says("name of the player")]
    date: Annotated[dt.date, says("day it was made on")]
    told: Annotated[str, says("what was said to be missed or short, in words")]
    stored: Annotated[bool, says("whether it was stored")]
    missed_days: Annotated[tuple[dt.date, ...], says("days that were missed")]
    played_days: Annotated[tuple[dt.date, ...], says("days told as missed on which the diary has ratings")]
    missed_combinations: Annotated[int, says("turns of the missed days")]
    way_back: Annotated[tuple[EasedDayJson, ...], says("the eased days")]
    counts: Annotated[Mapping[str, Mapping[str, int]], says("turns by their fate, missed and from today on")]
    not_planned_before: Annotated[int, says("turns that no plan before had")]
    changes: Annotated[FirstWeekJson, says("how much of the first week moved")]
    turns: Annotated[tuple[FateJson, ...], says("every turn of the missed days and from today on")]
    term: Annotated[OutlookJson | None, says("how the term ends; null where it is over")]
    ways_out: Annotated[tuple[WayOutJson, ...], says("what could give, where the term does not fit")]
    last_day_planned: Annotated[dt.date, says("last day of the last plan")]
    plans: Annotated[tuple[Mapping[str, Any], ...], says("the plan of each week, see planner schema")]
    first_week: Annotated[tuple[dt.date, ...], says("first and last day of the week of the first plan")]

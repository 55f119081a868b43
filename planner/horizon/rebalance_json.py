"""A rebalance as plain JSON values: `planner rebalance --json`, and what its screen is made from."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import asdict
from datetime import date, timedelta
from typing import Any

from planner.diary.told import Telling, described
from planner.horizon.fates import Fate
from planner.horizon.outlook import Outlook
from planner.horizon.rebalance import Rebalanced
from planner.plan.weekplan import plain

FORMAT = "planner.rebalance/1"
WHATS = ("kept", "moved", "kept for later", "left out")


def rebalance_json(
    found: Rebalanced, player: str, telling: Telling, today: date, *, stored: bool
) -> dict[str, Any]:
    """Everything a rebalance found, as JSON values; the plan of the first week is in "plans" whole."""
    plans = found.plans
    first_week = date.fromisoformat(plans[0]["first_day"])
    data = {
        "format": FORMAT,
        "player": player,
        "name": plans[0]["name"],
        "date": today,
        "told": described(telling),
        "stored": stored,
        "missed_days": found.missed,
        "played_days": found.played,
        "missed_combinations": sum(1 for fate in found.fates if fate.missed),
        "way_back": [asdict(day) for day in found.eased],
        "limits": [asdict(limit) for limit in found.limits],
        "counts": _counts(found.fates),
        "not_planned_before": found.new,
        "changes": _changes(found),
        "turns": [asdict(fate) for fate in found.fates],
        "term": None if found.outlook is None else _term(found.outlook),
        "ways_out": [asdict(way) for way in found.ways_out],
        "last_day_planned": plans[-1]["last_day"],
        "plans": plans,
        "first_week": [first_week, first_week + timedelta(days=6 - first_week.weekday())],
    }
    return {name: plain(value) for name, value in data.items()}


def _counts(fates: Sequence[Fate]) -> dict[str, dict[str, int]]:
    """How many turns stay, move, are kept for later and left out: of the missed days, and from today on."""
    return {
        name: {what: count[what] for what in WHATS}
        for name, count in (
            ("missed", Counter(fate.what for fate in fates if fate.missed)),
            ("from today on", Counter(fate.what for fate in fates if not fate.missed)),
        )
    }


def _changes(found: Rebalanced) -> dict[str, Any]:
    """The turns from today to Sunday, before and now, and the proven least number that do not stand.

    What is out of scope now counts in both: no plan can keep it.
    """
    week = found.week
    counts = {"turns_before": week.before, "turns_now": week.now, **asdict(week)}
    changed = week.moved + week.gone
    stages = {one["goal"]: one for one in found.plans[0]["solver"]["stages"]}
    one = stages.get("changes")
    least = None if one is None else changed - (one["value"] - one["bound"])
    return {**counts, "first_week": changed, "at_least": least}


def _term(ahead: Outlook) -> dict[str, Any]:
    return {
        "last_day": ahead.last_day,
        "not_met_yet": ahead.unmet,
        "left": ahead.left,
        "proof": ahead.proof,
        "sentence": ahead.sentence,
        "weeks": [asdict(week) for week in ahead.weeks],
        "first_meetings": dict(sorted(ahead.met_on.items())),
    }

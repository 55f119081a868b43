"""A week that follows its term, and days of a plan that were not played. Standard library only.

A term is followed while it was made from the same files by the same program for the same start; what it
promised for the week and has not been played since Monday is asked for again.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from pathlib import Path
from typing import Any, NamedTuple

from planner.diary.digest import played_on
from planner.diary.plans import load_plan
from planner.diary.printed import load_printed


class Promise(NamedTuple):
    """What the term asks of one week: combinations, its span, its days as turns (combination, date)."""

    turns: tuple[str, ...]
    span_weeks: int
    days: frozenset[tuple[str, date]]


class Missed(NamedTuple):
    """One day of a plan: how many combinations it held, and how many of them were played."""

    date: date
    planned: int
    played: int


def promise_of(
    term: Mapping[str, Any], inputs: Iterable[Mapping[str, str]], version: str, starts: date, day: date
) -> Promise | None:
    """What the term promises for the week of `day`; None where it does not hold for it."""
    if (
        term["made_with"]["planner"] != version
        or not same_files(term["inputs"], inputs)
        or term["starts"] != starts.isoformat()
    ):
        return None
    for week in term["weeks"]:
        if week["first_day"] <= day.isoformat() <= week["last_day"]:
            return _promise(term, week)
    return None


def same_files(one: Iterable[Mapping[str, str]], other: Iterable[Mapping[str, str]]) -> bool:
    """Whether player file and curriculum are the same; earlier ratings may have moved into the diary."""
    kept = ("player", "curriculum")
    first, second = ({each["name"]: each["sha256"] for each in found} for found in (one, other))
    return all(first.get(name) == second.get(name) for name in kept)


def _promise(term: Mapping[str, Any], week: Mapping[str, Any]) -> Promise:
    days = frozenset(
        (item["combination"], date.fromisoformat(day["date"]))
        for day in week["days"]
        for item in day["items"]
    )
    return Promise(tuple(week["promised"]), term["span_weeks"], days)


def still_open(promise: Promise, played: Iterable[tuple[date, str]], first_day: date) -> tuple[str, ...]:
    """What is promised and has not been played from Monday up to the day before `first_day`."""
    monday = first_day - timedelta(days=first_day.weekday())
    done = {name for day, name in played if monday <= day < first_day}
    return tuple(name for name in promise.turns if name not in done)


def _told_before(data: Path, player_id: str, first: date) -> bool:
    """Whether a plan of earlier days of the week was replaced by the one that begins on `first`."""
    return first.weekday() > 0 and load_plan(data, player_id, first - timedelta(days=1)) is not None


def missed_days(
    plan: Mapping[str, Any], data: Path, player_id: str, day: date, clock: date
) -> tuple[Missed, ...]:
    """The days of a plan before `day` of which less than half was played, where it is time to tell of them.

    Days still to come are none. Who rates day by day wants to hear of a day without ratings, because the rest
    of the week is then made anew. Who plays from a paper sheet and rates it at the end of the week has played
    all the same: the sheet must not change every day, and nobody wants to be told every day what is not true.
    So: while nothing at all of the week has been rated, unplayed days are told once, with the first look at a
    later day; the plan made then stands until something of the week is rated or something else changes. As
    soon as one day of the week is rated, every unplayed day of the plan before it counts as missed. A day
    that was printed is held against its sheet: that is what was played.
    """
    until = min(day, clock)
    days = [one for one in plan["days"] if date.fromisoformat(one["date"]) < until]
    if not days:
        return ()
    first = date.fromisoformat(plan["first_day"])
    monday = first - timedelta(days=first.weekday())
    played = played_on(data, player_id, monday, until)
    if not played and _told_before(data, player_id, first):
        return ()
    found = []
    for one in days:
        on_paper = load_printed(data, player_id, date.fromisoformat(one["date"]))
        names = {item["combination"] for item in (on_paper or one)["items"] if item["combination"]}
        done = len(names & played.get(date.fromisoformat(one["date"]), frozenset()))
        if 2 * done < len(names):
            found.append(Missed(date.fromisoformat(one["date"]), len(names), done))
    return tuple(found)

"""A new plan after a missed stretch: what stays, moves, is kept for later or left out, and why.

Two rows of weeks stand beside each other. *Before*: what the plans had for the missed days and for the days
from today on, as stored; where nothing was stored, as they would have been made, by hand, without a solver.
*After*: the weeks from today on under what was told, until the way back is over and what was missed as new
has been met; the first by the week's own solver with few changes before value, the others (planned again on
their Mondays) by hand, each on the one before as if played, all of them checked. Nothing missed is dropped
without a word: every combination of a missed day gets a line.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

from planner.horizon.before import Situation, as_played, turns_before
from planner.horizon.fates import (
    KEPT,
    LATER,
    OUT,
    Fate,
    FirstWeek,
    Pairs,
    Place,
    Turn,
    first_week,
    paired,
    sunday_of,
    told_turns,
    turns_of,
)
from planner.horizon.outlook import Outlook, outlook, term_of
from planner.horizon.outlook_ways import WayOut, ways_out
from planner.horizon.week import plan_week
from planner.need.days import free_minutes, usual_minutes, warm_up_added
from planner.need.easing import EASED, limits_on, steps
from planner.need.exclusions import note_name
from planner.plan.daynotes import what_it_limits
from planner.plan.solve.stages import Limits, Progress
from planner.plan.stop import Stop

MOST_WEEKS = 4
"""Weeks planned ahead at the most: the ways back are shorter."""

Plans = Sequence[Mapping[str, Any]]


@dataclass(frozen=True, slots=True)
class EasedDay:
    """One practice day of the way back, as it really is: `usual` and `minutes` it has, its share of them.

    `warm_up`: minutes by which its warm-up is longer. `limited`: a limit leaves less than the share.
    `slower`: tempos at least a notch lower. `top_note`: a lower one, written, or None. `no_range`: no range.
    """

    day: date
    per_cent: int
    usual: int
    minutes: int
    warm_up: int
    limited: bool
    slower: bool
    top_note: str | None
    no_range: bool


@dataclass(frozen=True, slots=True)
class HeldLimit:
    """A limit of the weeks planned, with what it says: "at most 8 minutes, nothing above E5"."""

    title: str
    first: date
    until: date
    says: str


@dataclass(frozen=True, slots=True)
class Rebalanced:
    """Everything a rebalance found. `plans`: the weeks from today on; the first is what is stored.

    `limits`: those that hold in them.
    `played`: days told as missed on which the diary has ratings.
    `new`: turns now that stand for none before, up to the last day that plans before were looked at for.
    `week`: the turns from today to Sunday. `outlook` is None where the term is over.
    """

    missed: tuple[date, ...]
    played: tuple[date, ...]
    eased: tuple[EasedDay, ...]
    limits: tuple[HeldLimit, ...]
    fates: tuple[Fate, ...]
    new: int
    week: FirstWeek
    plans: tuple[dict[str, Any], ...]
    outlook: Outlook | None
    ways_out: tuple[WayOut, ...]


def rebalance(found: Situation, limits: Limits, progress: Progress, stop: Stop | None = None) -> Rebalanced:
    """The weeks after a missed stretch. Raises what `plan_week` raises."""
    ahead = last_sunday(found)
    had = tuple(turns_before(found, ahead))
    missed = tuple(turn for turn in had if turn.day in set(found.missed))
    plans = tuple(_after(found, had, missed, ahead, limits, progress, stop))
    today = found.request.first_day
    now = [turn for plan in plans for turn in turns_of(plan)]
    pairs = paired(told_turns(had, found.missed), now, today)
    return Rebalanced(
        missed=found.missed,
        played=tuple(sorted({day for one in found.request.player.missed for day in one.played})),
        eased=tuple(_eased(found)),
        limits=tuple(_limits(found, plans)),
        fates=tuple(_fates(found, had, pairs, plans)),
        new=sum(1 for _, day in pairs.new if day <= ahead),
        week=first_week(had, now, found.missed, today),
        plans=plans,
        **_outlooks(found),
    )


def last_sunday(found: Situation) -> date:
    """The end of the last week that is planned at once: that of the last eased day."""
    today = found.request.first_day
    eased = [day for day in steps(found.request.player) if day >= today]
    last = max([today, *eased, *found.missed])
    return min(sunday_of(last), sunday_of(today) + timedelta(weeks=MOST_WEEKS - 1))


def _after(
    found: Situation,
    had: Sequence[Turn],
    missed: Sequence[Turn],
    ahead: date,
    limits: Limits,
    progress: Progress,
    stop: Stop | None,
) -> Iterator[dict[str, Any]]:
    """The weeks from today on, until the way back is over and what is new or lost its turn has one again."""
    request = found.request
    played = list(request.ratings)
    open_ = {turn.combination for turn in missed if turn.state == "new"}
    open_ |= {turn.combination for turn in had if turn.day >= request.first_day}
    first, number = request.first_day, 0
    while number < MOST_WEEKS and (first <= ahead or open_):
        wanted = replace(
            request,
            ratings=tuple(played),
            first_day=first,
            last_day=sunday_of(first),
            last_turns=frozenset((turn.combination, turn.day) for turn in had if first <= turn.day),
            missed=frozenset(turn.combination for turn in missed),
            changes_first=True,
            quick=number > 0,
        )
        plan = plan_week(wanted, limits, progress, stop)
        yield plan
        turns = list(turns_of(plan))
        played += [as_played(turn) for turn in turns]
        listed = {one["combination"] for one in plan["combinations"]}
        open_ = (open_ - {turn.combination for turn in turns}) & listed
        first, number = sunday_of(first) + timedelta(days=1), number + 1


def _eased(found: Situation) -> Iterator[EasedDay]:
    player, today = found.request.player, found.request.first_day
    for day, step in sorted(steps(player).items()):
        usual, minutes = usual_minutes(player, day), free_minutes(player, day)
        if day < today or not minutes:
            continue
        own = [limit for limit in limits_on(player, day) if limit.title == EASED]
        tops = [limit.top_note for limit in own if limit.top_note is not None]
        yield EasedDay(
            day,
            step.share,
            usual,
            minutes,
            warm_up=warm_up_added(player, day) // 60,
            limited=minutes < max(1, usual * step.share // 100),
            slower=step.first,
            top_note=note_name(min(tops)) if tops else None,
            no_range=bool(own),
        )


def _limits(found: Situation, plans: Plans) -> Iterator[HeldLimit]:
    """The limits from today to the end of the weeks planned, and those told only now."""
    before = found.before.limits
    for limit in found.request.player.limits:
        planned = limit.first.isoformat() <= plans[-1]["last_day"]
        if limit.until >= found.request.first_day and (planned or limit not in before):
            says = what_it_limits(limit).removeprefix(": ")
            yield HeldLimit(limit.title, limit.first, limit.until, says)


def _fates(found: Situation, had: Sequence[Turn], pairs: Pairs, plans: Plans) -> Iterator[Fate]:
    """One line for every turn from today on and every combination of the missed days, in order of time."""
    now: dict[str, list[date]] = {}
    for turn in (turn for plan in plans for turn in turns_of(plan)):
        now.setdefault(turn.combination, []).append(turn.day)
    away = set(found.missed)
    for turn in told_turns(had, away):
        missed, place, days = turn.day in away, pairs.places.get(turn), now.get(turn.combination, [])
        if place is not None:
            yield _told(turn, missed, place.what, place.day, _why_moved(found, turn, place, missed=missed))
        elif not days:
            yield _without_turn(found, turn, plans, missed=missed)
        elif missed:
            yield _told(turn, missed, KEPT, days[0], "its next turn stands anyway")
        else:
            near = min(days, key=lambda day: (abs((day - turn.day).days), day))
            yield _told(turn, missed, OUT, near, "another turn of it stands")


def _why_moved(found: Situation, turn: Turn, place: Place, *, missed: bool) -> str:
    if place.what == KEPT:
        return ""
    if missed:
        return "missed"
    if found.request.player.missed and turn.day in steps(found.request.player):
        return "eased day"
    was, now = (free_minutes(player, turn.day) for player in (found.before, found.request.player))
    return "fewer minutes" if now < was else "made room"


def _without_turn(found: Situation, turn: Turn, plans: Plans, *, missed: bool) -> Fate:
    """No turn in the weeks planned: kept for later where its span runs on, else left out with the reason."""
    last = plans[-1]
    states = {one["combination"]: one for one in last["combinations"]}
    state = states.get(turn.combination)
    if state is None:
        reasons = {one["combination"]: one["reason"] for plan in plans for one in plan["excluded"]}
        reason = reasons.get(turn.combination, "no longer in scope")
        return _told(turn, missed, OUT, _limit_end(found, reason), reason)
    by = state["turn_by"]
    if by is not None and by > last["last_day"]:
        return _told(turn, missed, LATER, date.fromisoformat(by), "its span runs until then")
    left = {one["combination"]: one["reason"] for one in last["coverage"]["left"]}
    return _told(turn, missed, OUT, None, left.get(turn.combination, "no room beside what needs it more"))


def _limit_end(found: Situation, reason: str) -> date | None:
    """The day after the limit that a reason names."""
    ends = [one.until for one in found.request.player.limits if f'"{one.title}"' in reason]
    return max(ends) + timedelta(days=1) if ends else None


def _told(turn: Turn, missed: bool, what: str, to: date | None, reason: str) -> Fate:
    return Fate(turn.combination, turn.title, turn.state, turn.day, missed, what, to, reason)


def _outlooks(found: Situation) -> dict[str, Any]:
    """How the term ends, and what could give where it does not end well."""
    request = found.request
    term = term_of(request.curriculum, request.player, request.ratings, request.first_day, request.scales)
    if term is None:
        return {"outlook": None, "ways_out": ()}
    ahead = outlook(term)
    out = () if ahead.proof == "met" else ways_out(term)
    return {"outlook": ahead, "ways_out": out}

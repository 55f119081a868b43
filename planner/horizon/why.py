"""Why a combination stands in the week where it does, or not at all, and what other days would cost.

A pure function of a request and the plan that was made from it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from planner.diary.pins import pin_of
from planner.horizon.pinned import day_name, why_not_on_the_shelf
from planner.horizon.sentences import listed
from planner.horizon.trials import Case, Trial, counted, pair_words, trial_on, trial_without, with_day
from planner.horizon.week import Request, week_of
from planner.need.reasons import short_date
from planner.plan.build import Week, week_problem
from planner.plan.problem import Turns, value
from planner.plan.stop import Stop

MOST_REASONS = 3


@dataclass(frozen=True, slots=True)
class Why:
    """Why a combination is in the week or not, why on that day, what another would cost."""

    combination: str
    on_shelf: bool
    days: tuple[date, ...]
    pinned: tuple[date, ...]
    state: str
    need: float
    turn_by: date | None
    last_played: date | None
    since: int
    value: int
    week_value: int
    reasons: tuple[str, ...]
    left_out: Trial | None
    trials: tuple[Trial, ...]


def why_in_week(
    request: Request, plan: Mapping[str, Any], combination: str, today: date, stop: Stop | None = None
) -> Why:
    """Why `combination` stands in `plan` as it does; `request` is what the plan was made from."""
    request = replace(request, pins=tuple(pin_of(entry) for entry in plan["pins"]))
    week, shelf = week_of(request)
    numbers = {wish.id: index for index, wish in enumerate(week.wishes)}
    if combination not in numbers:
        return _not_on_the_shelf(combination, why_not_on_the_shelf(week, shelf, combination))
    problem = week_problem(week)
    stage = plan["solver"]["stages"][0]
    case = Case(
        week=week,
        problem=problem,
        turns=_turns(week, plan, numbers),
        number=numbers[combination],
        past=frozenset(range(max(0, week.index_of(today)))),
        least=stage["bound"],
        stop=stop,
    )
    return _told(case)


def _turns(week: Week, plan: Mapping[str, Any], numbers: Mapping[str, int]) -> Turns:
    return frozenset(
        (numbers[item["combination"]], week.index_of(date.fromisoformat(day["date"])))
        for day in plan["days"]
        for item in day["items"]
        if item["combination"]
    )


def _told(case: Case) -> Why:
    wish = case.wish
    dates = [facts.date for facts in case.week.days]
    left_out = trial_without(case) if case.coming else None
    trials = tuple(trial_on(case, day) for day in range(len(dates)) if day not in case.past | set(case.days))
    return Why(
        combination=wish.id,
        on_shelf=True,
        days=tuple(dates[day] for day in case.days),
        pinned=tuple(sorted(day for name, day in case.week.pins if name == wish.id)),
        state=wish.state,
        need=wish.need / 1000,
        turn_by=wish.turn_by,
        last_played=wish.last_played,
        since=wish.since,
        value=wish.value,
        week_value=value(case.problem, case.turns),
        reasons=tuple(_reasons(case, trials))[:MOST_REASONS],
        left_out=left_out,
        trials=trials,
    )


def _not_on_the_shelf(combination: str, reason: str) -> Why:
    return Why(combination, False, (), (), "", 0.0, None, None, 0, 0, 0, (reason,), None, ())


def _reasons(case: Case, trials: tuple[Trial, ...]) -> Iterator[str]:
    """The reasons, the most telling first."""
    yield from _pinned(case)
    if case.coming:
        served = list(_served(case))
        yield from served[:1]
        yield _why_that_day(case, trials)
        yield from served[1:]
        yield from _by_value(case)
    elif case.days:
        yield "its turn of this plan has passed"
    else:
        yield from _why_not(case, trials)


def _pinned(case: Case) -> Iterator[str]:
    days = sorted(day for name, day in case.week.pins if name == case.wish.id)
    if days:
        yield f"pinned on {listed(day_name(day, case.week.first_day) for day in days)}"


def _served(case: Case) -> Iterator[str]:
    """What nothing else in the plan would do: the rules that break when its turns are taken out."""
    without = frozenset(turn for turn in case.turns if turn[0] != case.number or turn[1] in case.past)
    broken = counted(case.problem, without) - counted(case.problem, case.turns)
    by_rule: dict[str, list[str]] = {}
    for rule, what, _ in sorted(broken, key=lambda one: (-one[2], one[:2])):
        by_rule.setdefault(rule, []).append(what)
    if "turns" in by_rule:
        yield _own_turn(case)
    if "rhythm" in by_rule and "turns" not in by_rule:
        yield "in work: a turn within any three practice days running"
    if "term" in by_rule:
        yield "the term promised it a turn this week"
    if "pairs" in by_rule:
        only = listed(pair_words(what) for what in by_rule["pairs"][:2])
        yield f"the plan's only {only}, wanted every two weeks"
    if "small shelf" in by_rule:
        yield "on a small shelf everything comes at least once a week"
    if "touches" in by_rule:
        seldom = listed(with_day(case, "touches", what) for what in by_rule["touches"][:2])
        yield f"without it {seldom} would be met too seldom"


def _own_turn(case: Case) -> str:
    wish, first = case.wish, case.week.first_day
    if wish.state == "in work" and wish.turn_by is not None:
        when = "by" if wish.turn_by >= first else "wanted since"
        return f"in work: a turn every third practice day, the next {when} {day_name(wish.turn_by, first)}"
    if wish.turn_by is not None and wish.turn_by < first:
        return f"its span ended on {short_date(wish.turn_by, first)}, and every day of waiting counts"
    assert wish.turn_by is not None
    return f"its span ends on {day_name(wish.turn_by, first)}"


def _why_that_day(case: Case, trials: tuple[Trial, ...]) -> str:
    """What tells its next day from the others."""
    day = day_name(case.week.days[case.coming[0]].date, case.week.first_day)
    possible = [trial for trial in trials if trial.possible]
    if not possible:
        also = (
            " it stands on every day that allows it"
            if len(case.days) > 1
            else " it may stand on no other day"
        )
        return f"{day}:{also}"
    dearer = [trial for trial in possible if trial.turns > 0]
    far = "" if all(trial.proven for trial in dearer) else ", as far as the search went"
    if len(dearer) == len(possible):
        return f"{day}: every other day would give up more{far}"
    if dearer:
        names = listed(day_name(t.day, case.week.first_day) for t in dearer if t.day)
        return f"{day}: on {names} the week would give up more{far}, on the other days no more than now"
    return f"{day}: no day would give up more than another; even days, few blocks and the last plan decided"


def _by_value(case: Case) -> Iterator[str]:
    wish = case.wish
    since = "never played" if wish.last_played is None else f"{wish.since} practice days since its last turn"
    rank = 1 + sum(1 for other in case.week.wishes if other.value > wish.value)
    place = f"number {rank} of {len(case.week.wishes)}"
    yield f"need {wish.need / 1000:.2f}, {since}: {place} by what a turn is worth"


def _why_not(case: Case, trials: tuple[Trial, ...]) -> Iterator[str]:
    """Why it has no turn this week."""
    wish, first = case.wish, case.week.first_day
    if wish.waits_for:
        yield f"it comes after {', '.join(wish.waits_for)}, not met yet"
    if not any(trial.possible for trial in trials):
        yield from dict.fromkeys(trial.reason for trial in trials)
        return
    if not wish.wanted:
        by = f"its span runs to {short_date(wish.turn_by, first)}: " if wish.turn_by else ""
        yield f"{by}no turn is asked for this week"
    else:
        yield _own_turn(case)
    cheapest = min((t for t in trials if t.possible), key=lambda t: (t.turns, -t.value))
    if cheapest.turns > 0 and cheapest.day:
        yield f"the best day for it, {day_name(cheapest.day, first)}, would give up {_what(cheapest)}"
    elif cheapest.value < 0:
        yield "other combinations are worth more in the same minutes"
    yield from _by_value(case)


def _what(trial: Trial) -> str:
    return trial.names[0] if trial.names else "more than the plan does"

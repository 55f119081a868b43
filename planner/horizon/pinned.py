"""Whether the pins of a week can stand, before anything is solved: the one that blocks, with its numbers.

Every hard rule but the order of the curriculum still holds when turns are taken out of a plan. So pins that
keep them among themselves can always be planned, once what leads to them has its place before them; nothing
else needs to be tried. Seconds and load are those of the week's whole numbers: items with their rests.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta

from planner.diary.pins import Pin
from planner.horizon.sentences import counted
from planner.inputs.dates import WEEKDAYS
from planner.need.combinations import Scope, barred
from planner.need.reasons import short_date
from planner.plan.build import HEAVY_FAMILY, Week, week_problem
from planner.plan.daynotes import notes_of
from planner.plan.problem import Turns, WeekProblem, blocks_of
from planner.plan.solve.draft import led_up_to


@dataclass(frozen=True, slots=True)
class Clash:
    """Why pins cannot stand, in one line with its numbers, and which pins it is about."""

    message: str
    pins: tuple[Pin, ...]


@dataclass(frozen=True, slots=True)
class _Case:
    """A week with its pins, as they were asked for and as turns of the problem."""

    week: Week
    problem: WeekProblem
    shelf: Scope
    pins: tuple[Pin, ...]

    @property
    def turns(self) -> Turns:
        return frozenset(self.problem.pins)

    def on(self, *days: int) -> tuple[Pin, ...]:
        """The pins of these days."""
        return tuple(pin for pin in self.pins if self.week.index_of(pin.day) in days)

    def name(self, day: int) -> str:
        return day_name(self.week.days[day].date, self.week.first_day)


def clash_of(week: Week, problem: WeekProblem, shelf: Scope) -> Clash | None:
    """The first clash of the week's pins with each other or with a rule; None where all can stand."""
    inside = sorted(Pin(day, name) for name, day in week.pins if week.first_day <= day <= week.last_day)
    case = _Case(week, problem, shelf, tuple(inside))
    return next((clash for check in CHECKS for clash in check(case)), None)


def possible_days(week: Week, shelf: Scope, combination: str) -> tuple[date, ...]:
    """The days of the week on which this combination could be pinned beside the pins there are."""
    return tuple(
        facts.date
        for facts in week.days
        if clash_of(*_with_pin(week, Pin(facts.date, combination)), shelf) is None
    )


def _with_pin(week: Week, pin: Pin) -> tuple[Week, WeekProblem]:
    pinned = replace(week, pins=week.pins | {(pin.combination, pin.day)})
    return pinned, week_problem(pinned)


def day_name(day: date, today: date) -> str:
    """A day in words: "Wednesday 9 Sep"."""
    return f"{WEEKDAYS[day.weekday()]} {short_date(day, today)}"


def _shelf(case: _Case) -> Iterator[Clash]:
    """What is pinned is on the week's shelf."""
    known = {wish.id for wish in case.week.wishes}
    for pin in case.pins:
        if pin.combination not in known:
            why = why_not_on_the_shelf(case.week, case.shelf, pin.combination)
            yield Clash(f"{pin.combination} cannot be pinned: {why}", (pin,))


def why_not_on_the_shelf(week: Week, shelf: Scope, name: str) -> str:
    """Why a combination is not among those of this week."""
    reason = dict(shelf.excluded).get(name)
    if reason:
        return f"it is set aside ({reason})"
    number = next((one.intro_week for one in shelf.later if one.id == name), None)
    if number is None:
        return "no exercise of the curriculum has it"
    begins = week.player.starts + timedelta(weeks=number - 1)
    return f"it comes into the curriculum in week {number}, from {day_name(begins, week.first_day)}"


def _day(case: _Case) -> Iterator[Clash]:
    """The day allows the combination: it has minutes, no concert near, no limit."""
    number = {wish.id: index for index, wish in enumerate(case.week.wishes)}
    for pin in case.pins:
        candidate, day = number[pin.combination], case.week.index_of(pin.day)
        if day not in case.problem.candidates[candidate].days:
            why = why_not_on(case.week, candidate, day)
            yield Clash(f"{pin.combination} cannot stand on {case.name(day)}: {why}", (pin,))


def why_not_on(week: Week, candidate: int, day: int) -> str:
    """Why a combination may not stand on a day on which `week_problem` does not let it."""
    wish, facts = week.wishes[candidate], week.days[day]
    notes = notes_of(week.player, facts)
    limit = barred(wish.combination, week.player, facts.date)
    heavy = wish.combination.exercise.family == HEAVY_FAMILY
    reasons = (
        (not facts.practice, "the day has no free minutes"),
        (facts.warm_up_only, "on the day of a concert or audition there is only a warm-up"),
        (not facts.most_blocks, "the day has no room for exercises"),
        (bool(limit), limit),
        (wish.state == "new" and not facts.allows_new, f"it is new, and {_noted(notes, 'nothing new')}"),
        (heavy and not facts.allows_range, f"no range work on this day{_because(notes)}"),
        (heavy and day == 0 and week.before.heavy, "range work was played on the day before"),
        (day == 0 and wish.id in week.before.combinations, "it was played on the day before"),
    )
    waits = f"it comes after {', '.join(wish.waits_for)}"
    return next((words for holds, words in reasons if holds), waits)


def _noted(notes: Iterable[str], word: str) -> str:
    return next((note for note in notes if word in note), f"the day allows {word}")


def _because(notes: tuple[str, ...]) -> str:
    return f" ({'; '.join(notes)})" if notes else ""


def _days_running(case: _Case) -> Iterator[Clash]:
    """What is kept up is not pinned on two days running, range work neither."""
    blocks = blocks_of(case.problem, case.turns)
    for first, second in case.problem.consecutive:
        both = f"on {case.name(first)} and {case.name(second)}"
        for candidate, day in sorted(case.turns):
            wish = case.problem.candidates[candidate]
            if day == first and not wish.may_follow and (candidate, second) in case.turns:
                words = f"{wish.id} is kept up and cannot be pinned on two days running, {both}"
                yield Clash(words, tuple(pin for pin in case.on(first, second) if pin.combination == wish.id))
        heavy = [
            {d for e, d in blocks if case.problem.exercises[e].heavy and d == day} for day in (first, second)
        ]
        if all(heavy):
            yield Clash(f"range work cannot be pinned on two days running, {both}", case.on(first, second))


def _blocks(case: _Case) -> Iterator[Clash]:
    """No day has more blocks, and no block is longer, than the rules allow."""
    blocks = blocks_of(case.problem, case.turns)
    for day, room in enumerate(case.problem.days):
        names = [case.problem.exercises[e].id for e, d in blocks if d == day]
        if len(names) > room.blocks:
            words = (
                f"{case.name(day)} holds at most {counted(room.blocks, 'block')}, its pins make {len(names)}"
            )
            yield Clash(f"{words}: {', '.join(names)}", case.on(day))
    for (exercise, day), members in blocks.items():
        needs = case.problem.exercises[exercise].setup_seconds
        needs += sum(case.problem.candidates[c].seconds_on(case.problem.days[day]) for c in members)
        if needs > case.problem.block_seconds:
            words = (
                f"the pins of {case.problem.exercises[exercise].id} on {case.name(day)} need {_clock(needs)}"
            )
            yield Clash(f"{words}, a block has at most {_clock(case.problem.block_seconds)}", case.on(day))


def _minutes(case: _Case) -> Iterator[Clash]:
    """The pins of a day fit into its minutes."""
    for day, room in enumerate(case.problem.days):
        items = {
            case.problem.candidates[c].id: case.problem.candidates[c].seconds_on(room)
            for c, d in case.turns
            if d == day
        }
        setups = [
            case.problem.exercises[e].setup_seconds
            for e, d in blocks_of(case.problem, case.turns)
            if d == day
        ]
        needs = sum(items.values()) + sum(setups)
        if needs > room.seconds:
            each = ", ".join(f"{name} {_clock(seconds)}" for name, seconds in sorted(items.items()))
            words = (
                f"{case.name(day)} has {_clock(room.seconds)} for exercises, its pins need {_clock(needs)}"
            )
            yield Clash(f"{words} with rests and set-up ({each})", case.on(day))


def _load(case: _Case) -> Iterator[Clash]:
    """The pins of a day, and of two days running, keep the load."""
    limits: list[tuple[tuple[int, ...], int]] = [
        ((d,), room.load) for d, room in enumerate(case.problem.days)
    ]
    limits += [(pair.days, pair.load) for pair in case.problem.two_days]
    for days, limit in limits:
        rooms = case.problem.days
        needs = sum(case.problem.candidates[c].load_on(rooms[d]) for c, d in case.turns if d in days)
        if needs > limit:
            when = " and ".join(case.name(day) for day in days)
            words = f"the pins of {when} are {needs / 1000:.1f} of load"
            yield Clash(
                f"{words}, the lip has room for {limit / 1000:.1f} beside what is fixed", case.on(*days)
            )


def _order(case: _Case) -> Iterator[Clash]:
    """What leads to a pinned exercise has room before it."""
    waiting = led_up_to(case.problem).waiting
    for exercise, needed, day in waiting:
        names = [case.problem.exercises[index].id for index in (exercise, needed)]
        words = f"{names[0]} on {case.name(day)} comes after {names[1]}, which has no room before that day"
        yield Clash(words, case.on(day))


CHECKS: tuple[Callable[[_Case], Iterator[Clash]], ...] = (
    _shelf,
    _day,
    _days_running,
    _blocks,
    _minutes,
    _load,
    _order,
)


def _clock(seconds: int) -> str:
    return f"{seconds // 60}:{seconds % 60:02}"

"""pin, unpin: what a player fixes on a day, and takes away again."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from typing import Annotated, Any

import typer

from planner.cli.desk import Desk, desk
from planner.cli.naming import named_combination, named_day
from planner.cli.planning import input_files, request_for
from planner.cli.run import put, say
from planner.cli.scales import quiet_threads
from planner.diary.pins import Pin, change_pins, pins
from planner.errors import DoesNotFit, NoInput, UsageError
from planner.inputs.dates import monday_of

PlayerOption = Annotated[
    str | None, typer.Option("--player", help="A player file or an id; without it the one in this folder.")
]
DateOption = Annotated[
    str | None, typer.Option("--date", help="The day that counts as today, like 2026-09-07.")
]
DiaryOption = Annotated[str | None, typer.Option("--diary", help="The folder of diary and plans.")]
WhatArgument = Annotated[
    str | None,
    typer.Argument(metavar="[COMBINATION]", help="An id, or a letter and number of the day's routine: B2."),
]


def pin(
    combination: WhatArgument = None,
    day: Annotated[
        str | None, typer.Argument(metavar="[DAY]", help="A date, a weekday, today or tomorrow.")
    ] = None,
    player: PlayerOption = None,
    date: DateOption = None,
    json: Annotated[bool, typer.Option("--json", help="Print the pins as one JSON array.")] = False,
    diary: DiaryOption = None,
) -> None:
    r"""Fix a combination on a day; the next plan keeps it there. Without words: what is pinned.

    \b
    planner pin clock-stairs/b/3-4-5 2026-09-09
    planner pin B2 thursday             B2 of today's routine, on the next Thursday
    planner pin                         what is pinned from today on
    """
    place = desk(player, date, diary)
    if combination is not None:
        _pin(place, combination, day, say if json else put)
    if combination is None or json:
        _listed(place, as_json=json)


def unpin(
    combination: Annotated[
        str, typer.Argument(metavar="COMBINATION", help="An id, or a letter and number of the routine: B2.")
    ],
    day: Annotated[
        str | None, typer.Argument(metavar="[DAY]", help="The day; without it every day from today on.")
    ] = None,
    player: PlayerOption = None,
    date: DateOption = None,
    diary: DiaryOption = None,
) -> None:
    r"""Take a pin away: on one day, or on every day from today on.

    \b
    planner unpin clock-stairs/b/3-4-5
    planner unpin clock-stairs/b/3-4-5 wednesday
    """
    place = desk(player, date, diary)
    standing = [one for one in pins(place.data, place.player_id, say) if one.day >= place.day]
    name = _meant(place, combination, standing)
    when = None if day is None else _not_past(named_day(day, place.day), place)
    gone = [one for one in standing if one.combination == name and when in (None, one.day)]
    if not gone:
        on = "" if when is None else f" on {when.isoformat()}"
        raise NoInput(f"{name} is not pinned{on}", _known(standing))
    change_pins(place.data, place.player_id, taken_away=gone, after_batch=_last_batch(place))
    put(f"No longer pinned: {', '.join(one.words() for one in gone)}. planner undo brings it back.")


def _pin(place: Desk, text: str, day: str | None, tell: Callable[[str], None]) -> None:
    if day is None:
        raise UsageError("the day is missing", "planner pin COMBINATION DAY")
    when = _not_past(named_day(day, place.day), place)
    standing = pins(place.data, place.player_id, say)
    name = named_combination(place, text, all_ids(place))
    wanted = Pin(when, name)
    if wanted in standing:
        tell(f"{wanted.words()} is pinned already.")
        return
    _must_fit(place, wanted, standing)
    change_pins(place.data, place.player_id, pinned=(wanted,), after_batch=_last_batch(place))
    tell(f"Pinned: {_in_words(wanted)}. The next plan keeps it there; planner undo takes it back.")


def _meant(place: Desk, text: str, standing: Sequence[Pin]) -> str:
    """The combination of an unpin: a pinned one, or one of the curriculum."""
    pinned = [one.combination for one in standing]
    return text if text in pinned else named_combination(place, text, [*pinned, *all_ids(place)])


def all_ids(place: Desk) -> tuple[str, ...]:
    """The id of every combination of the player's curriculum, on the shelf or not, in its order."""
    from planner.inputs.read import read_curriculum
    from planner.need.combinations import drafts

    curriculum = read_curriculum(input_files(place)["curriculum"])
    return tuple(draft.id for exercise in curriculum.exercises for draft in drafts(exercise))


def _not_past(when: date, place: Desk) -> date:
    if when < place.day:
        raise UsageError(f"{when.isoformat()} lies before {place.day.isoformat()}: the past stays as it is")
    return when


def _must_fit(place: Desk, wanted: Pin, standing: tuple[Pin, ...]) -> None:
    """Raise DoesNotFit where the pin clashes with a rule or another pin; the days that are free are named."""
    quiet_threads()
    from planner.horizon.pinned import clash_of, possible_days
    from planner.horizon.week import week_of
    from planner.plan.build import week_problem

    first = max(place.day, monday_of(wanted.day))
    request = request_for(place, input_files(place), None, first)
    week, shelf = week_of(replace(request, pins=(*standing, wanted)))
    clash = clash_of(week, week_problem(week), shelf)
    if clash is None:
        return
    if wanted not in clash.pins:
        blocks = clash.pins[-1]
        raise DoesNotFit(clash.message, f"planner unpin {blocks.combination} {blocks.day.isoformat()}")
    without = replace(week, pins=week.pins - {(wanted.combination, wanted.day)})
    raise DoesNotFit(clash.message, _free(possible_days(without, shelf, wanted.combination)))


def _free(days: Sequence[date]) -> str:
    named = ", ".join(f"{day:%A} {day.day}" for day in days)
    return f"in that week it can be pinned on {named}" if days else "no day of that week has room for it"


def _last_batch(place: Desk) -> int:
    from planner.diary.store import Diary

    with Diary.open(place.data) as book:
        return book.last_batch(place.player_id)


def _listed(place: Desk, *, as_json: bool) -> None:
    standing = [one for one in pins(place.data, place.player_id, say) if one.day >= place.day]
    if as_json:
        _print_json([one.to_json() for one in standing])
        return
    for one in standing:
        put(f"Pinned: {_in_words(one)}.")
    if not standing:
        put("Nothing is pinned.")


def _print_json(value: Any) -> None:
    from json import dumps

    put(dumps(value, ensure_ascii=False, indent=1))


def _in_words(one: Pin) -> str:
    from planner.show.words import date_in_words

    return f"{one.combination} on {date_in_words(one.day.isoformat())}"


def _known(standing: Sequence[Pin]) -> str:
    return f"pinned: {', '.join(one.words() for one in standing)}" if standing else "nothing is pinned"

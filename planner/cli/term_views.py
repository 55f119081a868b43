"""The views of a term: the screens, JSON, a table, a calendar."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from planner.cli.run import put, screen
from planner.errors import UsageError


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which view of a term is asked for."""

    week: int | None
    tempos: bool
    json: bool
    csv: bool
    ics: bool
    plain: bool


def print_term(found: Mapping[str, Any], day: date, wanted: Wanted) -> None:
    """A term on standard output, in the view that is asked for."""
    if wanted.json or wanted.csv or wanted.ics:
        put(_data(found, json=wanted.json, csv=wanted.csv))
    else:
        _show(found, day, wanted.week, tempos=wanted.tempos, plain=wanted.plain)


def _data(found: Mapping[str, Any], *, json: bool, csv: bool) -> str:
    if json:
        from planner.plan.weekplan import dumps

        return dumps(found)
    if csv:
        from planner.exports.term_table import term_csv

        return term_csv(found)
    from planner.exports.term_calendar import term_calendar

    return term_calendar(found)


def _show(found: Mapping[str, Any], day: date, week: int | None, *, tempos: bool, plain: bool) -> None:
    from planner.show.term import term_text
    from planner.show.term_tempos import tempo_text
    from planner.show.term_week import week_detail_text

    look = screen()
    how: dict[str, Any] = {"width": look.width, "colour": look.colour, "plain": plain, "boxes": look.boxes}
    if tempos:
        put(tempo_text(found, **how))
    elif week is not None:
        numbers = [one["week"] for one in found["weeks"]]
        if week not in numbers:
            raise UsageError(f"this term has no week {week}", f"its weeks are {numbers[0]} to {numbers[-1]}")
        put(week_detail_text(found, week, **how))
    else:
        put(term_text(found, week=week_number(found, day), **how))


def week_number(found: Mapping[str, Any], day: date) -> int:
    """The curriculum week of a day by a term's own start; 0 and below before it."""
    monday = day - timedelta(days=day.weekday())
    return (monday - date.fromisoformat(found["starts"])).days // 7 + 1

"""Sheets of what is planned: a day, its week on one page, every day to Sunday; what was printed is kept."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING, Any

from planner.cli.desk import Desk
from planner.cli.run import say
from planner.diary.plans import load_plan
from planner.diary.printed import load_printed, same_letters, save_printed
from planner.errors import CannotWrite

if TYPE_CHECKING:
    from planner.engrave.sheet import Sheet
    from planner.show.written_out import Look

Day = dict[str, Any]
Plan = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Days:
    """Which days a sheet is of: the one asked for; `week`: a page of all; `every_day`: one for each."""

    week: bool
    every_day: bool


@dataclass(frozen=True, slots=True)
class Planned:
    """A sheet, the usual name of its file, the days on it; `stored` is False for a stopped plan."""

    sheet: Sheet
    name: str
    days: tuple[Day, ...]
    stored: bool


def planned_sheet(place: Desk, look: Look, days: Days) -> Planned:
    """The sheet of the desk's day, of its week, or a page for every day with practice from it to Sunday."""
    from planner.cli.planning import plan_for_paper
    from planner.show.routine_pages import days_sheet, week_sheet

    standing = plan_for_paper(place)
    pairs = _as_they_stand(place, standing.plan)
    ahead = [(plan, day) for plan, day in pairs if day["date"] >= place.day.isoformat()]
    overview = week_sheet(standing.plan | {"days": [day for _, day in pairs]}, look.paper)
    name = f"{place.file_stem}-{place.day.isoformat()}"
    if days.every_day:
        sheet, name = days_sheet(_with_practice(ahead), look), f"{name}-days"
        sheet = replace(sheet, pages=(*overview.pages, *sheet.pages)) if days.week else sheet
    elif days.week:
        sheet, name = overview, f"{name}-week"
    else:
        sheet, ahead = days_sheet(ahead[:1], look), ahead[:1]
    _say_if_free([day for _, day in ahead], standing.plan["name"])
    return Planned(sheet, name, tuple(day for _, day in ahead), not standing.interrupted)


def together(sheets: Sequence[Sheet]) -> Sheet:
    """Several sheets in one file."""
    titles = ", ".join(one.title for one in sheets)
    return replace(sheets[0], title=titles, pages=tuple(page for one in sheets for page in one.pages))


def keep_printed(place: Desk, planned: Planned) -> None:
    """Keeps what was printed for its days, and says where an earlier sheet of a day shows something else."""
    if not planned.stored:
        return
    for day in planned.days:
        when = date.fromisoformat(day["date"])
        before = load_printed(place.data, place.player_id, when)
        if before is not None and not same_letters(before, day):
            say(
                f"{when}: a sheet printed before shows another routine; the letters are now those of this one"
            )
        if before != day:
            try:
                save_printed(place.data, place.player_id, day)
            except CannotWrite as trouble:
                say("\n".join(trouble.lines()))
                return


def _as_they_stand(place: Desk, plan: Plan) -> list[tuple[Plan, Day]]:
    """The days of a plan, each from the plan that stands for it where that was made from the same files."""
    return [_standing_for(place, plan, day) for day in plan["days"]]


def _standing_for(place: Desk, plan: Plan, day: Day) -> tuple[Plan, Day]:
    other = load_plan(place.data, place.player_id, date.fromisoformat(day["date"]))
    if other is None or other["inputs"] != plan["inputs"]:
        return plan, day
    return other, next(one for one in other["days"] if one["date"] == day["date"])


def _with_practice(pairs: Sequence[tuple[Plan, Day]]) -> list[tuple[Plan, Day]]:
    """The days with practice; where there are none, the first day says so."""
    return [(plan, day) for plan, day in pairs if day["items"]] or list(pairs[:1])


def _say_if_free(days: Sequence[Mapping[str, Any]], whom: str) -> None:
    """A sheet without practice is written all the same, and said."""
    if not any(day["items"] for day in days):
        until = f" to {days[-1]['date']}" if len(days) > 1 else ""
        say(f"{whom}, {days[0]['date']}{until}: no practice")

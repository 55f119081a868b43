"""today, week, coverage: what a plan looks like. Planning itself is `planning.py`'s part.

Light at the top: `planner today` with a stored plan imports neither the solver nor the estimate.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import Annotated, Any

import typer

from planner.cli.desk import Desk, desk, read_day
from planner.cli.planning import (
    Standing,
    end,
    input_files,
    minutes_typed,
    new_plan,
    noticed_text,
    standing_plan,
    usual_again,
)
from planner.cli.run import put, say, screen
from planner.diary.plans import load_today, plan_before, save_today
from planner.diary.printed import drop_printed, load_printed, same_letters
from planner.errors import NoInput, UsageError
from planner.horizon.cut import cut_day
from planner.show.words import counted

PLAYER = typer.Option("--player", help="A file, an id, or CLASS/PUPIL; without it the one in this folder.")
DATE = typer.Option("--date", help="The day that is meant, like 2026-09-07; without it today.")
DIARY = typer.Option("--diary", help="The folder of diary and plans; without it the usual one.")
JSON = typer.Option("--json", help="Print one JSON object instead.")
PLAIN = typer.Option("--plain", help="One fact a line, for reading aloud.")

MOST_MINUTES = 600


def today(
    player: Annotated[str | None, PLAYER] = None,
    day: Annotated[str | None, DATE] = None,
    minutes: Annotated[
        int | None, typer.Option("--minutes", help="Minutes there are today, pauses included.")
    ] = None,
    usual: Annotated[
        bool, typer.Option("--usual", help="Back to the usual minutes, after --minutes.")
    ] = False,
    json: Annotated[bool, JSON] = False,
    plain: Annotated[bool, PLAIN] = False,
    diary: Annotated[str | None, DIARY] = None,
) -> None:
    r"""Today's routine, from warm-up to warm-down.

    \b
    planner today
    planner today --minutes 20
    planner today --usual               takes --minutes back
    planner today --player anna --date 2026-09-07 --json
    """
    place = desk(player, day, diary)
    if usual:
        if minutes is not None:
            raise UsageError("--usual and --minutes say two things", "leave one of them out")
        usual_again(place)
    standing = standing_plan(place)
    if minutes is not None:
        standing = _in_minutes(place, standing, minutes)
    shown = _day(standing.plan, place.day)
    if minutes is None and load_today(place.data, place.player_id, place.day) is not None:
        save_today(place.data, place.player_id, place.day, shown)  # what was shown last is what is rated
    if json:
        _print_json(standing.plan | {"days": [shown]})
    else:
        _say_noticed(place, standing)
        _print_routine(standing.plan, shown, place, plain=plain)
    _beside_the_sheet(place, shown)
    if shown["seconds_free"] and minutes_typed(standing.plan, place.day):
        free = counted(round(shown["seconds_free"] / 60), "minute")
        say(f"{free} on this day only; to take them back: planner today --usual{place.again}")
    end(standing, noticed_text(place, standing) if json else "")


def _beside_the_sheet(place: Desk, shown: dict[str, Any]) -> None:
    """Where a sheet of this day shows another routine: whose letters count from now on.

    On the day itself what was shown last is what is played; a look at another day leaves the paper its say.
    """
    printed = load_printed(place.data, place.player_id, place.day)
    if printed is None or same_letters(printed, shown):
        return
    if place.day == place.clock:
        drop_printed(place.data, place.player_id, place.day)
        say("the sheet printed for today shows another routine: from now on the letters are those shown here")
    else:
        say(
            f"the sheet printed for {place.day} shows another routine; planner rate and why go by the "
            f"letters on that paper, not by these (to go by these, print them: planner sheet{place.again})"
        )


def week(
    player: Annotated[str | None, PLAYER] = None,
    day: Annotated[str | None, DATE] = None,
    start: Annotated[
        str | None, typer.Option("--start", help="Plan from this day to its Sunday, like 2026-09-14.")
    ] = None,
    clashes: Annotated[
        bool, typer.Option("--clashes", help="What cannot all be had, why, and what would help.")
    ] = False,
    changes: Annotated[
        bool, typer.Option("--changes", help="What this plan changes against the one before it.")
    ] = False,
    json: Annotated[bool, JSON] = False,
    plain: Annotated[bool, PLAIN] = False,
    diary: Annotated[str | None, DIARY] = None,
) -> None:
    r"""The week on one screen: what every day holds, what the plan gives up, what is proven.

    \b
    planner week
    planner week --start 2026-09-14
    planner week --changes              kept, moved, new and dropped turns, each with its reason
    planner week --clashes              what cannot all be had, and what would help
    """
    from planner.show.week import week_text

    place = desk(player, _first_day(start, day), diary)
    if clashes:
        from planner.cli.clashes import show_clashes

        show_clashes(place, as_json=json, plain=plain)
        return
    standing = standing_plan(place)
    if changes:
        _print_changes(place, standing, as_json=json, plain=plain)
    elif json:
        _print_json(standing.plan)
    else:
        _say_noticed(place, standing)
        look = screen()
        put(week_text(standing.plan, width=look.width, colour=look.colour, plain=plain, boxes=look.boxes))
    end(standing, noticed_text(place, standing) if json or changes else "")


def _first_day(start: str | None, day: str | None) -> str | None:
    """The day from which the week is planned: --start, which --date as today's date may only lie before."""
    if start and day:
        clock = date.today()  # noqa: DTZ011 - a practice day is the wall calendar's
        first, today = (read_day(text, clock) for text in (start, day))
        if first < today:
            raise UsageError(f"--start {first} lies before --date {today}", "leave one of them out")
    return start or day


def _print_changes(place: Desk, standing: Standing, *, as_json: bool, plain: bool) -> None:
    from planner.plan.difference import difference
    from planner.plan.weekplan import plain as plain_values
    from planner.show.changes import changes_text

    before = plan_before(place.data, place.player_id, place.day)
    if before is None:
        raise NoInput("this plan is the first of its days: there is none before it to compare with")
    told = {"format": "planner.changes/1", "player": place.player_id}
    told |= plain_values(difference(before, standing.plan))
    if as_json:
        _print_json(told)
        return
    look = screen()
    put(changes_text(told, width=look.width, colour=look.colour, plain=plain))


def coverage(
    player: Annotated[str | None, PLAYER] = None,
    day: Annotated[str | None, DATE] = None,
    json: Annotated[bool, JSON] = False,
    csv: Annotated[bool, typer.Option("--csv", help="Every cell as a line of a table.")] = False,
    plain: Annotated[bool, PLAIN] = False,
    diary: Annotated[str | None, DIARY] = None,
) -> None:
    r"""Which keys and positions were met this week, which are planned, which are open.

    \b
    planner coverage
    planner coverage --csv > coverage.csv      the cells for a spreadsheet
    """
    from planner.horizon.covered import coverage_json, covered
    from planner.show.coverage import coverage_text

    if json and csv:
        raise UsageError("--json and --csv are two ways of printing one coverage", "ask for one of them")
    place = desk(player, day, diary)
    standing = standing_plan(place)
    shelf = covered(place.data, place.player(), input_files(place)["curriculum"], place.monday, place.day)
    if json:
        _print_json(coverage_json(standing.plan, shelf))
    elif csv:
        from planner.exports.coverage_table import coverage_csv

        put(coverage_csv(standing.plan, shelf, place.day))
    else:
        look = screen()
        put(
            coverage_text(
                standing.plan,
                shelf,
                place.day,
                width=look.width,
                colour=look.colour,
                plain=plain,
                boxes=look.boxes,
            )
        )
    end(standing, noticed_text(place, standing))


def _in_minutes(place: Desk, standing: Standing, minutes: int) -> Standing:
    """The day in the minutes there are: cut where they are fewer, planned again where they are more."""
    if not 1 <= minutes <= MOST_MINUTES:
        raise UsageError(f"--minutes {minutes} is no length of a day", f"1 to {MOST_MINUTES}")
    found = _day(standing.plan, place.day)
    if 60 * minutes < found["seconds_free"] and minutes_typed(standing.plan, place.day):
        usual_again(place)  # more minutes were typed before: these are cut from the usual ones
        standing = standing_plan(place)
        found = _day(standing.plan, place.day)
    if 60 * minutes > found["seconds_free"]:
        return _more(place, standing, minutes)
    cut, out = cut_day(found, minutes)
    if not standing.interrupted and standing.unsaved is None:
        save_today(place.data, place.player_id, place.day, cut)
    if out:
        say(
            f"left out for today: {_left_out(cut, out)}; they come back with the next plan, "
            f"or now with planner today --usual{place.again}"
        )
    days = [cut if one["date"] == cut["date"] else one for one in standing.plan["days"]]
    return replace(standing, plan=standing.plan | {"days": days})


def _left_out(cut: dict[str, Any], out: Sequence[str]) -> str:
    """What fell out of a routine by its ids; in one word where no exercise is left in it."""
    left = [item for item in cut["items"] if item["family"] not in ("warm-up", "warm-down")]
    return ", ".join(out) if left or len(out) == 1 else "all but the warm-up"


def _more(place: Desk, standing: Standing, minutes: int) -> Standing:
    """Planned again with more minutes, as many of them as the dates and limits of the file leave."""
    found = new_plan(place, input_files(place), standing.plan, place.day, minutes)
    left = _day(found.plan, place.day)["seconds_free"] // 60
    if left < minutes:
        say(f"a date or a limit in the player file leaves {left} of the {minutes} minutes")
    return replace(found, noticed=standing.noticed)


def _day(plan: dict[str, Any], day: date) -> dict[str, Any]:
    found: dict[str, Any] = next(one for one in plan["days"] if one["date"] == day.isoformat())
    return found


def _say_noticed(place: Desk, standing: Standing) -> None:
    """That the plan was not followed, and what was done about it."""
    told = noticed_text(place, standing)
    if told:
        put(told + "\n")


def _print_json(plan: dict[str, Any]) -> None:
    from planner.plan.weekplan import dumps

    put(dumps(plan))


def _print_routine(plan: dict[str, Any], shown: dict[str, Any], place: Desk, *, plain: bool) -> None:
    from planner.show.routine import routine_text

    look = screen()
    put(
        routine_text(
            plan,
            shown,
            width=look.width,
            colour=look.colour,
            plain=plain,
            rate_with=f"planner rate{place.again}",
            notes_with=f"planner sheet{place.again}",
        )
    )

"""progress: what has moved since a day, and which ratings surprised."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Annotated

import typer

from planner.cli.desk import Desk, desk, read_day
from planner.cli.plan import DATE, DIARY, PLAYER
from planner.cli.run import put, say, screen
from planner.errors import UsageError

USUAL_WEEKS = 4


def progress(
    player: Annotated[str | None, PLAYER] = None,
    since: Annotated[
        str | None, typer.Option("--since", help="From this day on, like 2026-08-10; without it four weeks.")
    ] = None,
    day: Annotated[str | None, DATE] = None,
    json: Annotated[bool, typer.Option("--json", help="Print everything as one JSON object.")] = False,
    plain: Annotated[bool, typer.Option("--plain", help="One fact a line, for reading aloud.")] = False,
    diary: Annotated[str | None, DIARY] = None,
) -> None:
    r"""What has moved, by exercise, key, position and articulation, with its spread; which ratings surprised.

    \b
    planner progress
    planner progress --since 2026-06-01
    """
    place = desk(player, day, diary)
    told = _told(place, _since(place, since))
    if json:
        from planner.plan.weekplan import dumps

        put(dumps(told))
        return
    from planner.show.progress import progress_text

    look = screen()
    put(progress_text(told, width=look.width, colour=look.colour, plain=plain))


def _since(place: Desk, text: str | None) -> date:
    if text is None:
        return place.day - timedelta(weeks=USUAL_WEEKS)
    found = read_day(text, place.clock)
    if found >= place.day:
        raise UsageError(f"--since {found} does not lie before {place.day}", "name an earlier day")
    return found


def _told(place: Desk, since: date) -> dict[str, object]:
    from planner.cli.planning import input_files
    from planner.cli.scales import quiet_threads, taken_scales
    from planner.diary.history import history
    from planner.inputs.goals import read_curriculum_for

    quiet_threads()
    from planner.horizon.progress import progress as found

    player = place.player()
    ratings = history(place.data, player, place.monday, say)
    curriculum = read_curriculum_for(input_files(place)["curriculum"], player)
    return found(curriculum, player, ratings, since, place.day, taken_scales(place))

"""why: what stands behind one combination, its estimate and its place in the week."""

from __future__ import annotations

from typing import Annotated

import typer

from planner.cli.desk import Desk, desk
from planner.cli.naming import named_combination
from planner.cli.pins import all_ids
from planner.cli.plan import DATE, DIARY, PLAYER
from planner.cli.planning import Standing, end, input_files, noticed_text, request_for, standing_plan
from planner.cli.run import put, screen
from planner.cli.scales import quiet_threads


def why(
    combination: Annotated[
        str,
        typer.Argument(metavar="COMBINATION", help="An id, or a letter and number of the day's routine: B2."),
    ],
    player: Annotated[str | None, PLAYER] = None,
    day: Annotated[str | None, DATE] = None,
    json: Annotated[bool, typer.Option("--json", help="Print everything as one JSON object.")] = False,
    plain: Annotated[bool, typer.Option("--plain", help="One fact a line, for reading aloud.")] = False,
    diary: Annotated[str | None, DIARY] = None,
) -> None:
    r"""What the estimate thinks of a combination and why, why the week holds it, what another day would cost.

    \b
    planner why clock-stairs/b/3-4-5
    planner why B2                      B2 of today's routine
    """
    place = desk(player, day, diary)
    standing = standing_plan(place)
    name = named_combination(place, combination, all_ids(place))
    told = _explained(place, standing, name)
    if json:
        from planner.plan.weekplan import dumps

        put(dumps(told))
    else:
        from planner.show.why import why_text

        look = screen()
        put(why_text(told, width=look.width, colour=look.colour, plain=plain))
    end(standing, noticed_text(place, standing))


def _explained(place: Desk, standing: Standing, name: str) -> dict[str, object]:
    from datetime import date

    quiet_threads()
    from planner.horizon.explained import explained
    from planner.need.days import free_minutes
    from planner.plan.stop import Stop, ctrl_c_asks

    plan = standing.plan
    first, planned = date.fromisoformat(plan["first_day"]), plan["days"][0]["seconds_free"] // 60
    request = request_for(place, input_files(place), None, first)
    if free_minutes(request.player, first) != planned:  # the plan was made with --minutes
        request = request_for(place, input_files(place), None, first, planned)
    stop = Stop()
    with ctrl_c_asks(stop):
        return explained(request, plan, name, place.day, stop)

"""`planner week --clashes`: what cannot all be had, why, and what would help."""

from __future__ import annotations

import json

import typer

from planner.cli.desk import Desk
from planner.cli.planning import Progress, ctrl_c, input_files, request_for
from planner.cli.run import STOPPED, put, say, screen, when_stopped
from planner.cli.scales import quiet_threads
from planner.diary.plans import load_plan
from planner.errors import DoesNotFit


def show_clashes(place: Desk, *, as_json: bool, plain: bool) -> None:
    """Print the clash of the week; exit code 3 where there is no plan at all."""
    quiet_threads()
    from planner.horizon.clashes import Search
    from planner.horizon.ways_out import HARD, clashes
    from planner.show.clashes import clashes_text

    stored = load_plan(place.data, place.player_id, place.day)
    progress = Progress()
    with ctrl_c() as stop, when_stopped(lambda: f"it was {progress.reached}; nothing is known yet"):
        search = Search(stop, progress.say)
        found = clashes(request_for(place, input_files(place), stored, place.day), search=search)
    if as_json:
        put(json.dumps(found, ensure_ascii=False, indent=1))
    else:
        look = screen()
        put(clashes_text(found, width=look.width, colour=look.colour, plain=plain))
    if found["ended"] == "Ctrl-C":
        say(f"stopped by Ctrl-C: it was {progress.reached}; there may be more than is shown")
        raise typer.Exit(STOPPED)
    if found["clash"] is not None and found["clash"]["step"] in HARD:
        raise typer.Exit(DoesNotFit.code)

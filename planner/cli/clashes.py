"""`planner week --clashes`: what cannot all be had, why, and what would help."""

from __future__ import annotations

import json

import typer

from planner.cli.desk import Desk
from planner.cli.planning import input_files, request_for
from planner.cli.run import put, screen
from planner.cli.scales import quiet_threads
from planner.diary.plans import load_plan
from planner.errors import DoesNotFit


def show_clashes(place: Desk, *, as_json: bool, plain: bool) -> None:
    """Print the clash of the week; exit code 3 where there is no plan at all."""
    quiet_threads()
    from planner.horizon.ways_out import HARD, clashes
    from planner.show.clashes import clashes_text

    stored = load_plan(place.data, place.player_id, place.day)
    found = clashes(request_for(place, input_files(place), stored, place.day))
    if as_json:
        put(json.dumps(found, ensure_ascii=False, indent=1))
    else:
        look = screen()
        put(clashes_text(found, width=look.width, colour=look.colour, plain=plain))
    if found["clash"] is not None and found["clash"]["step"] in HARD:
        raise typer.Exit(DoesNotFit.code)

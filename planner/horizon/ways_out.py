"""What clashes in a week, of whatever kind, as JSON values; the error of a week that cannot be planned."""

from __future__ import annotations

from typing import Any

from planner.errors import DoesNotFit
from planner.horizon.clash_words import told
from planner.horizon.clashes import Search, explain, further
from planner.horizon.music_clash import music_clash, music_told
from planner.horizon.week import Request

HARD = ("music", "pins")
"""Steps without which there is no plan at all; the others only bend soft rules."""


def clashes(
    request: Request, steps: tuple[str, ...] = ("pins", "turns", "timely"), search: Search | None = None
) -> dict[str, Any]:
    """The week's first clash under "clash" (None where there is none), with whose week it is.

    Own music comes first, then pins, then turns, then the days on which turns come. Under "further" stand
    clashes of the same step that share no wish with it; they are looked for where all steps are. "ended" says
    what cut the search short ("work", "Ctrl-C"; "" where nothing did): there may be more than is told.
    """
    search = search or Search()
    others: list[dict[str, Any]] = []
    music = music_clash(request)
    found: dict[str, Any] | None
    if music is not None:
        found = music_told(music, {one.id: one.title for one in request.player.music})
    else:
        explained = explain(request, steps, search)
        found = told(explained) if explained else None
        if explained and len(steps) > 1:
            others = [told(one) for one in further(explained, search=search)]
    return {
        "player": request.player.id,
        "name": request.player.name,
        "first_day": request.first_day.isoformat(),
        "last_day": request.last_day.isoformat(),
        "clash": found,
        "further": others,
        "ended": search.ended,
    }


def with_ways_out(request: Request, error: DoesNotFit) -> DoesNotFit:
    """The error with the numbers of the clash and every way out that was tried, one a line."""
    found = clashes(request, ("pins",))["clash"]
    if found is None:
        return error
    ways = [f"tried, and it works: {way['sentence']}" for way in found["ways"]]
    return DoesNotFit(error.message, error.hint, (found["headline"], *ways))

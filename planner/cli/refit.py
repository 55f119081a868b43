"""`planner refit`: the estimate fitted to a player's own ratings, taken only when the player says so."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from typing import Annotated, Any

import typer

from planner.cli.desk import Desk, desk
from planner.cli.run import put, say
from planner.cli.scales import quiet_threads, taken_scales, written_so_far

QUESTION = "Plan with the fitted sizes from now on?"


def refit(
    player: Annotated[
        str | None, typer.Option("--player", help="A player file or id; else the one in this folder.")
    ] = None,
    date: Annotated[str | None, typer.Option("--date", help="The day to look from; else today.")] = None,
    write: Annotated[
        bool, typer.Option("--write", help="Take the fitted sizes without being asked.")
    ] = False,
    default: Annotated[bool, typer.Option("--default", help="Go back to the usual sizes.")] = False,
    as_json: Annotated[bool, typer.Option("--json", help="Print what was found as JSON.")] = False,
    diary: Annotated[str | None, typer.Option("--diary", help="The folder of the diary.")] = None,
) -> None:
    """Fit the estimate to your own ratings, from 150 on.

    \b
    planner refit             shows what differs for you, and asks
    planner refit --write     takes it without asking
    planner refit --default   goes back to the usual sizes
    planner undo              takes back either of them

    Nothing changes until you say so. How far keys, exercises or combinations lie apart differs from player
    to player; the estimate begins with usual sizes and can take over yours.
    """  # noqa: D301 - the backspace keeps typer from folding the table
    place = desk(player, date, diary)
    if default:
        _take(place, None, 0)
        put("From now on the usual sizes hold. planner undo takes that back.")
        return
    found = _fitted(place)
    if isinstance(found, int):
        _too_few(found, as_json=as_json)
        return
    put(_as_json(found) if as_json else _in_words(place, found))
    if write or (not as_json and _agreed()):
        _take(place, found.new.to_json(), found.ratings)
        say("From now on these sizes hold. planner undo or planner refit --default goes back.")


def _too_few(ratings: int, *, as_json: bool) -> None:
    from planner.need.refit import FEWEST
    from planner.show.words import counted

    if as_json:
        put(_json({"ratings": ratings, "fitted": None}))
    tell = say if as_json else put
    so_far = f"{counted(ratings, 'rating')} of tempos so far"
    tell(f"{so_far}; sizes are fitted from {FEWEST} on. The usual ones hold.")


def _fitted(place: Desk) -> Any:
    quiet_threads()
    from planner.diary.history import history
    from planner.inputs.goals import read_curriculum_for
    from planner.need.combinations import scope
    from planner.need.refit import refit as fit
    from planner.paths import find_curriculum

    who = place.player()
    shelf = scope(
        read_curriculum_for(find_curriculum(place.curriculum, place.player_file), who), who, place.day
    )
    ratings = history(place.data, who, place.monday)
    return fit(shelf.written, ratings, place.day, who, taken_scales(place))


def _in_words(place: Desk, found: Any) -> str:
    from planner.show.sizes import sizes_in_words

    return sizes_in_words(
        found.old.to_json(),
        found.new.to_json(),
        _known(found),
        name=place.player().name,
        ratings=found.ratings,
        likelier=found.likelier,
    )


def _known(found: Any) -> Mapping[str, bool]:
    return {name: found.known(name) for name in found.new.to_json()}


def _as_json(found: Any) -> str:
    content = {
        "ratings": found.ratings,
        "now": found.old.to_json(),
        "fitted": found.new.to_json(),
        "known": _known(found),
        "log_likelihood_gained": round(found.likelier, 3),
    }
    return _json(content)


def _json(content: Mapping[str, Any]) -> str:
    import json

    return json.dumps({"format": "planner.refit/1", **content}, indent=1)


def _agreed() -> bool:
    """Asks where somebody can answer; without a terminal nothing is taken."""
    if sys.stdin is None or not sys.stdin.isatty():
        say("Nothing has changed: planner refit --write takes the fitted sizes.")
        return False
    agreed = typer.confirm(QUESTION, default=False)
    if not agreed:
        say("Nothing has changed.")
    return agreed


def _take(place: Desk, sizes: Mapping[str, float] | None, ratings: int) -> None:
    from planner.diary.sizes import take_sizes

    after = written_so_far(place)
    take_sizes(place.data, place.player_id, sizes, day=place.clock, after=after, ratings=ratings)

"""term: what the minutes carry, the weeks, their days, and what is proven of them."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Annotated, Any

import typer

from planner.cli.desk import Desk, desk, read_monday
from planner.cli.plan import DATE, DIARY, JSON, PLAIN, PLAYER
from planner.cli.planning import Progress, history_of, input_files, trouble_ahead
from planner.cli.run import put, say, screen, when_stopped
from planner.cli.scales import quiet_threads, taken_scales
from planner.cli.term_views import Wanted, print_term
from planner.diary.plans import drop_term, load_term, save_term
from planner.errors import CannotWrite, DiaryTrouble, NoInput, PlannerError, UsageError
from planner.horizon.stored import input_digests

if TYPE_CHECKING:
    from planner.horizon.term_request import TermRequest


def term(
    player: Annotated[str | None, PLAYER] = None,
    day: Annotated[str | None, DATE] = None,
    starts: Annotated[
        str | None, typer.Option("--starts", help="Week 1 begins on this Monday, whatever the file says.")
    ] = None,
    fresh: Annotated[bool, typer.Option("--fresh", help="As for a pupil who has met nothing yet.")] = False,
    again: Annotated[bool, typer.Option("--again", help="Make it anew, though a term is stored.")] = False,
    back: Annotated[bool, typer.Option("--back", help="Take back the term stored last.")] = False,
    week: Annotated[int | None, typer.Option("--week", help="One week of it in detail.")] = None,
    tempos: Annotated[bool, typer.Option("--tempos", help="The tempo steps of every exercise.")] = False,
    json: Annotated[bool, JSON] = False,
    csv: Annotated[bool, typer.Option("--csv", help="Every turn as a line of a table.")] = False,
    ics: Annotated[bool, typer.Option("--ics", help="The days as a calendar (iCalendar).")] = False,
    plain: Annotated[bool, PLAIN] = False,
    school_class: Annotated[
        str | None, typer.Option("--class", help="A class profile instead of a player: a file or an id.")
    ] = None,
    pupil: Annotated[str | None, typer.Option("--pupil", help="One pupil of the class.")] = None,
    diary: Annotated[str | None, DIARY] = None,
) -> None:
    r"""The term: which week meets what, what comes back, and whether all of it fits.

    \b
    planner term
    planner term --week 5
    planner term --starts 2026-09-07 --fresh --ics > term.ics
    planner term --class first-years.toml --pupil cornets
    """
    if sum((json, csv, ics)) > 1:
        raise UsageError("--json, --csv and --ics are three ways of printing one term", "ask for one of them")
    if school_class is not None:
        _belongs_to_a_class(pupil, player=player is not None, detail=week is not None or tempos)
        from planner.cli.term_class import term_of_class

        term_of_class(
            school_class,
            pupil,
            day,
            starts,
            Wanted(week, tempos=tempos, json=json, csv=csv, ics=ics, plain=plain),
        )
        return
    place = desk(player, day, diary)
    if back:
        _back(place)
        return
    found, unsaved = _standing(place, starts, fresh=fresh, again=again, quiet=json or csv or ics)
    print_term(found, place.day, Wanted(week, tempos=tempos, json=json, csv=csv, ics=ics, plain=plain))
    if unsaved is not None:
        raise typer.Exit(unsaved.code)


def _belongs_to_a_class(pupil: str | None, *, player: bool, detail: bool) -> None:
    """UsageError for what says nothing beside --class."""
    if player:
        raise UsageError("--player and --class are two terms", "ask for one of them, or --class with --pupil")
    if detail and pupil is None:
        raise UsageError("--week and --tempos show one pupil's term", "add --pupil ID")


def _back(place: Desk) -> None:
    if not drop_term(place.data, place.player_id):
        raise NoInput(f"no term is stored for {place.player_id}", "planner term makes one")
    before = load_term(place.data, place.player_id)
    put("The term is taken back" + (f"; the one from {before['first_day']} stands again." if before else "."))


def _standing(
    place: Desk, starts: str | None, *, fresh: bool, again: bool, quiet: bool
) -> tuple[dict[str, Any], PlannerError | None]:
    """The stored term while it holds, else one made, checked and stored; what kept that from being stored."""
    stored = load_term(place.data, place.player_id)
    monday = read_monday(starts, place.clock)
    if stored and not again and _holds(stored, place, monday, fresh=fresh):
        return stored, None
    unsaved = trouble_ahead(place)
    quiet_threads()
    from planner.horizon.term import plan_term

    progress = Progress()
    with when_stopped(lambda: _where(progress, stored)):
        made = plan_term(_request(place, monday, fresh=fresh), say if quiet else _first_word, progress.say)
    if unsaved is not None:
        return made, unsaved
    try:
        save_term(place.data, place.player_id, made, _written(place))
    except (CannotWrite, DiaryTrouble) as trouble:  # the term is worth showing all the same
        say("\n".join(trouble.lines()))
        return made, trouble
    return made, None


def _where(progress: Progress, stored: Mapping[str, Any] | None) -> str:
    """What a stopped planning leaves: how far it came, and which term stands."""
    came = f"it was {progress.reached}; " if progress.reached else ""
    stands = f"the one from {stored['first_day']} stands as before" if stored else "none is stored"
    return f"{came}no term is made, {stands}"


def _written(place: Desk) -> tuple[int, int, int, int]:
    """How far diary, pins, tellings and refits have come: tells `undo` whether the term came last."""
    from planner.diary.pins import last_step
    from planner.diary.sizes import steps_taken
    from planner.diary.store import Diary
    from planner.diary.told import tellings

    with Diary.open(place.data) as book:
        batch = book.last_batch(place.player_id)
    data, player = place.data, place.player_id
    return batch, last_step(data, player), len(tellings(data, player)), steps_taken(data, player)


def _first_word(sentence: str) -> None:
    """What the minutes carry, said before anything is solved, where somebody watches."""
    if sys.stderr is not None and sys.stderr.isatty():
        from planner.show.layout import wrap

        say("\n".join(wrap(sentence, screen(sys.stderr).width)))


def _holds(stored: Mapping[str, Any], place: Desk, monday: date | None, *, fresh: bool) -> bool:
    from planner import __version__

    day = place.day.isoformat()
    return (
        stored["made_with"]["planner"] == __version__
        and tuple(stored["inputs"]) == input_digests(input_files(place))
        and (monday is None or stored["starts"] == monday.isoformat())
        and (not fresh or stored["ratings_from"] == "none")
        and day <= stored["last_day"]
    )


def _request(place: Desk, monday: date | None, *, fresh: bool) -> TermRequest:
    from planner.diary.rows import digest_of
    from planner.horizon.term_request import TermRequest
    from planner.inputs.goals import read_curriculum_for

    files = input_files(place)
    player = place.player()
    if monday is not None:
        player = replace(player, starts=monday)
    first_day = max(place.day if monday is None else monday, player.starts)
    ratings, source = ((), "none") if fresh else history_of(place, player, first_day)
    return TermRequest(
        curriculum=read_curriculum_for(files["curriculum"], player),
        player=player,
        ratings=ratings,
        first_day=first_day,
        anchor=place.monday,
        inputs=input_digests(files),
        diary_digest=digest_of(ratings),
        ratings_from=source,
        scales=taken_scales(place),
    )

"""Sheets for the stand: a day, a week, an exercise written out, a term, a fingering chart."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from planner.cli.desk import desk
from planner.cli.plan import DATE, DIARY, PLAYER
from planner.cli.planned_sheets import keep_printed, planned_sheet
from planner.cli.printing import Html, PaperName, Pdf, Svg, To, Wanted, paper_of, write_figures, write_sheet
from planner.errors import BadData, Fault, NoInput, UsageError

if TYPE_CHECKING:
    from planner.engrave.sheet import Paper, Sheet
    from planner.inputs.curriculum import Curriculum
    from planner.inputs.player import Player
    from planner.show.exercise_pages import Reader
    from planner.show.written_out import Look


def sheet(
    player: Annotated[str | None, PLAYER] = None,
    day: Annotated[str | None, DATE] = None,
    week: Annotated[bool, typer.Option("--week", help="The days of the week on one page.")] = False,
    every_day: Annotated[
        bool, typer.Option("--every-day", help="A sheet for each day from this one to Sunday, in one file.")
    ] = False,
    exercise: Annotated[
        str, typer.Option(metavar="ID", help="An exercise written out in all its places.")
    ] = "",
    curriculum: Annotated[
        str, typer.Option(metavar="ID", help="The exercise's curriculum, a file or an id.")
    ] = "",
    instruments: Annotated[
        str, typer.Option("--for", metavar="INSTRUMENTS", help="A page for each of these instruments.")
    ] = "",
    pupils: Annotated[
        str, typer.Option(metavar="PLAYERS", help="A page for each of these players or class profiles.")
    ] = "",
    term: Annotated[str, typer.Option(metavar="FILE", help="A term as planner term --json printed it.")] = "",
    chart: Annotated[str, typer.Option(metavar="INSTRUMENT", help="A fingering chart.")] = "",
    pdf: Pdf = False,
    html: Html = False,
    svg: Svg = False,
    to: To = "",
    paper: PaperName = "a4",
    alternates: Annotated[bool, typer.Option("--alternates", help="Other fingerings too.")] = False,
    tenor_clef: Annotated[
        bool, typer.Option("--tenor-clef", help="Trombone, euphonium, baritone in tenor clef.")
    ] = False,
    diary: Annotated[str | None, DIARY] = None,
) -> None:
    r"""A sheet for the music stand: today's routine with its figures, or one of the other sheets.

    \b
    planner sheet
    planner sheet --week --paper letter
    planner sheet --every-day           all sheets of the week in one file; with --week its page first
    planner sheet --exercise spindle --curriculum trumpet-cornet --for trumpet,cornet
    planner sheet --exercise spindle --pupils anna,ben.toml
    planner sheet --chart trumpet
    """
    from planner.show.written_out import Look

    look = Look(paper=paper_of(paper), alternates=alternates, tenor_clef=tenor_clef)
    files = Wanted(pdf or not (html or svg), html, svg, to)
    of_days = "--every-day" if every_day else "--week"
    _one_sheet({of_days: week or every_day, "--exercise": exercise, "--term": term, "--chart": chart})
    if (curriculum or instruments or pupils) and not exercise:
        raise UsageError("--curriculum, --for and --pupils belong to an exercise", "add --exercise ID")
    if (alternates or tenor_clef) and ((week and not every_day) or term or chart):
        raise UsageError(
            "--alternates and --tenor-clef are for sheets with figures", "today's routine, or --exercise"
        )
    if not (exercise or term or chart):
        place = desk(player, day, diary)
        planned = planned_sheet(place, look, week=week, every_day=every_day)
        write_sheet(planned.sheet, files, planned.name)
        keep_printed(place, planned)
        return
    if exercise:
        room = _Class(player, curriculum, instruments, pupils, diary)
        found, name = _exercise(exercise, room, look)
        write_figures(found, files, name)
        return
    found, name = _chart(chart, look.paper) if chart else _term(term, look.paper)
    write_sheet(found, files, name)


def _one_sheet(asked: Mapping[str, object]) -> None:
    """UsageError where two sheets are asked for at once."""
    names = [name for name, wanted in asked.items() if wanted]
    if len(names) > 1:
        raise UsageError(f"{' and '.join(names)} are different sheets", "ask for one at a time")


def _chart(text: str, paper: Paper) -> tuple[Sheet, str]:
    from planner.brass.instruments import instrument
    from planner.show.chart_pages import chart_sheet

    played = instrument(text)
    return chart_sheet(played, paper), f"fingerings-{played.id}"


def _term(file: str, paper: Paper) -> tuple[Sheet, str]:
    import json

    from planner.diary.files import reason
    from planner.inputs.text import file_name
    from planner.show.term_pages import class_sheet, term_sheet, terms_of

    path = Path(file)
    try:
        found = json.loads(path.read_bytes())
    except OSError as trouble:
        raise NoInput(f"{file_name(path)} cannot be read: {reason(trouble)}") from trouble
    except ValueError as trouble:
        raise BadData((Fault(file_name(path), 1, 1, "this is no JSON"),)) from trouble
    terms = terms_of(found)
    if not terms:
        raise BadData((Fault(file_name(path), 1, 1, "this is no term", "planner term --json prints one"),))
    sheet = term_sheet(terms[0], paper) if terms[0] is found else class_sheet(terms, paper)
    return sheet, f"{path.stem}-sheet"


@dataclass(frozen=True, slots=True)
class _Class:
    """Whom an exercise is written out for, as the command line says it."""

    player: str | None
    curriculum: str
    instruments: str
    pupils: str
    diary: str | None


def _exercise(wanted: str, room: _Class, look: Look) -> tuple[Sheet, str]:
    """An exercise for the instruments or pupils named, else for the player."""
    from planner.cli.written_exercise import exercise_named, instruments_named
    from planner.diary.files import safe_name
    from planner.show.exercise_pages import exercise_sheet, reader_of

    exercise = exercise_named(_curriculum(room), wanted)
    readers = [reader_of(played, exercise) for played in instruments_named(room.instruments)]
    names: list[str | None] = [*_words(room.pupils)]
    if not readers and not names:
        names = [room.player]
    readers += [reader for name in names for reader in _pupils(name, room.diary)]
    return exercise_sheet(exercise, readers, look), safe_name(exercise.id)


def _curriculum(room: _Class) -> Curriculum:
    """The curriculum that is named, else the player's or the first pupil's own."""
    from planner.inputs.goals import read_curriculum_for
    from planner.inputs.read import read_curriculum
    from planner.paths import find_curriculum

    if room.curriculum:
        return read_curriculum(find_curriculum(room.curriculum, Path.cwd() / "player.toml"))
    first = (*_words(room.pupils), room.player)[0]
    path = _class_file(first)
    if path is not None:
        pupil = _in_class(path)[0]
        return read_curriculum_for(find_curriculum(pupil.curriculum, path), pupil)
    place = desk(first, None, room.diary)
    return read_curriculum_for(find_curriculum(place.curriculum, place.player_file), place.player())


def _pupils(name: str | None, diary: str | None) -> list[Reader]:
    """The player of a name, or every pupil of a class profile."""
    from planner.brass.instruments import instrument
    from planner.show.exercise_pages import pupil_of

    path = _class_file(name)
    players = [desk(name, None, diary).player()] if path is None else _in_class(path)
    return [pupil_of(one, instrument(one.instrument), rated=path is None) for one in players]


def _class_file(name: str | None) -> Path | None:
    """The class profile that a name means here, a file or an id; None where it means none."""
    from planner.paths import is_class

    paths = (Path(name or ""), Path(f"{name}.toml"), Path("players", f"{name}.toml"))
    return next((path for path in paths if is_class(path)), None)


def _in_class(path: Path) -> list[Player]:
    from datetime import date

    from planner.inputs.class_file import read_class
    from planner.inputs.dates import monday_of

    today = date.today()  # noqa: DTZ011 - a practice day is the wall calendar's
    return list(read_class(path, monday_of(today)).pupils)


def _words(text: str) -> list[str]:
    return [word.strip() for word in text.split(",") if word.strip()]

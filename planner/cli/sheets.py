"""Sheets for the stand: a day, a week, an exercise written out, a term, a fingering chart."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from planner.cli.desk import desk
from planner.cli.plan import DATE, DIARY, PLAYER
from planner.cli.planned_sheets import Days, keep_printed, planned_sheet, together
from planner.cli.printing import Html, PaperName, Pdf, Svg, To, Wanted, paper_of, write_figures, write_sheet
from planner.errors import BadData, Fault, NoInput, UsageError

if TYPE_CHECKING:
    from planner.brass.instruments import Instrument
    from planner.engrave.sheet import Paper, Sheet
    from planner.inputs.curriculum import Curriculum
    from planner.inputs.player import Player
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
        str, typer.Option(metavar="PLAYERS", help="A page for each of these: files, ids, a class.")
    ] = "",
    term: Annotated[
        str, typer.Option(metavar="FILE", help="What planner term --json printed, of a class too.")
    ] = "",
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
    planner sheet --pupils first-years  today's routine of every pupil of a class, in one file
    planner sheet --chart trumpet
    """
    from planner.show.written_out import Look

    look = Look(paper=paper_of(paper), alternates=alternates, tenor_clef=tenor_clef)
    files = Wanted(pdf or not (html or svg), html, svg, to)
    of_days = "--every-day" if every_day else "--week"
    _one_sheet({of_days: week or every_day, "--exercise": exercise, "--term": term, "--chart": chart})
    if (curriculum or instruments) and not exercise:
        raise UsageError("--curriculum and --for belong to an exercise", "add --exercise ID")
    if pupils and (term or chart):
        raise UsageError(
            "--pupils is for today's routine, the week and an exercise", "a class's term has its pupils in it"
        )
    if (alternates or tenor_clef) and ((week and not every_day) or term or chart):
        raise UsageError(
            "--alternates and --tenor-clef are for sheets with figures", "today's routine, or --exercise"
        )
    room = _Class(player, curriculum, instruments, pupils, diary)
    if not (exercise or term or chart):
        _write_routines(room, day, look, files, Days(week=week, every_day=every_day))
        return
    if exercise:
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
    from planner.show.class_pages import class_sheet, is_class_terms
    from planner.show.term_pages import is_term, term_sheet

    path = Path(file)
    try:
        found = json.loads(path.read_bytes())
    except OSError as trouble:
        raise NoInput(f"{file_name(path)} cannot be read: {reason(trouble)}") from trouble
    except ValueError as trouble:
        raise BadData((Fault(file_name(path), 1, 1, "this is no JSON"),)) from trouble
    if is_class_terms(found):
        return class_sheet(found, paper), f"{path.stem}-sheet"
    if not is_term(found):
        raise BadData((Fault(file_name(path), 1, 1, "this is no term", "planner term --json prints one"),))
    return term_sheet(found, paper), f"{path.stem}-sheet"


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
    from planner.show.exercise_pages import exercise_sheet, pupil_of, reader_of

    exercise = exercise_named(_curriculum(room), wanted)
    readers = [reader_of(played, exercise) for played in instruments_named(room.instruments)]
    names: list[str | None] = [*_pupils(room)]
    if not readers and not names:
        names = [room.player]
    readers += [pupil_of(*_pupil(name, room.diary)) for name in names]
    return exercise_sheet(exercise, readers, look), safe_name(exercise.id)


def _curriculum(room: _Class) -> Curriculum:
    """The curriculum that is named, else the player's or the first pupil's own."""
    from planner.inputs.goals import read_curriculum_for
    from planner.inputs.read import read_curriculum
    from planner.paths import find_curriculum

    if room.curriculum:
        return read_curriculum(find_curriculum(room.curriculum, Path.cwd() / "player.toml"))
    place = desk((*_pupils(room), room.player)[0], None, room.diary)
    return read_curriculum_for(find_curriculum(place.curriculum, place.player_file), place.player())


def _pupil(name: str | None, diary: str | None) -> tuple[Player, Instrument]:
    from planner.brass.instruments import instrument

    player = desk(name, None, diary).player()
    return player, instrument(player.instrument)


def _pupils(room: _Class) -> list[str]:
    """Everybody named with --pupils; a class stands for its pupils."""
    from planner.inputs.whom import all_named
    from planner.paths import data_folder

    data = data_folder(room.diary)
    return [one for word in _words(room.pupils) for one in all_named(word, Path.cwd(), data)]


def _words(text: str) -> list[str]:
    return [word.strip() for word in text.split(",") if word.strip()]


def _write_routines(room: _Class, day: str | None, look: Look, files: Wanted, days: Days) -> None:
    """Writes the routines or weeks of a player, or of several pupils in one file, each beginning a page."""
    if not room.pupils:
        whom: Sequence[str | None] = (room.player,)
    else:
        whom = _pupils(room)
        if not whom:
            raise UsageError("--pupils names nobody", "files, ids or a class, with commas between")
    desks = [desk(name, day, room.diary) for name in whom]
    planned = [planned_sheet(place, look, days) for place in desks]
    sheet, name = together([one.sheet for one in planned]), planned[0].name
    if room.pupils:
        name = f"pupils-{name.removeprefix(f'{desks[0].file_stem}-')}"
    write_sheet(sheet, files, name)
    for place, one in zip(desks, planned, strict=True):
        keep_printed(place, one)

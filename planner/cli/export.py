"""`planner export` and `planner click`: files for other programs."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Mapping
from datetime import time
from pathlib import Path
from typing import Annotated, Any

import typer

from planner.brass.tempo import eighths_per_minute
from planner.cli.desk import Desk, desk
from planner.cli.facts import beat_of, meter_of
from planner.cli.plan import DATE, DIARY, PLAYER
from planner.cli.run import put, say
from planner.cli.target import SCREEN, put_file, target
from planner.errors import NoInput, UsageError

ENDINGS = {
    "today": (".musicxml", ".mid", ".ics", ".csv", ".json"),
    "week": (".ics", ".csv", ".json"),
    "coverage": (".csv", ".json"),
    "a combination": (".musicxml", ".mid", ".wav"),
}
IN_WORDS = {"today": "a routine", "week": "a week"}
TEXTS = (".musicxml", ".ics", ".csv", ".json")
MOST_BARS = 2000
MOST_MINUTES = 120
"""About 600 MB of sound; four gigabytes are more than a WAV file can say of itself."""


def export(
    what: Annotated[
        str, typer.Argument(metavar="WHAT", help="today, week, coverage, or the id of a combination.")
    ],
    to: Annotated[
        str, typer.Option("--to", metavar="FILE", help="The file; its ending says its kind. - with --format.")
    ],
    player: Annotated[str | None, PLAYER] = None,
    day: Annotated[str | None, DATE] = None,
    articulation: Annotated[
        str, typer.Option(help="A combination: slurred, tongued, …; else as in the day's plan, or its first.")
    ] = "",
    tempo: Annotated[
        int | None,
        typer.Option(
            min=20, max=400, help="A combination: beats a minute; else as in the day's plan, or first."
        ),
    ] = None,
    at: Annotated[
        str, typer.Option(metavar="HH:MM", help="Calendar: when practice begins; all day otherwise.")
    ] = "",
    form: Annotated[
        str, typer.Option("--format", help="The kind where --to is -, standard output: csv, ics, …")
    ] = "",
    diary: Annotated[str | None, DIARY] = None,
) -> None:
    r"""A routine, a week or a combination as a file for another program; the file's ending says which.

    \b
    planner export today --to today.musicxml      notes with fingerings, for a notation program
    planner export today --to today.mid           to play along: count-in, accents, passes
    planner export week --to week.ics --at 17:30  for a calendar
    planner export week --to week.csv             for a spreadsheet
    planner export coverage --to coverage.csv     what was met and what is open, a cell a row
    planner export stairs/a/1-2-3 --to stairs.wav --tempo 84
    """
    place = desk(player, day, diary)
    kind = what if what in ENDINGS else "a combination"
    path, ending = _destination(to, form, kind)
    if kind == "a combination":
        _out(path, _combination(place, what, articulation, tempo, ending))
        return
    from planner.cli.planning import end, noticed_text, standing_plan

    when = _time(at)
    standing = standing_plan(place)
    if kind == "coverage":
        _out(path, _coverage(place, standing.plan, ending))
    else:
        _out(path, _planned(place, standing.plan, kind, ending, when))
    end(standing, noticed_text(place, standing))


def _out(path: Path | None, content: bytes) -> None:
    """Into the file, or as text to standard output."""
    if path is None:
        put(content.decode("utf-8"))
        return
    put_file(path, content)
    say(f"written: {path}")


def _destination(to: str, form: str, kind: str) -> tuple[Path | None, str]:
    """The file (None: standard output) and the ending that says its kind."""
    endings = ENDINGS[kind]
    if to != SCREEN:
        path = target(to, endings, IN_WORDS.get(kind, kind))
        if form and path.suffix.lower() != f".{form.lower()}":
            raise UsageError(f"--format {form[:20]} is not the kind of {path.name}", "leave --format out")
        return path, path.suffix.lower()
    texts = [ending.removeprefix(".") for ending in endings if ending in TEXTS]
    if form.lower() not in texts:
        raise UsageError("--to - does not say which kind of file", f"--format {' or '.join(texts)}")
    return None, f".{form.lower()}"


def click(
    to: Annotated[str, typer.Option("--to", metavar="FILE", help="The WAV file.")],
    meter: Annotated[str, typer.Option(help="For example 4/4 or 7/8.")] = "4/4",
    grouping: Annotated[str, typer.Option(help="Accents of the bar, for example 2+2+3.")] = "",
    tempo: Annotated[int, typer.Option(min=20, max=400, help="Beats a minute.")] = 96,
    beat: Annotated[
        str, typer.Option(help="eighth, quarter, dotted quarter or half; else by the meter.")
    ] = "",
    bars: Annotated[int, typer.Option(min=1, max=MOST_BARS, help="How many bars, count-in included.")] = 16,
) -> None:
    r"""A click track with the accents of the bar, as a WAV file.

    \b
    planner click --meter 7/8 --grouping 2+2+3 --tempo 132 --bars 32 --to seven.wav
    """
    from planner.exports.click import click_track

    path = target(to, (".wav",), "a click")
    bar = meter_of(meter, grouping)
    speed = eighths_per_minute(tempo, beat_of(beat, bar))
    minutes = bars * bar.eighths_per_bar / speed
    if minutes > MOST_MINUTES:
        raise UsageError(f"{bars} bars last {float(minutes):.0f} minutes", f"at most {MOST_MINUTES}: --bars")
    put_file(path, click_track(bar, speed, bars))
    say(f"written: {to}")


def _time(text: str) -> time | None:
    if not text:
        return None
    if re.fullmatch("([01][0-9]|2[0-3]):[0-5][0-9]", text):
        return time.fromisoformat(text)
    raise UsageError(f"{text[:20]!r} is no time of day", "write it like 17:30")


def _planned(place: Desk, plan: dict[str, Any], kind: str, ending: str, at: time | None) -> bytes:
    """A day or a week of the plan that stands, in one of the kinds of files."""
    if kind == "today":
        days = [one for one in plan["days"] if one["date"] == place.day.isoformat()]
        plan = plan | {"days": days}
    if ending in (".musicxml", ".mid"):
        return _scored(place, plan["days"][0], ending)
    return _WRITERS[ending](plan, at)


def _calendar(plan: Mapping[str, Any], at: time | None) -> bytes:
    from planner.exports.calendar import calendar

    return calendar(plan, at)


def _csv(plan: Mapping[str, Any], _: time | None) -> bytes:
    from planner.exports.tables import plan_csv

    return plan_csv(plan).encode("utf-8")


def _json(plan: Mapping[str, Any], _: time | None) -> bytes:
    return (json.dumps(plan, ensure_ascii=False, indent=1) + "\n").encode("utf-8")


_WRITERS: dict[str, Callable[[Mapping[str, Any], time | None], bytes]] = {
    ".ics": _calendar,
    ".csv": _csv,
    ".json": _json,
}


def _coverage(place: Desk, plan: dict[str, Any], ending: str) -> bytes:
    """What was met, is planned and is open in the week of the day."""
    from planner.cli.planning import input_files
    from planner.exports.coverage_table import coverage_csv
    from planner.horizon.covered import coverage_json, covered
    from planner.plan.weekplan import dumps

    shelf = covered(place.data, place.player(), input_files(place)["curriculum"], place.monday, place.day)
    if ending == ".json":
        return dumps(coverage_json(plan, shelf)).encode("utf-8")
    return coverage_csv(plan, shelf, place.day).encode("utf-8")


def _shelf(place: Desk) -> dict[str, Any]:
    """Every combination that can be written out for the player, by its id."""
    from planner.cli.planning import input_files
    from planner.inputs.goals import read_curriculum_for
    from planner.need.combinations import scope

    player = place.player()
    curriculum = read_curriculum_for(input_files(place)["curriculum"], player)
    found = scope(curriculum, player, place.day)
    return {combination.id: combination for combination in found.written}


def _scored(place: Desk, day: Mapping[str, Any], ending: str) -> bytes:
    from planner.exports.pieces import pieces_of_day

    pieces = pieces_of_day(day["items"], _shelf(place), place.player().instrument)
    if not pieces:
        raise NoInput(f"{day['date']} has nothing with notes", "another day with --date")
    return _notes(pieces, f"{place.player().name}, {day['date']}", ending)


def _combination(place: Desk, name: str, articulation: str, tempo: int | None, ending: str) -> bytes:
    from planner.exports.pieces import piece_of

    shelf = _shelf(place)
    if name not in shelf:
        raise NoInput(f"there is no combination '{name}' on this shelf", _near(name, list(shelf)))
    found = shelf[name]
    ways = found.articulations
    if articulation and articulation not in ways:
        raise UsageError(f"{name} is not played {articulation}", f"one of {', '.join(ways)}")
    chosen, mark = _as_planned(place, name, articulation, tempo) or (articulation or ways[0], tempo)
    piece = piece_of(found, place.player().instrument, chosen, mark or found.exercise.tempos[chosen].first)
    if ending == ".wav":
        from planner.exports.click import click_track

        bars = len(piece.passages) * (1 + piece.passes * piece.passages[0].bars)
        return click_track(piece.meter, piece.eighths_per_minute, bars)
    return _notes([piece], piece.title, ending)


def _as_planned(
    place: Desk, name: str, articulation: str, tempo: int | None
) -> tuple[str, int | None] | None:
    """Articulation and tempo as the stored plan of the day has them, said; None where it says nothing.

    What was typed goes first; another articulation than the plan's has a tempo of its own.
    """
    from planner.diary.plans import load_plan
    from planner.show.words import mark

    plan = load_plan(place.data, place.player_id, place.day)
    day = place.day.isoformat()
    found = [item for one in (plan or {"days": []})["days"] if one["date"] == day for item in one["items"]]
    item = next((item for item in found if item["combination"] == name), None)
    if item is None or articulation not in ("", item["articulation"]):
        return None
    at = f" {mark(item['beat'], item['tempo'])}" if item["tempo"] and not tempo else ""
    say(f"as planned for {day}: {item['articulation']}{at}")
    return item["articulation"], tempo or item["tempo"]


def _near(name: str, names: list[str]) -> str:
    from difflib import get_close_matches

    near = get_close_matches(name, names, 1)
    return f"did you mean {near[0]}?" if near else "planner week --json names them"


def _notes(pieces: list[Any], title: str, ending: str) -> bytes:
    if ending == ".mid":
        from planner.exports.midi import midi

        return midi(pieces, title)
    from planner.exports.musicxml import musicxml

    return musicxml(pieces, title).encode("utf-8")

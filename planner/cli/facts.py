"""Two commands that need no player: fingerings of notes, and a figure written out for instruments."""

from __future__ import annotations

import json
import shutil
from typing import Annotated, cast

import typer

from planner.brass.figures import FigureError, read_figure
from planner.brass.fingerings import positions
from planner.brass.instruments import INSTRUMENTS, Instrument, Side, instrument, nearest_words, reachable
from planner.brass.keys import MAJOR_KEYS, BadName, Key, Naming, Pitch, parse_key, parse_pitch
from planner.brass.tempo import EIGHTHS_IN_BEAT, BadMeter, Beat, Meter, parse_meter
from planner.cli.printing import Html, PaperName, Pdf, Svg, To, Wanted, paper_of, write_figures
from planner.cli.run import put
from planner.cli.written_exercise import USUAL, Writing, exercise_hint, names_an_exercise, write_exercise
from planner.errors import UsageError

NARROWEST, WIDEST = 60, 120
LEVELS = ("beginner", "intermediate", "advanced")
NAMINGS = ("english", "german", "fixed-do")
ARTICULATIONS = ("slurred", "legato", "tongued", "staccato", "K", "double", "triple")
SIDES: dict[str, Side] = {"f": "F", "bb": "B flat", "b flat": "B flat", "b-flat": "B flat", "b♭": "B flat"}


def fingerings(
    instrument_id: Annotated[
        str, typer.Argument(metavar="INSTRUMENT", help="For example trumpet or tuba-eb.")
    ],
    notes: Annotated[
        list[str] | None, typer.Argument(metavar="NOTE...", help="Written notes: C4 Bb4 F#5; none for all.")
    ] = None,
    naming: Annotated[str, typer.Option(help="english, german or fixed-do.")] = "english",
    as_json: Annotated[bool, typer.Option("--json", help="Print a JSON array instead.")] = False,
) -> None:
    """How written notes are fingered: the usual way, the others, and the flat seventh partial."""
    from planner.show.facts import chart_pitches, fingerings_objects, fingerings_text

    player = instrument(instrument_id)
    wanted = _pitches(notes, naming) if notes else list(chart_pitches(player))
    found, missing = _sorted_out(player, wanted)
    if as_json:
        put(json.dumps(fingerings_objects(player, found), ensure_ascii=False, indent=1))
    elif found:
        put(fingerings_text(player, found, _width()))
    if missing:
        raise _refusal(player, missing)


def figure(
    context: typer.Context,
    partials: Annotated[
        str | None,
        typer.Argument(
            metavar="FIGURE",
            help='Partials with lengths, "4e> 5e 6e 5e 4e", or an exercise, CURRICULUM/EXERCISE.',
        ),
    ] = None,
    degrees: Annotated[str | None, typer.Option(help='Scale degrees instead: "1e 2e 3e 4e 5q".')] = None,
    meter: Annotated[str, typer.Option(help="For example 4/4 or 5/8.")] = "4/4",
    grouping: Annotated[str, typer.Option(help="Accents of the bar, for example 3+2.")] = "",
    instruments: Annotated[
        str, typer.Option("--for", metavar="INSTRUMENTS", help="Instruments, with commas; else the trumpet.")
    ] = "",
    starts: Annotated[str, typer.Option(help="Partials: first positions, for example 1,3,5.")] = "",
    cycle: Annotated[
        int, typer.Option(min=1, max=7, help="Partials: neighbouring positions in a round.")
    ] = 3,
    keys: Annotated[str, typer.Option(help="Degrees: all, or keys with commas: C,F,Bb.")] = "all",
    concert: Annotated[bool, typer.Option("--concert", help="The keys are concert keys.")] = False,
    octave: Annotated[int, typer.Option(min=0, max=3, help="Degrees: this many octaves higher.")] = 0,
    tempo: Annotated[int, typer.Option(min=20, max=400, help="Beats a minute.")] = 96,
    beat: Annotated[
        str, typer.Option(help="eighth, quarter, dotted quarter or half; else by the meter.")
    ] = "",
    passes: Annotated[int, typer.Option(min=1, max=32, help="Passes in a breath.")] = 1,
    level: Annotated[str, typer.Option(help="beginner, intermediate or advanced.")] = "intermediate",
    side: Annotated[str, typer.Option(help="Double horn: F or Bb.")] = "F",
    pdf: Pdf = False,
    html: Html = False,
    svg: Svg = False,
    to: To = "",
    title: Annotated[str, typer.Option(help="Sheets: the title over each page.")] = "",
    paper: PaperName = "a4",
    articulation: Annotated[str, typer.Option(help="Sheets: slurred, staccato, legato and so on.")] = "",
    alternates: Annotated[bool, typer.Option("--alternates", help="Sheets: other fingerings too.")] = False,
    tenor_clef: Annotated[
        bool, typer.Option("--tenor-clef", help="Sheets: trombone, euphonium, baritone in tenor clef.")
    ] = False,
) -> None:
    """A figure or an exercise written out for instruments, at every place: key, notes, fingerings, seconds.

    With --pdf, --html or --svg engraved, one page an instrument.
    """
    from planner.show.facts import FigureRequest, figure_text
    from planner.show.written_out import Look

    wanted = Wanted(pdf, html, svg, to)
    if not wanted.any and (to or articulation or alternates or tenor_clef):
        raise UsageError("--to, --articulation, --alternates and --tenor-clef are for sheets", "add --pdf")
    look = Look(title, paper_of(paper), _articulation(articulation), alternates, tenor_clef)
    if names_an_exercise(partials):
        how = Writing(instruments, _side(side), look, wanted, _width())
        write_exercise(str(partials), how, context)
        return
    if (partials is None) == (degrees is None):
        raise UsageError("one figure is wanted, of partials or of degrees", 'for example "4e 5e 6e 5e 4e"')
    source = partials if partials is not None else str(degrees)
    bar = meter_of(meter, grouping)
    try:
        notes = read_figure(source, bar, "partials" if partials is not None else "degrees")
    except FigureError as error:
        hint = error.hint if partials is None else exercise_hint(partials) or error.hint
        raise UsageError(f"figure, column {error.column}: {error.message}", hint) from error
    request = FigureRequest(
        source=source,
        figure=notes,
        instruments=_instruments(instruments or USUAL),
        starts=_numbers(starts, "starts"),
        cycle=cycle,
        keys=_keys(keys),
        concert=concert,
        tempo=tempo,
        beat=beat_of(beat, bar),
        passes=passes,
        octave=octave,
        level=_one_of(level, LEVELS, "level"),
        side=_side(side),
    )
    _some_have(request.instruments, request.starts)
    if not wanted.any:
        put(figure_text(request, _width()))
        return
    from planner.show.figure_pages import figure_pages

    write_figures(figure_pages(request, look), wanted, f"figure-{bar.beats}-{bar.unit}")


def _some_have(instruments: tuple[Instrument, ...], starts: tuple[int, ...]) -> None:
    """UsageError for a first position that none of these instruments has."""
    most = max(instruments, key=lambda one: len(positions(one)))
    strange = [start for start in starts if start not in positions(most)]
    if strange:
        last = max(positions(most))
        raise UsageError(f"{most.name} has no position {strange[0]}", f"--starts from 1 to {last}")


def _width() -> int:
    """The columns of the terminal, between 60 and 120."""
    return max(NARROWEST, min(WIDEST, shutil.get_terminal_size().columns))


def _pitches(notes: list[str], naming: str) -> list[Pitch]:
    """The notes of the command line; UsageError for the first that is none."""
    way = cast("Naming", _one_of(naming, NAMINGS, "naming"))
    try:
        return [parse_pitch(note, way) for note in notes]
    except BadName as error:
        raise UsageError(error.message, error.hint) from error


def _sorted_out(player: Instrument, wanted: list[Pitch]) -> tuple[list[Pitch], list[Pitch]]:
    """The notes that the instrument has, and those that it has not."""
    have = set(reachable(player))
    return [pitch for pitch in wanted if pitch.midi in have], [
        pitch for pitch in wanted if pitch.midi not in have
    ]


def _refusal(player: Instrument, missing: list[Pitch]) -> UsageError:
    """One line for all notes that the instrument does not have, with the hint of the first."""
    names = " and no ".join(pitch.name for pitch in missing)
    return UsageError(f"{player.name} has no written {names}", nearest_words(player, missing[0].midi))


def meter_of(text: str, grouping: str) -> Meter:
    """The meter with its accents."""
    groups = _numbers(grouping.replace("+", ","), "grouping") or None
    try:
        return parse_meter(text, groups)
    except BadMeter as error:
        raise UsageError(error.message, error.hint) from error


def _instruments(text: str) -> tuple[Instrument, ...]:
    """The instruments in the order of the command line."""
    if text.strip() == "all":
        return tuple(INSTRUMENTS.values())
    return tuple(instrument(word.strip()) for word in text.split(","))


def _keys(text: str) -> tuple[Key, ...]:
    """The keys in the order of the command line; "all" is the twelve major keys."""
    if text.strip() == "all":
        return MAJOR_KEYS
    try:
        return tuple(parse_key(word.strip()) for word in text.split(","))
    except BadName as error:
        raise UsageError(error.message, error.hint) from error


def _numbers(text: str, what: str) -> tuple[int, ...]:
    """Whole numbers with commas; () for an empty text."""
    words = [word.strip() for word in text.split(",") if word.strip()]
    if not all(word.isascii() and word.isdigit() and 1 <= int(word) <= 12 for word in words):
        raise UsageError(
            f'--{what} "{text}" is not a list of whole numbers from 1 to 12', "for example 1,3,5"
        )
    return tuple(int(word) for word in words)


def beat_of(text: str, bar: Meter) -> Beat:
    """The beat of the tempo; without one eighths in eighth meters, else quarters."""
    if not text:
        return "eighth" if bar.unit >= 8 else "quarter"
    return cast("Beat", _one_of(text, tuple(EIGHTHS_IN_BEAT), "beat"))


def _articulation(text: str) -> str:
    return _one_of(text, ARTICULATIONS, "articulation") if text else ""


def _side(text: str) -> Side:
    return SIDES[_one_of(text.lower(), tuple(SIDES), "side")]


def _one_of(word: str, allowed: tuple[str, ...], what: str) -> str:
    """The word itself where it is allowed; UsageError with the allowed words otherwise."""
    if word not in allowed:
        raise UsageError(f'--{what} "{word}" is not known', f"one of {', '.join(allowed)}")
    return word

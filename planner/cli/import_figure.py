"""`planner import-figure`: bars of a score become an exercise in the words of a curriculum file."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Annotated

import typer

from planner.brass.instruments import Instrument, instrument
from planner.cli.run import put, say
from planner.errors import UsageError
from planner.inputs.import_figure import Imported, figure_of
from planner.inputs.score_grouping import asked
from planner.inputs.score_instrument import instrument_of
from planner.inputs.score_reader import Bar, ReadPart, read_score

MOST_BARS = 8
"""More bars than these are no figure any more."""

TEMPOS = {8: ("eighth", 88, 160), 4: ("quarter", 60, 120), 2: ("half", 50, 80), 16: ("eighth", 60, 120)}


def import_figure(
    source: Annotated[Path, typer.Argument(metavar="FILE", help="A MusicXML file, plain or compressed.")],
    bars: Annotated[str, typer.Option(help="Which bars, counted from 1: 5 or 5-6; all otherwise.")] = "",
    part: Annotated[str, typer.Option(help="Which part, by number or name.")] = "",
    instrument_id: Annotated[
        str,
        typer.Option(
            "--for",
            metavar="INSTRUMENT",
            help="Whose tube to look for partials on; else the part's own instrument by its name or clef.",
        ),
    ] = "",
    exercise: Annotated[str, typer.Option("--id", help="The id of the exercise.")] = "",
) -> None:
    r"""A figure from a notation program, printed as an exercise to put into a curriculum file.

    \b
    planner import-figure morning.musicxml --bars 1-2 --for trombone >> my-curriculum.toml

    Notes that lie on one tube become partials, to be taken through the positions; others become degrees, to
    be taken through the keys. What is not taken over is said, and nothing is guessed.
    """
    _check_id(exercise)
    read = read_score(source, part)
    inside = _range(bars, read, source.name)
    one, told_by = (instrument(instrument_id), "") if instrument_id else instrument_of(read)
    found = figure_of(inside, one, source.name)
    name = exercise or _id(source.stem)
    put("\n".join(_exercise(found, name, source.stem)))
    for line in (*_for_whom(one, told_by), *_told(found, read, one)):
        say(line)


def _check_id(text: str) -> None:
    """UsageError for an id that no curriculum file may hold; "" is the file's own name."""
    from planner.inputs.fields import is_id, suggestion

    if text and not is_id(text):
        raise UsageError(f"--id {text[:60]!r} is not made of a-z, 0-9 and single hyphens", suggestion(text))


def _range(text: str, read: ReadPart, file: str) -> tuple[Bar, ...]:
    """The bars that are meant."""
    count = len(read.bars)
    if not text:
        if count > MOST_BARS:
            raise UsageError(f"{file} has {count} bars", f"choose up to {MOST_BARS} of them: --bars 1-2")
        return read.bars
    match = re.fullmatch(r"([0-9]{1,6})(?:-([0-9]{1,6}))?", text)
    first, last = (int(match[1]), int(match[2] or match[1])) if match else (0, 0)
    if not 1 <= first <= last <= count:
        raise UsageError(f"--bars {text[:20]!r} are no bars of {file}", f"from 1 to {count}, for example 1-2")
    if last - first >= MOST_BARS:
        raise UsageError(f"--bars {text} are too many for a figure", f"up to {MOST_BARS}")
    return read.bars[first - 1 : last]


def _id(stem: str) -> str:
    from planner.inputs.fields import is_id

    found = re.sub(r"[^a-z0-9]+", "-", stem.lower()).strip("-")[:40].rstrip("-")
    return found if is_id(found) else "imported"


def _exercise(found: Imported, name: str, title: str) -> Iterator[str]:
    """The exercise as lines of TOML that `planner check` accepts inside a curriculum."""
    beat, first, goal = TEMPOS.get(found.meter.unit, TEMPOS[4])
    flexible = found.kind == "partials"
    yield "[[exercise]]"
    yield f"id = {json.dumps(name)}"
    yield f"title = {json.dumps(title, ensure_ascii=False)}"
    yield f'family = "{"flexibility" if flexible else "scales"}"'
    yield "weeks = [1]"
    yield f'meter = "{found.meter.text}"'
    if len(found.meter.grouping) > 1:
        yield f"grouping = {list(found.meter.grouping)}"
    yield f'tempo = {{ beat = "{beat}", first = {first}, goal = {goal} }}'
    yield 'articulations = ["slurred", "tongued"]'
    if flexible:
        yield "cycle = 3"
        yield "starts = [1, 3, 5]"
    else:
        every = "all" if found.key.mode == "major" else f"all {found.key.mode}"
        yield f'keys = "{every}"    # it stood in {found.key.pretty}, written'
        yield 'keys_are = "written"'
    yield ""
    yield "[[exercise.pattern]]"
    yield 'name = "a"'
    yield f'{found.kind} = "{found.notation}"'


def _for_whom(played: Instrument, told_by: str) -> Iterator[str]:
    """For which instrument the part was read, where nobody said it."""
    if told_by:
        yield f"read for the {played.name} (--for {played.id}), {told_by}; for another instrument say --for"


def _told(found: Imported, read: ReadPart, played: Instrument) -> Iterator[str]:
    """What was understood, and what was not taken over."""
    if read.transposition not in (None, played.transposition.chromatic):
        yield (
            f"the part sounds {read.transposition:+d} semitones from what is written, the {played.name} "
            f"{played.transposition.chromatic:+d}: its notes are taken as written (another instrument: --for)"
        )
    if found.position is not None:
        yield f"read as partials on position {found.position} of the {played.name}"
    else:
        yield f"read as degrees of {found.key.pretty} (on no single tube of the {played.name})"
    if found.slurs_lost:
        yield f"not taken over: slurs over rests, inside others, or without an end ({found.slurs_lost})"
    if found.ties_lost:
        yield f"not taken over: ties to a note of another name or beyond these bars ({found.ties_lost})"
    if read.left_out:
        yield f"not taken over from the whole part: {', '.join(read.left_out)}"
    yield from _grouping(found)
    words = "tempos, articulations" + (", grouping" if _is_proposed(found) else "")
    yield f"{words} and weeks are only proposed: change them"


def _is_proposed(found: Imported) -> bool:
    return len(found.meter.grouping) > 1 and found.grouped_by != "meter" and asked(found.meter)


def _grouping(found: Imported) -> Iterator[str]:
    """Where the grouping of a meter that may be counted in several ways comes from."""
    if _is_proposed(found):
        source = f"taken from the {found.grouped_by}" if found.grouped_by else "the usual one"
        yield f"the grouping {found.meter.grouping_text} of {found.meter.text} is {source}"

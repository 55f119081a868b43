"""A figure written out for instruments as a sheet: one page an instrument, every place engraved.

Pure functions. The places, their seconds and what an instrument cannot play are those of `figure_sheet.py`.
"""

from __future__ import annotations

from dataclasses import replace

from planner.brass.instruments import Instrument
from planner.engrave.score import Style
from planner.engrave.sheet import Block, Cell, Page, Row, Sheet
from planner.show.day import CAUTION
from planner.show.figure_sheet import (
    FigureRequest,
    Place,
    breath_words,
    heading,
    passes_of,
    places_of,
    range_words,
    seconds_words,
)
from planner.show.layout import clean
from planner.show.written_out import Look, cell, marks_to_circle, signs_used

LONGEST_CAUTION = CAUTION.partition(";")[0] + "."


def figure_pages(request: FigureRequest, look: Look) -> Sheet:
    """The sheet of a figure, one page for each instrument."""
    title = clean(look.title) or f"Figure in {request.figure.meter.text}"
    pages = tuple(_page(request, instrument, title, look) for instrument in request.instruments)
    return Sheet(title, pages, look.paper)


def _page(request: FigureRequest, instrument: Instrument, title: str, look: Look) -> Page:
    """One instrument."""
    style = replace(look.style, repeated=request.passes > 1)
    places = places_of(request, instrument)
    passages = [passage for place in places for passage in place.passages]
    marks = marks_to_circle(request.beat, request.tempo)
    meter, *others = heading(request).split(" · ")
    facts = (
        meter,
        *others,
        look.articulation,
        breath_words(request, instrument, passes_of(request, instrument)),
    )
    return Page(
        title=title,
        subtitle=instrument.name,
        facts=tuple(fact for fact in facts if fact),
        marks=() if marks is None else (marks,),
        blocks=(Block(rows=_rows(request, instrument, places, style)),),
        notes=(
            " ".join(signs_used(passages, instrument, style)),
            *_repeats(request, instrument),
            f"Figure: {clean(request.source)}",
        ),
        caution=LONGEST_CAUTION,
    )


def _repeats(request: FigureRequest, instrument: Instrument) -> list[str]:
    """What the repeat signs ask for, and what a breath carries where that is less."""
    if request.passes == 1:
        return []
    carried = passes_of(request, instrument)
    less = "" if carried == request.passes else f"; at this tempo a breath carries {carried}"
    return [f"Repeat signs: {request.passes} times in a breath{less}."]


def _rows(
    request: FigureRequest, instrument: Instrument, places: list[Place], style: Style
) -> tuple[Row, ...]:
    """A row for each cycle of positions; all keys in one row."""
    if request.figure.kind == "degrees":
        return (Row(tuple(_key_cell(request, instrument, place, style) for place in places)),)
    return tuple(_cycle_row(request, instrument, place, style) for place in places)


def _key_cell(request: FigureRequest, instrument: Instrument, place: Place, style: Style) -> Cell:
    """One key."""
    remark = range_words(instrument, request.level, place)
    return cell(place.passages[0], instrument, request.figure.meter, style, place.title, remark)


def _cycle_row(request: FigureRequest, instrument: Instrument, place: Place, style: Style) -> Row:
    """One cycle of positions, or why there is none."""
    title = place.title[:1].upper() + place.title[1:]
    if place.wrong:
        return Row((), title, remark=place.wrong)
    cells = tuple(
        cell(passage, instrument, request.figure.meter, style, label)
        for label, passage in zip(place.labels, place.passages, strict=True)
    )
    passes = passes_of(request, instrument)
    aside = seconds_words(request, instrument, place, passes)
    return Row(cells, title, aside, range_words(instrument, request.level, place))

"""A fingering chart as a sheet: every written note of an instrument with all its fingerings."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from planner.brass.instruments import Instrument, fingerings, open_key
from planner.brass.keys import Key, Pitch, spell
from planner.engrave.score import single_notes
from planner.engrave.sheet import Block, Cell, Page, Paper, Row, Sheet
from planner.show.facts import chart_legend, chart_pitches, is_pedal
from planner.show.words import spoken

HALF_AN_OCTAVE, MORE = 6, 8  # notes in a row; more of them where the chart is long
LONG_CHART = 36


def chart_sheet(instrument: Instrument, paper: Paper = "a4") -> Sheet:
    """The chart of one instrument from its lowest note to the high end of its advanced range, pedals last."""
    pitches = chart_pitches(instrument)
    pedals = [pitch for pitch in pitches if is_pedal(instrument, pitch)]
    others = [pitch for pitch in pitches if pitch not in pedals]
    title = "Fingerings" if not instrument.is_slide else "Slide positions"
    page = Page(
        title=title,
        subtitle=instrument.name,
        facts=("written notes", "in bold the usual way", "below it the others, shortest tube first"),
        blocks=tuple(_blocks(instrument, pedals, others)),
        notes=(chart_legend(instrument),),
    )
    return Sheet(f"{title}, {instrument.name}", (page,), paper)


def _blocks(instrument: Instrument, pedals: Sequence[Pitch], others: Sequence[Pitch]) -> Iterator[Block]:
    """The notes of the chart; pedals, where there are any, under a title of their own."""
    most = HALF_AN_OCTAVE if len(pedals) + len(others) <= LONG_CHART else MORE
    rows = [
        (Row(tuple(_cell(instrument, pitch) for pitch in found), most=most),) for found in (others, pedals)
    ]
    yield Block(rows=rows[0])
    if pedals:
        yield Block("Pedal notes", facts=("the first partial of each tube",), rows=rows[1])


def both_names(midi: int, home: Key) -> tuple[Pitch, ...]:
    """A note as sharp and as flat where it has both names, else its one name."""
    plain = spell(midi, home)
    if abs(plain.alter) == 0:
        return (plain,)
    sharp, flat = plain.fifths, plain.fifths - 12
    if plain.alter < 0:
        sharp, flat = plain.fifths + 12, plain.fifths
    found = (
        Pitch(sharp, (midi - Pitch(sharp, 0).midi) // 12),
        Pitch(flat, (midi - Pitch(flat, 0).midi) // 12),
    )
    return found if all(pitch.midi == midi and abs(pitch.alter) == 1 for pitch in found) else (plain,)


def _cell(instrument: Instrument, pitch: Pitch) -> Cell:
    """One note of the chart."""
    found = fingerings(instrument, pitch.midi)
    names = both_names(pitch.midi, open_key(instrument, 1))
    label = " · ".join(one.name for one in names)
    others = f", also {', '.join(found.alternates)}" if found.alternates else ""
    return Cell(
        single_notes(instrument, names),
        label,
        spoken(f"{' or '.join(one.name for one in names)}: {found.standard}{others}"),
        strong=found.standard,
        below=(" ".join(found.alternates) or "\u2013",),
    )

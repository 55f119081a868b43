"""A figure written out for instruments: every place with key, notes, fingerings and seconds, as plain text.

Pure functions. A place is a cycle of positions (partials) or a key (degrees); over the first note and where
it changes stands the fingering or slide position. What an instrument cannot play is said in words.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from planner.brass.figures import Figure, Passage, intensity, write_degrees, write_partials
from planner.brass.instruments import Instrument, Side, open_key, positions
from planner.brass.keys import Key, spell, transpose_key
from planner.brass.tempo import (
    EIGHTHS_IN_BEAT,
    Beat,
    eighths_per_minute,
    item_timing,
    lowest_mark_for_breath,
    mark_at_or_above,
    passes_in_breath,
    quarter_beside,
    whole_seconds,
)
from planner.show.notes_text import cell_size, marks_used, staff_lines

BEAT_SIGNS: dict[Beat, str] = {"eighth": "♪", "quarter": "♩", "dotted quarter": "♩.", "half": "half note"}


@dataclass(frozen=True, slots=True)
class FigureRequest:
    """What is to be written out.

    Partials: the positions of `starts`, `cycle` neighbours each (`starts` () means every position, 1 to 7).
    Degrees: one place for each of `keys`, concert keys where `concert` is set. `source` is the figure as it
    was typed; `level` chooses range and breath of each instrument.
    """

    source: str
    figure: Figure
    instruments: tuple[Instrument, ...]
    starts: tuple[int, ...]
    cycle: int
    keys: tuple[Key, ...]
    concert: bool
    tempo: int
    beat: Beat
    passes: int
    octave: int
    level: str
    side: Side


@dataclass(frozen=True, slots=True)
class Place:
    """One place ready to print; `wrong` says why there is nothing to play."""

    title: str
    passages: tuple[Passage, ...]
    labels: tuple[str, ...]
    wrong: str = ""


def figure_text(request: FigureRequest, width: int = 80) -> str:
    """The whole sheet, ending in a line feed; no line is wider than `width` from 60 columns on."""
    lines = [*textwrap.wrap(request.source, width), *textwrap.wrap(heading(request), width)]
    for instrument in request.instruments:
        lines += ["", *_instrument_lines(request, instrument, width)]
    legend = marks_used(request.figure)
    if legend:
        lines += ["", *_wrap_whole(legend, width)]
    return "\n".join(lines) + "\n"


def _wrap_whole(legend: str, width: int) -> list[str]:
    """The legend folded between its signs and never inside one."""
    glued = " · ".join(part.replace(" ", "\u00a0") for part in legend.split(" · "))
    return [line.replace("\u00a0", " ") for line in textwrap.wrap(glued, width)]


def heading(request: FigureRequest) -> str:
    """Meter, accents and tempo."""
    meter = request.figure.meter
    parts = [meter.text]
    if len(meter.grouping) > 1:
        parts.append(f"accents {meter.grouping_text}")
    tempo = f"{BEAT_SIGNS[request.beat]} = {request.tempo}"
    quarter = quarter_beside(request.tempo, request.beat)
    parts.append(tempo if quarter is None else f"{tempo} (♩ = {_decimal(quarter)})")
    return " · ".join(parts)


def _instrument_lines(request: FigureRequest, instrument: Instrument, width: int) -> list[str]:
    """One instrument: its name, how it is breathed, then its places."""
    places = places_of(request, instrument)
    passes = passes_of(request, instrument)
    lines = [f"{instrument.name}, written notes"]
    lines += textwrap.wrap(breath_words(request, instrument, passes), width)
    labels = [label for place in places for label in place.labels if label]
    margin = 2 + max((len(label) + 2 for label in labels), default=0)
    size = cell_size([passage for place in places for passage in place.passages])
    for place in places:
        if place.wrong:
            lines += ["", *textwrap.wrap(f"{place.title}: {place.wrong}", width, subsequent_indent="  ")]
            continue
        lines += ["", *_title_lines(request, instrument, place, passes, width)]
        for label, passage in zip(place.labels, place.passages, strict=True):
            lines += staff_lines(passage, f"  {label}".ljust(margin), width, size)
        lines += textwrap.wrap(
            range_words(instrument, request.level, place), width, initial_indent="  ", subsequent_indent="  "
        )
    return lines


def places_of(request: FigureRequest, instrument: Instrument) -> list[Place]:
    """Every place of the request on one instrument, written out."""
    if request.figure.kind == "degrees":
        return [_key_place(request, instrument, key) for key in request.keys]
    if not request.starts:
        return [_cycle_place(request, instrument, (place,)) for place in range(1, 8)]
    return [
        _cycle_place(request, instrument, tuple(range(start, start + request.cycle)))
        for start in request.starts
    ]


def _cycle_place(request: FigureRequest, instrument: Instrument, cycle: tuple[int, ...]) -> Place:
    """A cycle of positions; the key of each bar follows."""
    title = ("position " if len(cycle) == 1 else "positions ") + "-".join(str(place) for place in cycle)
    absent = [place for place in cycle if place not in positions(instrument)]
    if absent:
        return Place(title, (), (), f"{instrument.name} has no position {absent[0]}")
    passages = tuple(write_partials(request.figure, instrument, place, request.side) for place in cycle)
    if len(cycle) > 1:
        title += "   " + " → ".join(passage.fingering_first for passage in passages)
    return Place(title, passages, tuple(passage.key.pretty for passage in passages))


def _key_place(request: FigureRequest, instrument: Instrument, key: Key) -> Place:
    """A key; the positions follow."""
    written = transpose_key(key, instrument.transposition) if request.concert else key
    low, high = instrument.range_at(request.level)
    passage = write_degrees(request.figure, instrument, written, low, high, request.octave)
    title = f"concert {key.pretty}, written {written.pretty}" if request.concert else written.pretty
    return Place(title, (passage,), ("",))


def passes_of(request: FigureRequest, instrument: Instrument) -> int:
    """How many of the wanted passes a breath of this instrument carries."""
    return passes_in_breath(request.passes, _pass_seconds(request), _capacity(request, instrument))


def _capacity(request: FigureRequest, instrument: Instrument) -> float:
    return instrument.default_breath_seconds(request.level)


def _pass_seconds(request: FigureRequest) -> Fraction:
    return request.figure.eighths * 60 / eighths_per_minute(request.tempo, request.beat)


def breath_words(request: FigureRequest, instrument: Instrument, passes: int) -> str:
    """Seconds of a pass and of a breath; what a breath cannot carry is said."""
    one = _pass_seconds(request)
    capacity = _capacity(request, instrument)
    usual = f"a comfortable breath is about {capacity:g} s here"
    words = f"a pass is {_decimal(one)} s"
    if one > capacity:
        return f"{words}: breathe inside it, {usual}"
    if request.passes > 1:
        words += f", {passes} in a breath {_decimal(one * passes)} s"
    if passes < request.passes:
        words += f"; {usual}{_enough_tempo(request, capacity)}"
    return words


def _enough_tempo(request: FigureRequest, capacity: float) -> str:
    """From which mark on the wanted passes fit one breath; "" where no mark is fast enough."""
    beats = request.figure.eighths / EIGHTHS_IN_BEAT[request.beat]
    mark = mark_at_or_above(float(lowest_mark_for_breath(beats, request.passes, capacity)))
    return "" if mark is None else f", {request.passes} fit from {BEAT_SIGNS[request.beat]} = {mark}"


def _title_lines(
    request: FigureRequest, instrument: Instrument, place: Place, passes: int, width: int
) -> list[str]:
    """The name of the place and its seconds, on one line where they fit."""
    seconds = seconds_words(request, instrument, place, passes)
    if len(place.title) + len(seconds) + 3 <= width:
        return [f"{place.title}   {seconds}"]
    return [*textwrap.wrap(place.title, width), f"  {seconds}"]


def seconds_words(request: FigureRequest, instrument: Instrument, place: Place, passes: int) -> str:
    """Playing, and the whole with breaths and rest."""
    low, high = instrument.range_at(request.level)
    timing = item_timing(
        pass_eighths=request.figure.eighths,
        eighths_per_minute=eighths_per_minute(request.tempo, request.beat),
        passes=passes,
        breaths=len(place.passages),
        intensity=intensity(place.passages, low, high),
        breath_capacity_seconds=_capacity(request, instrument),
    )
    _, _, _, total = whole_seconds(timing, timing.rest_seconds)
    return f"{_decimal(timing.play_seconds)} s of playing, {total} s with rests"


def range_words(instrument: Instrument, level: str, place: Place) -> str:
    """What lies outside the instrument or outside the range of the level, in words; "" where nothing does."""
    low, high = instrument.range_at(level)
    lowest = min(passage.lowest for passage in place.passages)
    highest = max(passage.highest for passage in place.passages)
    home = open_key(instrument, 1)
    said = []
    missing = sorted({note for passage in place.passages for note in passage.missing})
    if missing:
        said.append(f"not on this instrument: {_names(missing, place.passages)}")
    if highest > high:
        said.append(f"above the {level} range, which ends at {spell(high, home).name}")
    if lowest < low:
        said.append(f"below the {level} range, which begins at {spell(low, home).name}")
    return "; ".join(said)


def _names(notes: Sequence[int], passages: Sequence[Passage]) -> str:
    """The names of MIDI numbers as they are spelled in the passages."""
    spelled = {
        note.pitch.midi: note.pitch.name for passage in passages for note in passage.notes if note.pitch
    }
    return ", ".join(spelled[note] for note in notes)


def _decimal(number: Fraction) -> str:
    """A number with at most one decimal: "12.5", "37"."""
    return f"{float(round(number, 1)):g}"

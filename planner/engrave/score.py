"""A passage as it is printed: bars with accidentals, beams, ties, slurs, and fingerings where they stand.

One step between the notes of an instrument (`brass/passages.py`) and any notation file: what is written here
is what MEI and MusicXML both need. All pitches are written ones; lengths are in eighths.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from typing import Final, Literal

from planner.brass.figures import Note, Passage, Slur
from planner.brass.instruments import Instrument, NotOnInstrumentError, fingerings
from planner.brass.keys import Key, Pitch
from planner.brass.tempo import Meter
from planner.engrave.beams import Beam, beams

ClefName = Literal["treble", "bass", "tenor"]
Sign = Literal["", "shown", "courtesy"]

MOST_OTHERS: Final = 2
MOST_BARS_UNDER_ONE_SLUR: Final = 2  # longer ones are slurred bar by bar. common practice, no source
# The letters whose signs stand in a signature, sharps in this order, flats in the opposite one.
_SHARPS: Final = "FCGDAEB"


@dataclass(frozen=True, slots=True)
class Printed:
    """One note or rest as it stands on the staff; a rest has no pitch.

    `base` and `dots` write its length: 1 a whole note, 2 a half, 4, 8, 16. `sign` says whether its accidental
    is printed. `tied` is True where a tie leads to it. `fingering` is "" where none is printed;
    `others` are further fingerings to print beside it.
    """

    pitch: Pitch | None
    sounding: int | None
    eighths: Fraction
    base: int
    dots: int
    sign: Sign
    beam: Beam
    tie: bool
    tied: bool
    slur: Slur
    accent: bool
    staccato: bool
    tenuto: bool
    bend: bool
    breath: bool
    fingering: str
    others: tuple[str, ...]
    stemless: bool = False


@dataclass(frozen=True, slots=True)
class Score:
    """A passage for one instrument, ready to be engraved; hashable, so that an engraving can be kept.

    `repeated` puts repeat signs around it. Single notes of a chart show neither meter nor bar lines.
    """

    instrument: Instrument
    clef: ClefName
    key: Key
    meter: Meter
    bars: tuple[tuple[Printed, ...], ...]
    repeated: bool = False
    show_meter: bool = True
    bar_lines: bool = True

    @property
    def notes(self) -> Iterator[Printed]:
        """Every note and rest in order."""
        return (note for bar in self.bars for note in bar)


@dataclass(frozen=True, slots=True)
class Style:
    """What of a passage is to be printed.

    `articulation` draws slurs, staccato dots or tenuto lines where the figure itself has no slurs.
    """

    articulation: str = ""
    fingerings: bool = True
    alternates: bool = False
    repeated: bool = False
    show_meter: bool = True
    tenor_clef: bool = False


@cache
def write_score(passage: Passage, instrument: Instrument, meter: Meter, style: Style) -> Score:
    """A passage as it is printed for an instrument.

    >>> from planner.brass.figures import read_figure, write_partials
    >>> from planner.brass.instruments import instrument
    >>> from planner.brass.tempo import parse_meter
    >>> meter, horn = parse_meter("5/8"), instrument("trumpet")
    >>> passage = write_partials(read_figure("4e> 5 6 5 4", meter, "partials"), horn, 5)
    >>> [note.beam for note in write_score(passage, horn, meter, Style()).notes]
    ['start', 'end', 'start', 'inside', 'end']
    """
    bars = _bars(passage.notes, meter.eighths_per_bar)
    printed = [_bar(bar, meter) for bar in bars]
    printed = _tied(printed)
    printed = _signs(printed, passage.key)
    if style.fingerings:
        printed = _fingered(printed, passage.notes, instrument, alternates=style.alternates)
    printed = _articulated(printed, style.articulation)
    return Score(
        instrument,
        clef_of(instrument, tenor=style.tenor_clef),
        passage.key,
        meter,
        tuple(tuple(bar) for bar in printed),
        style.repeated,
        style.show_meter,
    )


def single_notes(instrument: Instrument, pitches: Sequence[Pitch]) -> Score:
    """Notes by themselves, as in a chart: bare heads without meter, bar lines and signature."""
    notes = []
    for pitch in pitches:
        note = Note(pitch, None, None, None, "", Fraction(2), False, False, "", False, False)
        sign: Sign = "shown" if pitch.alter else ""
        notes.append(replace(_printed(note, ""), sign=sign, stemless=True))
    meter = Meter(len(notes), 4, (len(notes),))
    bars = (tuple(notes),)
    return Score(instrument, instrument.clef, Key(0, "major"), meter, bars, show_meter=False, bar_lines=False)


def clef_of(instrument: Instrument, *, tenor: bool = False) -> ClefName:
    """The clef of an instrument; `tenor` asks for the tenor clef where it is read in the bass clef."""
    tenor_read = instrument.family in ("trombone", "euphonium") and instrument.clef == "bass"
    return "tenor" if tenor and tenor_read else instrument.clef


def signature_alter(step: str, signature: int) -> int:
    """What a signature does to a letter: 1 sharp, -1 flat, 0 nothing.

    >>> [signature_alter(step, -2) for step in "BEA"], signature_alter("F", 1)
    ([-1, -1, 0], 1)
    """
    place = _SHARPS.index(step)
    if signature >= 0:
        return 1 if place < signature else 0
    return -1 if place >= len(_SHARPS) + signature else 0


def _bars(notes: Sequence[Note], length: Fraction) -> list[list[Note]]:
    """The notes bar by bar; no note crosses a bar line."""
    bars: list[list[Note]] = [[]]
    filled = Fraction(0)
    for note in notes:
        if filled == length:
            bars.append([])
            filled = Fraction(0)
        bars[-1].append(note)
        filled += note.eighths
    return bars


def _bar(notes: Sequence[Note], meter: Meter) -> list[Printed]:
    """The notes of one bar with their lengths and beams."""
    joined = beams(tuple((note.eighths, note.pitch is None) for note in notes), meter)
    return [_printed(note, beam) for note, beam in zip(notes, joined, strict=True)]


def _printed(note: Note, beam: Beam) -> Printed:
    base, dots = _written_length(note.eighths)
    return Printed(
        pitch=note.pitch,
        sounding=note.sounding,
        eighths=note.eighths,
        base=base,
        dots=dots,
        sign="",
        beam=beam,
        tie=note.tie,
        tied=False,
        slur=note.slur,
        accent=note.accent,
        staccato=False,
        tenuto=False,
        bend=note.bend,
        breath=note.breath,
        fingering="",
        others=(),
    )


def _written_length(eighths: Fraction) -> tuple[int, int]:
    """Note value and dots of a length: 3 eighths is a dotted quarter, (4, 1)."""
    for dots, share in ((0, Fraction(1)), (1, Fraction(3, 2))):
        value = Fraction(8) * share / eighths
        if value.denominator == 1 and value.numerator & (value.numerator - 1) == 0:
            return int(value), dots
    raise ValueError(f"{eighths} eighths are no single note")


def _tied(bars: list[list[Printed]]) -> list[list[Printed]]:
    """Every note to which a tie leads marked as such."""
    tie = False
    found = []
    for bar in bars:
        marked = []
        for note in bar:
            marked.append(replace(note, tied=True) if tie else note)
            tie = note.tie
        found.append(marked)
    return found


def _signs(bars: list[list[Printed]], key: Key) -> list[list[Printed]]:
    """Accidentals against the signature and what stood before in the bar; a tied note needs none.

    A courtesy sign takes back what an accidental did to the same letter in the bar before or, in the same
    bar, in another octave.
    """
    before: dict[tuple[str, int], int] = {}
    found = []
    for bar in bars:
        now: dict[tuple[str, int], int] = {}
        marked = []
        for note in bar:
            if note.pitch is None or note.tied:
                marked.append(note)
                continue
            marked.append(replace(note, sign=_sign(note.pitch, key, now, before)))
            now[note.pitch.step, note.pitch.octave] = note.pitch.alter
        found.append(marked)
        before = now
    return found


def _sign(
    pitch: Pitch, key: Key, now: dict[tuple[str, int], int], before: dict[tuple[str, int], int]
) -> Sign:
    """Whether the accidental of one note is printed."""
    at_clef = signature_alter(pitch.step, key.signature)
    place = (pitch.step, pitch.octave)
    if pitch.alter != now.get(place, at_clef):
        return "shown"
    if place in now:
        return ""
    others = [alter for (step, _), alter in [*now.items(), *before.items()] if step == pitch.step]
    return "courtesy" if any(alter != pitch.alter for alter in others) else ""


def _fingered(
    bars: list[list[Printed]], notes: Sequence[Note], instrument: Instrument, *, alternates: bool
) -> list[list[Printed]]:
    """Fingerings over the first note of each bar and where they change.

    The others stand where a note comes for the first time, the shortest tubes only: over every note of a fast
    bar they would run into each other. Where they stand, the note's own fingering does too, or they would be
    read for the notes after it.
    """
    rest = iter(notes)
    standing = ""
    met: set[Pitch] = set()
    found = []
    for bar in bars:
        marked = []
        first = True
        for printed in bar:
            note = next(rest)
            fresh = alternates and note.pitch not in met  # what stands in brackets is this note's alone
            wanted = note.fingering and not printed.tied
            if wanted and (first or fresh or note.fingering != standing):
                others = _others(note, instrument)[:MOST_OTHERS] if fresh else ()
                marked.append(replace(printed, fingering=note.fingering, others=others))
            else:
                marked.append(printed)
            if note.pitch is not None and not printed.tied:
                met.add(note.pitch)
                standing, first = note.fingering, False
        found.append(marked)
    return found


def _others(note: Note, instrument: Instrument) -> tuple[str, ...]:
    """The other fingerings of a note, where the tube is not chosen by the figure."""
    assert note.pitch is not None
    try:
        chart = fingerings(instrument, note.pitch.midi)
    except NotOnInstrumentError:
        return ()
    return tuple(name for name in (chart.standard, *chart.alternates) if name != note.fingering)


def _articulated(bars: list[list[Printed]], articulation: str) -> list[list[Printed]]:
    """The articulation drawn in: slurs where the figure has none, dots or lines on every note."""
    if articulation == "slurred" and not any(note.slur for bar in bars for note in bar):
        if len(bars) > MOST_BARS_UNDER_ONE_SLUR:
            return [_slurred(bar) for bar in bars]
        together = _slurred([note for bar in bars for note in bar])
        sizes = [len(bar) for bar in bars]
        return [together[sum(sizes[:i]) : sum(sizes[: i + 1])] for i in range(len(sizes))]
    if articulation == "staccato":
        return [[_with(note, staccato=not note.slur) for note in bar] for bar in bars]
    if articulation == "legato":
        return [[_with(note, tenuto=not note.slur) for note in bar] for bar in bars]
    return bars


def _with(note: Printed, *, staccato: bool = False, tenuto: bool = False) -> Printed:
    """A note with a dot or a line; rests, tied notes and notes under a slur stay as they are."""
    if note.pitch is None or note.tie or note.tied:
        return note
    return replace(note, staccato=staccato, tenuto=tenuto)


def _slurred(notes: Sequence[Printed]) -> list[Printed]:
    """One slur over the notes; it ends at a rest, a breath, or before the same note is played again."""
    runs: list[list[int]] = [[]]
    last: Printed | None = None
    for index, note in enumerate(notes):
        again = last is not None and last.pitch == note.pitch and not note.tied
        if note.pitch is None or again or (last is not None and last.breath):
            runs.append([])
        if note.pitch is not None:
            runs[-1].append(index)
        last = note
    found = list(notes)
    for run in runs:
        if len(run) > 1 and not all(notes[index].tied for index in run[1:]):
            for index in run:
                place: Slur = "start" if index == run[0] else "end" if index == run[-1] else "inside"
                found[index] = replace(found[index], slur=place)
    return found

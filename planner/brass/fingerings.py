"""Fingerings and slide positions of written notes: every way the tube gives them, the usual one first.

Rule: of all tubes that give a note on a usual partial the shortest one is the standard; the 7th, 11th, 13th
and 14th partials are never standard, being 31 to 49 cents out of tune. Checked against a published trumpet
chart (thewholehorn.com, 31 notes). Pedals (partial 1) stand only where nothing else gives the note.
A slide drawn in a little mends a flat 7th partial: where that is nearer than the usual tube it is the
standard, written "♯2" (raised second): F sharp 4 and G 4 of a trombone. common practice, no source
The double horn changes sides: F side up to written G4, B flat side from A flat 4 on.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from typing import Final

from planner.brass.instrument_table import Instrument
from planner.brass.keys import Key, Pitch, respell, spell
from planner.brass.tubes import (
    HIGHEST_PARTIAL,
    Mechanism,
    Side,
    Tube,
    f_attachment_slide,
    partial_semitones,
    tubes,
)
from planner.errors import UsageError

# Partials that make a standard fingering, and those that give alternates besides.
_USUAL: Final = (2, 3, 4, 5, 6, 8, 9, 10, 12)
_SLIDE: Final = (1, 2, 3, 4, 5, 6, 8, 9, 10)
_LOW_BRASS: Final = (1, *_USUAL)
# F side of the horn: above written C5 charts repeat the pattern of the octave below, so the 9th partial is
# not used (C sharp 5 is 12 and D5 is 1, not 2 and open). from memory
_HORN_F: Final = (2, 3, 4, 5, 6, 8, 10, 12, 16)
# B flat side: the 5th and 10th are skipped, being 14 cents flat (A4 is T12, not T0).
# US double horn chart, scribd 570094472: A flat 4 to C5 as on the F side, D flat 5 T23; the rest from memory
_HORN_B_FLAT: Final = (2, 3, 4, 6, 8, 9, 12)
_HORN_ALTERNATES: Final = (2, 3, 4, 5, 6, 8, 9, 10, 12, 16)
# Long tubes (fourth valve, F attachment) are there for the low register: their highest useful partial by
# position; T1 and T2 serve up to the sixth. common practice, no source
_HIGHEST_ON_LONG_TUBES: Final = {8: 3, 9: 2, 10: 2, 11: 2, 12: 2}
_HIGHEST_ON_ATTACHMENT: Final = 6
_SEVENTH: Final = 7
RAISED: Final = "♯"
LOWEST_ON_B_FLAT_SIDE: Final = 68  # written A flat 4, same chart


class NotOnInstrumentError(UsageError):
    """A written note that the instrument does not have; `nearest` holds the nearest that it has (MIDI)."""

    def __init__(self, message: str, hint: str, nearest: tuple[int, ...]) -> None:
        super().__init__(message, hint)
        self.nearest = nearest


@dataclass(frozen=True, slots=True)
class Fingerings:
    """How one written note is played.

    `standard` and `alternates` (shortest tube first) are texts like "12", "T23", "4", "♯2" (slide, raised);
    `seventh_partial` gives it too, but 31 cents flat. `position`, `partial` and `side` belong to the
    standard fingering.
    """

    written: int
    standard: str
    alternates: tuple[str, ...]
    seventh_partial: tuple[str, ...]
    position: int
    partial: int
    side: Side


@dataclass(frozen=True, slots=True)
class _Way:
    """One tube and partial that give a note."""

    tube: Tube
    partial: int
    usual: bool

    @property
    def order(self) -> tuple[bool, int, bool, int]:
        """Shortest tube first; pedals last; a second choice after its first."""
        return self.partial == 1, self.tube.semitones_down, self.tube.second_choice, self.partial


def fingerings(instrument: Instrument, written: int) -> Fingerings:
    """All fingerings of a written MIDI number; NotOnInstrumentError where there is none."""
    found = _chart(instrument).get(written)
    if found is None:
        raise _not_on_instrument(instrument, written)
    return found


def position_of(instrument: Instrument, written: int) -> int:
    """How far the tube is lengthened for a written MIDI number, 1 to 12; horn: on the side that plays it."""
    return fingerings(instrument, written).position


def slide_place(fingering: str) -> int:
    """How far the arm goes for a fingering of a trombone, as the nearest position; 0 for "" (a rest).

    On the attachment's longer tube the steps of the slide are longer: T4 lies where the fifth position does.
    A raised place counts as the whole one.

    >>> slide_place("6"), slide_place("T1"), slide_place("T4"), slide_place("♯3")
    (6, 1, 5, 3)
    """
    place = int(fingering.lstrip(f"T{RAISED}") or 0)
    return round(f_attachment_slide(place - 1)) if fingering.startswith("T") else place


def reachable(instrument: Instrument) -> tuple[int, ...]:
    """Every written MIDI number that has a standard fingering, rising."""
    return tuple(sorted(_chart(instrument)))


def positions(instrument: Instrument) -> tuple[int, ...]:
    """The positions of an instrument: 1 to 7 on three valves or a slide, more with a fourth valve."""
    return tuple(sorted({tube.position for tube in tubes(instrument.mechanism)}))


def valves_of(instrument: Instrument, position: int, side: Side = "F") -> str:
    """The fingering of a position when the tube is chosen, not the note; ValueError if there is none."""
    return _tube(instrument, position, side).fingering


def tube_note(instrument: Instrument, position: int, partial: int, side: Side = "F") -> int:
    """The written MIDI number of a natural note at a position; ValueError outside the tube."""
    if not 1 <= partial <= 2 * HIGHEST_PARTIAL:  # a horn doubles its partial figures
        raise ValueError(f"partial {partial}: a tube is used from 1 to {2 * HIGHEST_PARTIAL}")
    return _note(instrument, _tube(instrument, position, side), partial)


def open_key(instrument: Instrument, position: int, side: Side = "F") -> Key:
    """The written major key of the tube at a position, with the fewest accidentals.

    Six sharps or six flats: as the open tube leans (C and sharps: F sharp; flats: G flat).
    """
    home = respell(Key(_on_the_line(_note(instrument, _tube(instrument, 1, side), 1)), "major"))
    place = respell(Key(_on_the_line(_note(instrument, _tube(instrument, position, side), 1)), "major"))
    if abs(place.fifths) == 6:
        return Key(-6 if home.fifths < 0 else 6, "major")
    return place


def written(instrument: Instrument, sounding: int) -> int:
    """The written MIDI number of a sounding one."""
    return sounding - instrument.transposition.chromatic


def sounding(instrument: Instrument, written: int) -> int:
    """The sounding MIDI number of a written one."""
    return written + instrument.transposition.chromatic


def _on_the_line(midi: int) -> int:
    """A place on the line of fifths for a MIDI number; to be respelled."""
    return (midi * 7 + 5) % 12 - 5


def _tube(instrument: Instrument, position: int, side: Side) -> Tube:
    """The first tube of this position; a side that the instrument does not have is its only one."""
    wanted = side if instrument.mechanism == "double horn" else "F"
    for tube in tubes(instrument.mechanism):
        if (tube.position, tube.side) == (position, wanted):
            return tube
    raise ValueError(f"{instrument.name} has no position {position}")


def _note(instrument: Instrument, tube: Tube, partial: int) -> int:
    return instrument.written_fundamental - tube.semitones_down + partial_semitones(partial)


@cache
def _chart(instrument: Instrument) -> dict[int, Fingerings]:
    """Every note of the instrument with all its fingerings."""
    ways: dict[int, list[_Way]] = {}
    sevenths: dict[int, list[Tube]] = {}
    for tube in tubes(instrument.mechanism):
        for partial, usual in _partials(instrument, tube):
            ways.setdefault(_note(instrument, tube, partial), []).append(_Way(tube, partial, usual))
        # A flat seventh on a slide is corrected by drawing it in, so first position is of no use.
        if tube.position <= 7 and not (instrument.is_slide and tube.fingering in ("1", "T1", "T2")):
            sevenths.setdefault(_note(instrument, tube, _SEVENTH), []).append(tube)
    chosen = {note: _choose(instrument, note, found) for note, found in ways.items()}
    entries = {note: _entry(note, order, sevenths.get(note, [])) for note, order in chosen.items() if order}
    if instrument.is_slide:
        return {note: _drawn_in(entry, sevenths.get(note, [])) for note, entry in entries.items()}
    return entries


def _drawn_in(entry: Fingerings, sevenths: list[Tube]) -> Fingerings:
    """The raised 7th partial as the standard where its place on the slide is nearer than the usual one."""
    near = [tube for tube in sevenths if tube.position < entry.position and tube.fingering.isdigit()]
    if not near or entry.partial <= _SEVENTH:
        return entry
    first = near[0]
    return replace(
        entry,
        standard=RAISED + first.fingering,
        alternates=(entry.standard, *entry.alternates),
        seventh_partial=tuple(each for each in entry.seventh_partial if each != first.fingering),
        position=first.position,
        partial=_SEVENTH,
        side=first.side,
    )


def _partials(instrument: Instrument, tube: Tube) -> Iterator[tuple[int, bool]]:
    """The partials of a tube that are used, and whether they make standard fingerings."""
    if instrument.is_horn:
        usual = _HORN_B_FLAT if tube.side == "B flat" else _HORN_F
        return ((partial, partial in usual) for partial in _HORN_ALTERNATES)
    by_family = {"trombone": _SLIDE, "euphonium": _SLIDE, "tuba": _LOW_BRASS}
    top = _HIGHEST_ON_ATTACHMENT if tube.fingering.startswith("T") else HIGHEST_PARTIAL
    top = min(top, _HIGHEST_ON_LONG_TUBES.get(tube.position, HIGHEST_PARTIAL))
    return ((partial, True) for partial in by_family.get(instrument.family, _USUAL) if partial <= top)


def _choose(instrument: Instrument, note: int, found: list[_Way]) -> list[_Way]:
    """The ways in order, the standard first; empty where the note has only unusual ones."""
    order = sorted(found, key=lambda way: way.order)
    standard = [way for way in order if way.usual and _right_side(instrument.mechanism, note, way.tube)]
    if not standard:
        return []
    return [standard[0], *(way for way in order if way is not standard[0] and (way.partial > 1 or way.usual))]


def _right_side(mechanism: Mechanism, note: int, tube: Tube) -> bool:
    """Whether a tube is on the side of the double horn on which this note is played."""
    side: Side = "B flat" if note >= LOWEST_ON_B_FLAT_SIDE else "F"
    return mechanism != "double horn" or tube.side == side


def _entry(note: int, order: list[_Way], sevenths: list[Tube]) -> Fingerings:
    """One line of the chart; a fingering that gives the note on two partials stands once."""
    names = list(dict.fromkeys(way.tube.fingering for way in order))
    flat = sorted(sevenths, key=lambda tube: (tube.semitones_down, tube.second_choice))
    first = order[0]
    return Fingerings(
        note,
        names[0],
        tuple(names[1:]),
        tuple(tube.fingering for tube in flat),
        first.tube.position,
        first.partial,
        first.tube.side,
    )


def _not_on_instrument(instrument: Instrument, note: int) -> NotOnInstrumentError:
    """The refusal, with the nearest notes below and above."""
    near = _nearest(instrument, note)
    return NotOnInstrumentError(
        f"{instrument.name} has no written {_spelled(instrument, note).name}",
        nearest_words(instrument, note),
        near,
    )


def nearest_words(instrument: Instrument, note: int) -> str:
    """The nearest written notes that the instrument has, as a hint: "nearest: B♭1 and E2"."""
    return "nearest: " + " and ".join(_spelled(instrument, have).name for have in _nearest(instrument, note))


def _nearest(instrument: Instrument, note: int) -> tuple[int, ...]:
    """The nearest note below and the nearest above, where there are such."""
    notes = reachable(instrument)
    return (*[have for have in notes if have < note][-1:], *[have for have in notes if have > note][:1])


def _spelled(instrument: Instrument, note: int) -> Pitch:
    """A note spelled as the open tube's key suggests."""
    return spell(note, open_key(instrument, 1))

"""A Standard MIDI File (format 1) of pieces: the sounding notes, and a click on the percussion channel.

Conventions: 480 ticks to a quarter; one bar of click counts in; the click falls on every unit of the meter,
higher at the beginning of the bar, a little higher at the beginning of each group of the accents. Passes are
played out, with a bar of click between places, time to breathe. Tempo is exact to the microsecond.
"""

from __future__ import annotations

import io
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from planner.brass.figures import Passage
from planner.brass.tempo import Meter
from planner.exports.score import Piece, bars, group_starts

TICKS = 480
EIGHTH = TICKS // 2
PROGRAMS = {"trumpet": 56, "trombone": 57, "tuba": 58, "euphonium": 58, "horn": 60, "alto horn": 60}
"""General MIDI programs, counted from 0; euphonium and alto horn have none of their own."""

SIGNS = str.maketrans(
    {"♭": "b", "♯": "#", "♮": "", "→": "-", "–": "-", "—": "-", "’": "'", "ß": "ss", "·": "-"}
)
"""What stands for signs that plain letters do not have."""

PERCUSSION = 9
HIGH, LOW = 76, 77
"""General MIDI percussion: high and low wood block."""

LOUD, MIDDLE, SOFT = 120, 96, 64
PLAIN, ACCENTED = 84, 108


@dataclass(frozen=True, slots=True, order=True)
class Event:
    """A note that begins or ends at a tick; ends come before beginnings."""

    tick: int
    begins: bool
    channel: int
    key: int
    velocity: int


def midi(pieces: Sequence[Piece], title: str) -> bytes:
    """The file's bytes; there is at least one piece, and all are for the instrument of the first."""
    import mido

    file = mido.MidiFile(type=1, ticks_per_beat=TICKS)
    conductor, player, click = mido.MidiTrack(), mido.MidiTrack(), mido.MidiTrack()
    conductor.append(mido.MetaMessage("track_name", name=_plain(title)))
    notes: list[Event] = []
    clicks: list[Event] = []
    changes: list[tuple[int, mido.Message]] = []
    tick = 0
    for piece in pieces:
        changes += [(tick, message) for message in _changes(piece)]
        tick = _play(piece, tick, notes, clicks)
    _append(conductor, changes)
    player.append(mido.MetaMessage("track_name", name=_plain(pieces[0].instrument.name)))
    player.append(mido.Message("program_change", program=PROGRAMS[pieces[0].instrument.family]))
    _append(player, _messages(notes))
    click.append(mido.MetaMessage("track_name", name="click"))
    _append(click, _messages(clicks))
    file.tracks += [conductor, player, click]
    out = io.BytesIO()
    file.save(file=out)
    return out.getvalue()


def _plain(text: str) -> str:
    """Names of tracks in plain letters, as every program shows them: "Trumpet in Bb", "Bjorn"."""
    apart = unicodedata.normalize("NFKD", text.translate(SIGNS))
    return (
        "".join(sign for sign in apart if not unicodedata.combining(sign)).encode("ascii", "replace").decode()
    )


def _changes(piece: Piece) -> Iterator[object]:
    import mido

    quarter = Fraction(60_000_000) / (piece.eighths_per_minute / 2)
    yield mido.MetaMessage("set_tempo", tempo=round(quarter))
    yield mido.MetaMessage("time_signature", numerator=piece.meter.beats, denominator=piece.meter.unit)


def _play(piece: Piece, tick: int, notes: list[Event], clicks: list[Event]) -> int:
    """Writes a piece from `tick` on; the tick at its end."""
    bar = int(piece.meter.eighths_per_bar * EIGHTH)
    for passage in piece.passages:
        clicks += clicked(piece.meter, tick)  # counts in, and between places leaves a bar to breathe
        tick += bar
        for _ in range(piece.passes):
            _sound(passage, tick, notes)
            for _ in bars(passage, piece.meter):
                clicks += clicked(piece.meter, tick)
                tick += bar
    return tick


def _sound(passage: Passage, tick: int, notes: list[Event]) -> None:
    """Writes one pass of a passage from `tick` on; a tie holds its note over bar lines too."""
    at = Fraction(tick)
    held: Event | None = None
    for note in passage.notes:
        end = at + note.eighths * EIGHTH
        if note.sounding is not None:
            last = _sounded(notes, held, note.sounding, int(at), int(end), note.accent)
            held = last if note.tie else None
        at = end


def _sounded(notes: list[Event], held: Event | None, key: int, start: int, end: int, accent: bool) -> Event:
    """A note from start to end; where it is tied over, the end of the one before moves."""
    if held is not None and held.key == key:
        notes.remove(held)
    else:
        notes.append(Event(start, True, 0, key, ACCENTED if accent else PLAIN))
    last = Event(end, False, 0, key, 0)
    notes.append(last)
    return last


def clicked(meter: Meter, tick: int) -> list[Event]:
    """The clicks of one bar that begins at a tick."""
    unit = Fraction(8, meter.unit)
    groups = group_starts(meter)
    found = []
    for beat in range(meter.beats):
        at = beat * unit
        loud = LOUD if beat == 0 else MIDDLE if at in groups else SOFT
        key = HIGH if at in groups else LOW
        start = tick + int(at * EIGHTH)
        found.append(Event(start, True, PERCUSSION, key, loud))
        found.append(Event(start + int(unit * EIGHTH) // 2, False, PERCUSSION, key, 0))
    return found


def _messages(events: Sequence[Event]) -> list[tuple[int, object]]:
    import mido

    found: list[tuple[int, object]] = []
    for event in sorted(events):
        kind = "note_on" if event.begins else "note_off"
        message = mido.Message(kind, channel=event.channel, note=event.key, velocity=event.velocity)
        found.append((event.tick, message))
    return found


def _append(track: list[object], timed: Sequence[tuple[int, object]]) -> None:
    """Messages with the ticks since the one before, as the format wants them."""
    before = 0
    for tick, message in timed:
        track.append(message.copy(time=tick - before))  # type: ignore[attr-defined]
        before = tick

"""The four lines of a warm-up, for any instrument: the same shape every day, the scale's key with the date.

Breathing and mouthpiece 1, long tones 2½, slurs on partials 2-3-4 2½, an easy scale 2, of every 8 minutes:
common practice, no source. Notes are computed from the tubes of the instrument and are written notes.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from planner.show.layout import kept_together

if TYPE_CHECKING:
    from planner.brass.instruments import Instrument
    from planner.brass.keys import Key

SHARES = (2, 5, 5, 4)  # half minutes of 8 minutes, common practice, no source
SLURRED_PARTIALS = (2, 3, 4)  # the horn's F side: doubled
# scales in the order in which they are often taught, as steps on the line of fifths from the open tube's
# key: concert B flat, E flat, F, A flat, C, D flat for an instrument in B flat. Common practice, no source
EASY_KEYS = (0, -1, 1, -2, 2, -3)
LOWEST_HIGH_BRASS = 35  # sounding MIDI of the fundamental; below it, the horn aside, it is low brass
TUBES = 7


@dataclass(frozen=True, slots=True)
class Step:
    """One line of the warm-up: half minutes it takes and what to do."""

    half_minutes: int
    text: str

    @property
    def minutes(self) -> str:
        """The length in minutes, as it is printed: "½", "1", "2½"."""
        whole, half = divmod(self.half_minutes, 2)
        return f"{whole or ''}{'½' if half else ''}"


@dataclass(frozen=True, slots=True)
class Reach:
    """What the player can use of the instrument.

    The highest written MIDI note, the longest position, and for a beginner the notes that are known; `slurs`
    is False where a limit leaves flexibility out.
    """

    highest: int = 127
    longest_position: int = TUBES
    known_notes: tuple[int, ...] = ()
    slurs: bool = True


def instrument_name(instrument_id: str) -> str:
    """The instrument's name, "Trumpet in B♭"; UsageError for an instrument that is not known."""
    from planner.brass.instruments import instrument

    return instrument(instrument_id).name


def is_slide(instrument_id: str) -> bool:
    """Whether positions are places of a slide; UsageError for an instrument that is not known."""
    from planner.brass.instruments import instrument

    return instrument(instrument_id).is_slide


def warm_up(instrument_id: str, seconds: int, day: date, reach: Reach) -> tuple[Step, ...]:
    """The four steps of a warm-up of `seconds` on a day; UsageError for an instrument that is not known.

    >>> warm_up("trombone", 480, date(2026, 9, 7), Reach())[1].minutes
    '2½'
    """
    from planner.brass.instruments import instrument

    played = instrument(instrument_id)
    texts = (
        "breathing, then mouthpiece alone or buzzing",
        _long_tones(played, reach),
        _slurs(played, reach),
        _scale(played, day, reach),
    )
    return tuple(Step(halves, text) for halves, text in zip(_halves(seconds), texts, strict=True))


def _halves(seconds: int) -> list[int]:
    """Half minutes of each step: their shares rounded so that they fill the warm-up."""
    total = round(seconds / 30)
    exact = [total * share / sum(SHARES) for share in SHARES]
    halves = [int(part) for part in exact]
    by_remainder = sorted(range(len(exact)), key=lambda step: halves[step] - exact[step])
    for step in by_remainder[: total - sum(halves)]:
        halves[step] += 1
    return halves


def _partial(of: Instrument, position: int, partial: int) -> int:
    from planner.brass.instruments import tube_note

    return tube_note(of, position, partial * 2 if of.is_horn else partial)


def _name(of: Instrument, note: int) -> str:
    from planner.brass.instruments import open_key
    from planner.brass.keys import spell

    return spell(note, open_key(of, 1)).name


def _long_tones(of: Instrument, reach: Reach) -> str:
    if reach.known_notes:
        names = " ".join(_name(of, note) for note in sorted(reach.known_notes, reverse=True))
        return f"long tones, p to mf, on the notes you know: {kept_together(names)}"
    low_brass = of.fundamental < LOWEST_HIGH_BRASS and not of.is_horn
    high, end = (4, 3) if low_brass and _octave(of, reach) else (3, 2)
    start, stop = (_name(of, _partial(of, 1, partial)) for partial in (high, end))
    steps = "by semitones" if _octave(of, reach) else "note by note"
    return f"long tones, p to mf, {steps} {kept_together(f'from written {start} down to {stop}')}"


def _slurs(of: Instrument, reach: Reach) -> str:
    from planner.brass.instruments import positions, valves_of

    if not reach.slurs:
        return "the same long tones once more, softer, without slurs"
    partials = [each for each in SLURRED_PARTIALS if _partial(of, 1, each) <= reach.highest]
    if reach.known_notes:
        partials = [each for each in partials if _partial(of, 1, each) in reach.known_notes]
        if len(partials) < 2:
            return "two of these notes slurred, softly, up and down"
    notes = "-".join(_name(of, _partial(of, 1, partial)) for partial in partials)
    if reach.known_notes:
        return f"soft slurs {kept_together(notes)}, up and down"
    longest = min(TUBES, reach.longest_position)
    tubes = [position for position in positions(of) if position <= longest]
    names = f"positions 1 to {longest}" if of.is_slide else " ".join(valves_of(of, each) for each in tubes)
    return f"soft slurs {kept_together(notes)} and the same on every tube: {kept_together(names)}"


def _scale(of: Instrument, day: date, reach: Reach) -> str:
    from planner.brass.instruments import open_key
    from planner.brass.keys import Key, respell

    if reach.known_notes:
        return "the notes you know up and down, softly, in one breath"
    step = EASY_KEYS[day.toordinal() % len(EASY_KEYS)]
    key: Key = respell(Key(open_key(of, 1).fifths + step, "major"))
    length = "one octave" if _octave(of, reach) else "five notes"
    return f"an easy scale: {kept_together(key.pretty)}, {kept_together(length)}, softly"


def _octave(of: Instrument, reach: Reach) -> bool:
    """Whether the player has the octave above the low open note, not only the first few notes."""
    return _partial(of, 1, SLURRED_PARTIALS[-1]) <= reach.highest

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
    from collections.abc import Sequence

    from planner.brass.instruments import Instrument
    from planner.brass.keys import Key

SHARES = (2, 5, 5, 4)  # half minutes of 8 minutes, common practice, no source
SLURRED_PARTIALS = (2, 3, 4)  # the horn's F side: doubled
# scales in the order in which they are often taught, as steps on the line of fifths from the open tube's
# key: concert B flat, E flat, F, A flat, C, D flat for an instrument in B flat. Common practice, no source
EASY_KEYS = (0, -1, 1, -2, 2, -3)
LOWEST_HIGH_BRASS = 35  # sounding MIDI of the fundamental; below it, the horn aside, it is low brass
TUBES = 7
SCALES = (("one octave", (0, 2, 4, 5, 7, 9, 11, 12)), ("five notes", (0, 2, 4, 5, 7)))
WITHIN_LIMIT = "long tones, p to mf, on the comfortable notes that the limit leaves"


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

    The lowest and the highest written MIDI note, limits of the day included, the longest position, and for a
    beginner the notes that are known; `slurs` is False where a limit leaves flexibility out.
    """

    lowest: int = 0
    highest: int = 127
    longest_position: int = TUBES
    known_notes: tuple[int, ...] = ()
    slurs: bool = True

    def has(self, note: int) -> bool:
        """Whether a written note is within reach."""
        return self.lowest <= note <= self.highest


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
    halves = _halves(seconds)
    texts = (
        "breathing, then mouthpiece alone or buzzing",
        _long_tones(played, reach),
        _slurs(played, reach, halves[2]),
        _scale(played, day, reach),
    )
    return tuple(Step(each, text) for each, text in zip(halves, texts, strict=True))


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
        names = " ".join(
            _name(of, note) for note in sorted(reach.known_notes, reverse=True) if reach.has(note)
        )
        return (
            f"long tones, p to mf, on the notes you know: {kept_together(names)}" if names else WITHIN_LIMIT
        )
    low_brass = of.fundamental < LOWEST_HIGH_BRASS and not of.is_horn
    for high, end in ((4, 3), (3, 2)) if low_brass else ((3, 2),):
        start, stop = _partial(of, 1, high), _partial(of, 1, end)
        if reach.has(start) and reach.has(stop):
            names = f"from written {_name(of, start)} down to {_name(of, stop)}"
            return f"long tones, p to mf, {_in_steps(of, reach, stop, start)} {kept_together(names)}"
    return WITHIN_LIMIT


def _in_steps(of: Instrument, reach: Reach, stop: int, start: int) -> str:
    """How the long tones go down: by semitones where the player has the octave and the arm for it."""
    if not all(_in_arm(of, reach, note) for note in range(stop, start + 1)):
        return "as far as the arm reaches,"
    return "by semitones" if reach.has(_partial(of, 1, SLURRED_PARTIALS[-1])) else "note by note"


def _slurs(of: Instrument, reach: Reach, halves: int) -> str:
    if not reach.slurs:
        return "the same long tones once more, softer, without slurs"
    partials = [each for each in SLURRED_PARTIALS if reach.has(_partial(of, 1, each))]
    if reach.known_notes:
        partials = [each for each in partials if _partial(of, 1, each) in reach.known_notes]
    if len(partials) < 2:
        return "two of these notes slurred, softly, up and down"
    notes = kept_together("-".join(_name(of, _partial(of, 1, partial)) for partial in partials))
    tubes = [] if reach.known_notes else _tubes(of, reach, partials[0], halves)
    if len(tubes) < 2:
        return f"soft slurs {notes}, up and down"
    from planner.brass.instruments import valves_of

    names = f"positions 1 to {len(tubes)}" if of.is_slide else " ".join(valves_of(of, each) for each in tubes)
    every = "on every tube" if len(tubes) == TUBES else "on"
    return f"soft slurs {notes} and the same {every}: {kept_together(names)}".replace(" on: ", " on ")


def _tubes(of: Instrument, reach: Reach, lowest: int, halves: int) -> list[int]:
    """The tubes, from the open one on, whose lowest note is within reach, as many as there is time for."""
    from planner.brass.instruments import positions

    most = round(TUBES * halves / SHARES[2])
    longest = min(TUBES, reach.longest_position, most)
    return [each for each in positions(of) if each <= longest and reach.has(_partial(of, each, lowest))]


def _scale(of: Instrument, day: date, reach: Reach) -> str:
    """The easy scale of the day; where it lies outside the reach the next key that does not."""
    from planner.brass.instruments import open_key
    from planner.brass.keys import Key, respell

    if reach.known_notes:
        return "the notes you know up and down, softly, in one breath"
    turn = day.toordinal() % len(EASY_KEYS)
    for step in (*EASY_KEYS[turn:], *EASY_KEYS[:turn]):
        key: Key = respell(Key(open_key(of, 1).fifths + step, "major"))
        for length, steps in SCALES:
            tonic = _tonic(of, reach, key, steps)
            if tonic is not None:
                start = kept_together(f"from {_name(of, tonic)}")
                return f"an easy scale: {kept_together(key.pretty)}, {start}, {kept_together(length)}, softly"
    return "the long tones once more, two to a breath, softly"


def _tonic(of: Instrument, reach: Reach, key: Key, steps: Sequence[int]) -> int | None:
    """The lowest tonic, from a fourth below the low open note on, whose scale lies within reach."""
    lowest = _partial(of, 1, SLURRED_PARTIALS[0]) - 5
    pitch = (key.fifths * 7) % 12
    for note in range(max(lowest, reach.lowest), min(reach.highest, lowest + 24) + 1):
        inside = (reach.has(note + step) and _in_arm(of, reach, note + step) for step in steps)
        if note % 12 == pitch and all(inside):
            return note
    return None


def _in_arm(of: Instrument, reach: Reach, note: int) -> bool:
    """Whether the instrument has the note on a position that the player uses."""
    from planner.brass.fingerings import NotOnInstrumentError, position_of

    try:
        return not of.is_slide or position_of(of, note) <= reach.longest_position
    except NotOnInstrumentError:
        return False

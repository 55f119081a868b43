"""Why a combination is out of scope for a player: one short function for each reason, in a teacher's words.

Conventions: every function returns the reason, or "" where there is none; notes are written MIDI numbers,
named as they are spelled in the passage. The first reason found is the one that is given.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from planner.brass.figures import Passage
from planner.brass.instruments import Instrument, positions, slide_place
from planner.brass.keys import Key, spell
from planner.inputs.curriculum import LEVELS, Exercise
from planner.inputs.player import Limit, Player
from planner.need.easing import limits_on

FRAME = ("warm-up", "warm-down")


def before_writing(exercise: Exercise, cycle: tuple[int, ...], player: Player, instrument: Instrument) -> str:
    """Reasons that are clear before any note is written."""
    if exercise.instruments and instrument.id not in exercise.instruments:
        return f"not for this instrument ({instrument.name})"
    if LEVELS.index(exercise.level) > LEVELS.index(player.level):
        return f"above the level: for {exercise.level} players"
    if exercise.family in FRAME:
        return f"part of the {exercise.family}, which is the same every day"
    beyond = [position for position in cycle if position not in positions(instrument)]
    return f"position {beyond[0]} is not on this instrument" if beyond else ""


def of_the_notes(passages: Sequence[Passage], player: Player, instrument: Instrument) -> str:
    """Reasons that the written notes give: slide, known notes, range."""
    named = written_notes(passages)
    return (
        beyond_the_slide(passages, player, instrument)
        or unknown_note(named, player)
        or outside_the_range(named, player)
    )


def written_notes(passages: Sequence[Passage]) -> dict[int, str]:
    """The written notes of all passages, lowest first, with their names."""
    found = {
        note.pitch.midi: note.pitch.name
        for passage in passages
        for note in passage.notes
        if note.pitch is not None
    }
    return dict(sorted(found.items()))


def beyond_the_slide(passages: Sequence[Passage], player: Player, instrument: Instrument) -> str:
    """The slide goes further out than the player's arm reaches."""
    if not instrument.is_slide:
        return ""
    fingerings = (note.fingering for passage in passages for note in passage.notes)
    farthest = max((slide_place(fingering) for fingering in fingerings), default=0)
    if farthest <= player.longest_position:
        return ""
    return f"position {farthest} beyond the longest slide position ({player.longest_position})"


def unknown_note(named: dict[int, str], player: Player) -> str:
    """A beginner has not met one of the notes yet."""
    missing = [name for midi, name in named.items() if player.known_notes and midi not in player.known_notes]
    return f"needs {missing[0]}, which is not among the known notes" if missing else ""


def outside_the_range(named: dict[int, str], player: Player) -> str:
    """The top or bottom note lies outside the player's range; known notes replace the range."""
    if player.known_notes or not named:
        return ""
    (low, low_name), (high, high_name) = next(iter(named.items())), list(named.items())[-1]
    if high > player.high:
        return f"written top note {high_name} above the range (up to {note_name(player.high)})"
    if low < player.low:
        return f"written bottom note {low_name} below the range (from {note_name(player.low)})"
    return ""


def inside_a_limit(family: str, named: dict[int, str], player: Player, day: date) -> str:
    """A limit of this day leaves the family out, or caps the top note."""
    for limit in limits_on(player, day):
        reason = _against(limit, family, named)
        if reason:
            return f'limit "{limit.title}" until {limit.until.isoformat()}: {reason}'
    return ""


def _against(limit: Limit, family: str, named: dict[int, str]) -> str:
    if family in limit.without:
        return f"without {family}"
    high = max(named, default=0)
    if limit.top_note is not None and high > limit.top_note:
        return f"nothing above {note_name(limit.top_note)}, this goes up to {named[high]}"
    return ""


def note_name(midi: int) -> str:
    """A written note by itself, spelled as in C major."""
    return spell(midi, Key(0, "major")).name

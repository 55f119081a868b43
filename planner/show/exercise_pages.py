"""An exercise written out in all its places, one page for each instrument or pupil.

Pure functions. A pupil's page leaves out what the pupil cannot play and says why; an instrument's page takes
the range of the exercise's level.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from planner.brass.figures import Passage, write_degrees, write_partials
from planner.brass.instruments import Instrument, Side, positions
from planner.brass.keys import transpose_key
from planner.brass.tempo import Meter
from planner.engrave.score import Style
from planner.engrave.sheet import Block, Cell, Marks, Page, Row, Sheet
from planner.inputs.curriculum import Exercise, Level, Pattern, TempoSpan
from planner.inputs.player import Player
from planner.need.combinations import Draft, Place, places, written_out
from planner.show.day import CAUTION
from planner.show.forms import form_note, place_forms
from planner.show.layout import clean
from planner.show.written_out import Look, cell, marks_to_circle, signs_used

LEVEL: Level = "intermediate"  # the range of an instrument where the exercise is for beginners or nobody

NOTHING = Block(lines=(("", "Nothing of this exercise can be played here."),))


@dataclass(frozen=True, slots=True)
class Reader:
    """Whom a page is for: an instrument, its range in written MIDI numbers, a pupil where there is one.

    `rated`: the pupil has a diary, so that there is something to fill in.
    """

    instrument: Instrument
    low: int
    high: int
    side: Side = "F"
    pupil: Player | None = None
    rated: bool = False

    @property
    def name(self) -> str:
        """For the head of the page: "Anna, Trumpet in B♭"."""
        pupil = f"{clean(self.pupil.name)}, " if self.pupil is not None else ""
        return f"{pupil}{self.instrument.name}"


def level_of(exercise: Exercise) -> Level:
    """The level whose range is taken where there is no pupil: the exercise's, intermediate at the least."""
    return exercise.level if exercise.level == "advanced" else LEVEL


def reader_of(instrument: Instrument, exercise: Exercise) -> Reader:
    """An instrument without a pupil, with the range of the exercise's level, intermediate at the least."""
    low, high = instrument.range_at(level_of(exercise))
    return Reader(instrument, low, high)


def pupil_of(player: Player, instrument: Instrument, *, rated: bool = True) -> Reader:
    """A pupil with the range of the pupil's own file; a class profile keeps no diary (`rated` is False)."""
    return Reader(instrument, player.low, player.high, player.side, player, rated)


def exercise_sheet(exercise: Exercise, readers: Sequence[Reader], look: Look = Look()) -> Sheet:  # noqa: B008
    """The exercise, one page for each reader."""
    title = clean(look.title or exercise.title)
    style = replace(look.style, repeated=exercise.passes > 1)
    return Sheet(title, tuple(_page(exercise, reader, title, style) for reader in readers), look.paper)


def _page(exercise: Exercise, reader: Reader, title: str, style: Style) -> Page:
    """The exercise for one reader: a block for each pattern."""
    found = [_pattern(exercise, pattern, reader, style) for pattern in exercise.patterns]
    passages = [passage for _, written, _ in found for passage in written]
    left_out = Counter(reason for _, _, reasons in found for reason in reasons)
    return Page(
        title=title,
        subtitle=reader.name,
        facts=tuple(exercise_facts(exercise)),
        marks=tuple(_marks(exercise)),
        blocks=tuple(block for block, written, _ in found if written) or (NOTHING,),
        notes=tuple(_notes(exercise, reader, passages, style, left_out)),
        caution=CAUTION.partition(";")[0] + ".",
        name=f"{title} · {reader.name}",
    )


def exercise_facts(exercise: Exercise) -> Iterator[str]:
    """Purpose, meter, articulations, breath."""
    if exercise.purpose:
        yield clean(exercise.purpose)
    meter = exercise.meter
    yield meter.text + (f", accents {meter.grouping_text}" if len(meter.grouping) > 1 else "")
    joint = ", then " if exercise.articulations_are == "alternate" else " and "
    yield joint.join(exercise.articulations)
    if exercise.hold is not None:
        yield f"held {exercise.hold.first} to {exercise.hold.goal} s"
    elif exercise.passes > 1:
        yield f"{exercise.passes} in a breath"


def _marks(exercise: Exercise) -> Iterator[Marks]:
    """The marks from first to goal, a line for each articulation that has its own."""
    if exercise.measure not in ("tempo", "bend", "top note"):
        return
    spans: dict[TempoSpan, list[str]] = {}
    for articulation in exercise.articulations:
        spans.setdefault(exercise.tempos[articulation], []).append(articulation)
    for span, articulations in spans.items():
        found = marks_to_circle(span.beat, span.goal, span.first, span.goal)
        if found is not None:
            words = f"{', '.join(articulations)} {found.sign}" if len(spans) > 1 else found.sign
            yield replace(found, sign=words, today=0)


def _pattern(
    exercise: Exercise, pattern: Pattern, reader: Reader, style: Style
) -> tuple[Block, list[Passage], list[str]]:
    """A pattern in all its places, its passages, and why places are left out."""
    rows: list[Row] = []
    cells: list[Cell] = []
    passages: list[Passage] = []
    reasons: list[str] = []
    for place in places(exercise, pattern):
        written, reason = _written(exercise, pattern, place, reader)
        if reason:
            reasons.append(reason)
            continue
        passages += written
        forms = place_forms(exercise, pattern, place) if reader.rated else ()
        if place.key is None:
            row = _cycle_row(written, reader.instrument, exercise.meter, style)
            rows.append(replace(row, forms=forms))
        else:
            found = _key_cell(exercise, place, written[0], reader.instrument, style)
            cells.append(replace(found, forms=forms))
    title = f"Pattern {clean(pattern.name)}" if len(exercise.patterns) > 1 else ""
    return Block(title=title, rows=(*rows, *((Row(tuple(cells)),) if cells else ()))), passages, reasons


def _cycle_row(written: Sequence[Passage], instrument: Instrument, meter: Meter, style: Style) -> Row:
    """A cycle of positions."""
    cells = tuple(cell(passage, instrument, meter, style, passage.key.pretty) for passage in written)
    return Row(cells, " → ".join(passage.fingering_first for passage in written))


def _key_cell(
    exercise: Exercise, place: Place, passage: Passage, instrument: Instrument, style: Style
) -> Cell:
    """One key, with its concert name where the curriculum has that."""
    assert place.key is not None
    concert = exercise.keys_are == "concert" and place.key != passage.key
    label = f"concert {place.key.pretty}" if concert else ""
    found = cell(passage, instrument, exercise.meter, style, label)
    return replace(found, title=passage.key.pretty)


def _written(
    exercise: Exercise, pattern: Pattern, place: Place, reader: Reader
) -> tuple[tuple[Passage, ...], str]:
    """The notes of one place, or why there are none to play."""
    if reader.pupil is not None:
        name = f"{exercise.id}/{pattern.name}/{place.id}"
        draft = Draft(name, exercise, pattern, place, exercise.articulations, 1)
        combination, reason = written_out(draft, reader.pupil)
        return (() if combination is None else combination.passages), reason
    return _for_instrument(exercise, pattern, place, reader)


def _for_instrument(
    exercise: Exercise, pattern: Pattern, place: Place, reader: Reader
) -> tuple[tuple[Passage, ...], str]:
    """The same without a pupil: only what the instrument does not have is left out."""
    played = reader.instrument
    if place.key is None:
        absent = [position for position in place.positions if position not in positions(played)]
        if absent:
            return (), f"position {absent[0]} is not on this instrument"
        written = tuple(write_partials(pattern.figure, played, one, reader.side) for one in place.positions)
    else:
        key = transpose_key(place.key, played.transposition) if exercise.keys_are == "concert" else place.key
        written = (write_degrees(pattern.figure, played, key, reader.low, reader.high, exercise.octave),)
    missing = [midi for passage in written for midi in passage.missing]
    return (written, "") if not missing else ((), "needs notes that are not on this instrument")


def _notes(
    exercise: Exercise,
    reader: Reader,
    passages: Sequence[Passage],
    style: Style,
    left_out: Counter[str],
) -> Iterator[str]:
    """What the signs mean, what repeat signs ask for, what is left out and why."""
    if passages:
        yield " ".join(signs_used(passages, reader.instrument, style))
    if exercise.passes > 1 and passages:
        yield f"Repeat signs: {exercise.passes} times in a breath."
    if reader.rated and reader.pupil is not None and passages:
        command = f"planner rate --player {reader.pupil.id}"
        yield f"{form_note([exercise.measure])} Afterwards: {command}, each word with what is on its line."
    for reason, count in left_out.most_common():
        yield f"Left out: {count} {'place' if count == 1 else 'places'}, {reason}."

"""The words of an exercise that stand for more than themselves: meter, figures, tempos, holds, keys.

Each function turns one word of the table into the frozen type and puts what is wrong with it into `found`;
rules between words stand in `exercise_file.py`.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from planner.brass.figures import Figure, FigureError, read_figure
from planner.brass.keys import MAJOR_KEYS, MODES, BadName, Key, Naming, parse_key
from planner.brass.tempo import MARKS, BadMeter, Meter, mark_at_or_below, next_mark, parse_meter
from planner.inputs.curriculum import Articulation, HoldSpan, Pattern, TempoSpan
from planner.inputs.findings import Found, known_word, tables_of
from planner.inputs.schema import (
    ARTICULATIONS,
    NOTATION,
    ExerciseTable,
    HoldTable,
    PatternTable,
    TempoTable,
)
from planner.inputs.tables import sound_part
from planner.inputs.text import character_name, shown, unwanted

MINOR_ABOVE_MAJOR = 3
"""Steps on the line of fifths from a major key to its relative minor."""

MOST_PATTERNS = 50
MOST_KEYS = 60
Kind = Literal["partials", "degrees"]
KINDS: tuple[Kind, ...] = ("partials", "degrees")


def meter_of(one: ExerciseTable, found: Found) -> Meter | None:
    """The meter with its grouping; a fault stands at the word that is wrong of the two."""
    if one.meter is None:
        return None
    word = "meter"
    try:
        meter = parse_meter(one.meter)
        word = "grouping"
        return parse_meter(one.meter, tuple(one.grouping)) if one.grouping else meter
    except BadMeter as trouble:
        found.add((word,), trouble.message, trouble.hint)
        return None


def patterns_of(one: ExerciseTable, meter: Meter | None, found: Found) -> tuple[Pattern, ...]:
    """The figures that can be read; their names are all different."""
    tables = tables_of("exercise.pattern", one.pattern, found.under("pattern"), MOST_PATTERNS)
    patterns: list[Pattern] = []
    names: set[str] = set()
    for place, table in enumerate(tables):
        below = found.under("pattern", place)
        record = sound_part(PatternTable, table, below)
        if record.name in names:
            below.add(("name",), f"a pattern {shown(record.name)} stands above already")
        names |= {record.name} if record.name else set()
        kind, source = _figure_source(record, below)
        if source is None or meter is None:
            continue
        figure = _figure(kind, source, meter, below)
        if figure is not None:
            patterns.append(Pattern(record.name or "", figure, source))
    return tuple(patterns)


def _figure_source(record: PatternTable, found: Found) -> tuple[Kind, str | None]:
    """The notation of a pattern and its kind; None where it is not there or no notation."""
    kind: Kind = "partials" if record.degrees is None else "degrees"
    source = record.partials if record.degrees is None else record.degrees
    if (record.partials is None) == (record.degrees is None):
        found.add((), "a pattern has either partials or degrees", 'for example partials = "4e 5e 6e 5e"')
    elif not isinstance(source, str):
        found.add((kind,), f"{kind} should be a text in quotes, not {shown(source)}")
    elif len(source) > NOTATION:
        found.add((kind,), f"{kind} has {len(source)} characters; at most {NOTATION} fit")
    elif bad := unwanted(source):
        found.add((kind,), f"{bad[1]} may not stand in {kind}", "take it out", column=bad[0] + 1)
    else:
        # A figure may run over several lines; blanks keep every column where it is.
        return kind, source.translate({9: " ", 10: " ", 13: " "})
    return kind, None


def _figure(kind: Kind, source: str, meter: Meter, found: Found) -> Figure | None:
    try:
        return read_figure(source, meter, kind)
    except FigureError as trouble:
        found.add((kind,), trouble.message, trouble.hint, column=trouble.column)
        return None


def tempos_of(one: ExerciseTable, found: Found) -> Mapping[Articulation, TempoSpan]:
    """A tempo for every articulation: one table for all, or one for each."""
    if one.tempo is None:
        return {}
    below = found.under("tempo")
    apart = isinstance(one.tempo, Mapping) and any(
        word in ARTICULATIONS or isinstance(value, Mapping) for word, value in one.tempo.items()
    )
    if apart:
        return _tempos_apart(one, one.tempo, below)
    span = _span(one.tempo, below)
    return dict.fromkeys(one.articulations or (), span) if span else {}


def _tempos_apart(
    one: ExerciseTable, tables: Mapping[str, object], found: Found
) -> Mapping[Articulation, TempoSpan]:
    spans: dict[Articulation, TempoSpan] = {}
    for word, table in tables.items():
        if word not in ARTICULATIONS:
            found.add((word,), *known_word("an articulation", word, ARTICULATIONS), word=True)
            continue
        if one.articulations is not None and word not in one.articulations:
            found.add((word,), f"{word} has a tempo but is not among the articulations", word=True)
        span = _span(table, found.under(word))
        if span is not None:
            spans[word] = span
    for word in one.articulations or ():
        if word not in tables:
            found.add((), f"the tempo of {word} is missing")
    return spans


def _span(table: object, found: Found) -> TempoSpan | None:
    """From first to goal, both marks of the metronome."""
    record = sound_part(TempoTable, table, found)
    for word, tempo in (("first", record.first), ("goal", record.goal)):
        if tempo is not None and tempo not in MARKS:
            found.add((word,), f"{tempo} is not a mark of the metronome", nearest_marks(tempo))
    if record.beat is None or record.first is None or record.goal is None:
        return None
    if record.first > record.goal:
        found.add(("first",), f"the first tempo {record.first} is faster than the goal {record.goal}")
        return None
    return TempoSpan(record.beat, record.first, record.goal)


def nearest_marks(tempo: int) -> str:
    """A hint with the marks on both sides of a tempo.

    >>> nearest_marks(90), nearest_marks(300)
    ('the nearest marks are 88 and 92', 'the marks go from 40 to 208')
    """
    above = next_mark(tempo)
    if tempo < MARKS[0] or above is None:
        return f"the marks go from {MARKS[0]} to {MARKS[-1]}"
    return f"the nearest marks are {mark_at_or_below(tempo)} and {above}"


def hold_of(one: ExerciseTable, found: Found) -> HoldSpan | None:
    """How long a tone is held, in seconds from first to goal."""
    if one.hold is None:
        return None
    record = sound_part(HoldTable, one.hold, found.under("hold"))
    if record.first is None or record.goal is None:
        return None
    if record.first > record.goal:
        found.add(
            ("hold", "first"), f"held {record.first} s at first is longer than the goal {record.goal} s"
        )
    return HoldSpan(record.first, record.goal)


def keys_of(one: ExerciseTable, naming: Naming, found: Found) -> tuple[Key, ...]:
    """The keys in the order of the file: a list, or "all" with or without a mode."""
    if one.keys is None:
        return ()
    if isinstance(one.keys, str):
        return _all_keys(one.keys, found)
    if not isinstance(one.keys, list) or not one.keys or len(one.keys) > MOST_KEYS:
        found.add(("keys",), f'keys should be "all" or a list of 1 to {MOST_KEYS} keys')
        return ()
    keys: list[Key] = []
    for place, name in enumerate(one.keys):
        key = _key(name, naming, found.under("keys", place))
        if key in keys:
            found.add(("keys", place), f"{shown(name)} stands in the list already")
        elif key is not None:
            keys.append(key)
    return tuple(keys)


def _key(name: object, naming: Naming, found: Found) -> Key | None:
    if not isinstance(name, str) or len(name) > 40:
        found.add((), f"a key should be a text in quotes, not {shown(name)}")
        return None
    if bad := unwanted(name):
        found.add((), f"{character_name(name[bad[0]])} may not stand in a key", column=bad[0] + 1)
        return None
    try:
        return parse_key(name, naming)
    except BadName as trouble:
        found.add((), trouble.message, trouble.hint)
        return None


def _all_keys(word: str, found: Found) -> tuple[Key, ...]:
    """The twelve keys of one mode, in the order in which the major ones are taught."""
    ways = {"all": "major", **{f"all {mode}": mode for mode in MODES}}
    mode = ways.get(word)
    if mode is None:
        found.add(("keys",), *known_word("a set of keys", word, ways))
        return ()
    up = MINOR_ABOVE_MAJOR if "minor" in mode else 0
    return tuple(Key(key.fifths + up, mode) for key in MAJOR_KEYS)

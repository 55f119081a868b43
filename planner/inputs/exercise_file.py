"""One exercise of a curriculum file: from its table to the frozen type, every fault of it found.

First each word becomes what it stands for (meter, tempos, figures, keys), then the rules that cross words,
one short function each. Defaults that a file may leave out stand here as named constants.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import pairwise

from planner.brass.instruments import INSTRUMENTS, positions
from planner.brass.keys import Key, Naming
from planner.brass.tempo import Meter
from planner.inputs.curriculum import Articulation, Exercise, HoldSpan, Pattern, TempoSpan
from planner.inputs.exercise_words import KINDS, Kind, hold_of, keys_of, meter_of, patterns_of, tempos_of
from planner.inputs.findings import Found, known_word
from planner.inputs.schema import ExerciseTable
from planner.inputs.tables import sound_part
from planner.inputs.text import shown

# Three neighbouring positions from 1, 3 and 5 meet the long tubing as often as the short: 1,1,2,1,2,1,1.
DEFAULT_CYCLE = 3
DEFAULT_STARTS = (1, 3, 5)
POSITIONS_OF_THREE_VALVES = 7
OWN_IDS = ("warm-up", "warm-down")
"""What the program itself puts first and last in a routine goes by these names."""


@dataclass(frozen=True, slots=True)
class Around:
    """What an exercise has to know of the file around it; weeks is None where the file does not say."""

    naming: Naming
    weeks: int | None


def read_exercise(table: object, around: Around, found: Found) -> tuple[ExerciseTable, Exercise | None]:
    """The sound words of an exercise, and the exercise where no fault was found in it."""
    before = len(found.findings)
    one = sound_part(ExerciseTable, table, found)
    meter = meter_of(one, found)
    patterns = patterns_of(one, meter, found)
    tempos = tempos_of(one, found)
    hold = hold_of(one, found)
    keys = keys_of(one, around.naming, found)
    for rule in RULES:
        rule(one, found)
    _check_weeks(one, around.weeks, found)
    _check_places(one, _kinds(one), found)
    if len(found.findings) > before or meter is None:
        return one, None
    return one, _exercise(one, meter, patterns, tempos, hold, keys)


def _exercise(
    one: ExerciseTable,
    meter: Meter,
    patterns: tuple[Pattern, ...],
    tempos: Mapping[Articulation, TempoSpan],
    hold: HoldSpan | None,
    keys: tuple[Key, ...],
) -> Exercise:
    """A faultless table as the frozen type, with the defaults for what it leaves out."""
    partials = patterns[0].figure.kind == "partials"
    starts = tuple(one.starts or DEFAULT_STARTS) if partials else ()
    return Exercise(
        id=one.id or "",
        title=one.title or "",
        purpose=one.purpose or "",
        family=one.family or "flexibility",
        measure=one.measure or "tempo",
        weeks=tuple(one.weeks or ()),
        meter=meter,
        patterns=patterns,
        passes=one.passes or 1,
        rounds=one.rounds or 1,
        articulations=tuple(one.articulations or ()),
        articulations_are="each" if one.articulations_are == "each" else "alternate",
        tempos=tempos,
        hold=hold,
        cycle=(one.cycle or DEFAULT_CYCLE) if partials else 1,
        starts=starts,
        keys=keys,
        keys_are="written" if one.keys_are == "written" else "concert",
        octave=one.octave or 0,
        after=tuple(one.after or ()),
        instruments=tuple(one.instruments or ()),
        level=one.level or "beginner",
    )


def _check_hold(one: ExerciseTable, found: Found) -> None:
    """Measure "seconds" says how long a tone is held, no other measure does."""
    measure = "tempo" if not one.has("measure") else one.measure
    if measure == "seconds" and one.hold is None:
        found.add((), 'measure "seconds" needs hold', "for example hold = { first = 8, goal = 20 }")
    if measure not in ("seconds", None) and one.hold is not None:
        found.add(("hold",), 'hold belongs to measure "seconds" only', 'add measure = "seconds"', word=True)


def _check_weeks(one: ExerciseTable, weeks: int | None, found: Found) -> None:
    """Combinations are first met in weeks that the curriculum has."""
    for place, week in enumerate(one.weeks or ()):
        if weeks is not None and week > weeks:
            found.add(("weeks", place), f"week {week} lies outside the curriculum's {weeks} weeks")


def _check_weeks_rise(one: ExerciseTable, found: Found) -> None:
    """The weeks of an exercise rise, each once."""
    if one.weeks == []:
        found.add(("weeks",), "weeks is empty", "for example weeks = [2, 3]")
    for place, (week, after) in enumerate(pairwise(one.weeks or ())):
        if after <= week:
            found.add(("weeks", place + 1), f"week {after} stands after week {week}; weeks rise, each once")


def _check_articulations(one: ExerciseTable, found: Found) -> None:
    """At least one articulation, each once."""
    words = one.articulations
    if words == []:
        found.add(("articulations",), "articulations is empty", 'for example articulations = ["slurred"]')
    for place, word in enumerate(words or ()):
        if word in (words or ())[:place]:
            found.add(("articulations", place), f"{word} stands in the list already")


def _check_instruments(one: ExerciseTable, found: Found) -> None:
    """Every instrument named is known."""
    for place, word in enumerate(one.instruments or ()):
        if word not in INSTRUMENTS:
            found.add(("instruments", place), *known_word("an instrument", word, INSTRUMENTS))


def _check_has_patterns(one: ExerciseTable, found: Found) -> None:
    """An exercise has something to play."""
    if one.pattern == []:
        found.add(("pattern",), "an exercise has at least one [[exercise.pattern]]")


def _check_own_ids(one: ExerciseTable, found: Found) -> None:
    """The program's own warm-up and warm-down keep their names."""
    if one.id in OWN_IDS:
        found.add(("id",), f"{shown(one.id)} is what the program calls its own", "choose another id")


def _kinds(one: ExerciseTable) -> set[Kind]:
    """What kinds of patterns the file writes, readable or not."""
    tables = (
        [table for table in one.pattern if isinstance(table, Mapping)]
        if isinstance(one.pattern, list)
        else []
    )
    written = [{"partials", "degrees"} & table.keys() for table in tables]
    return {kind for kinds in written if len(kinds) == 1 for kind in KINDS if kind in kinds}


def _check_places(one: ExerciseTable, kinds: set[Kind], found: Found) -> None:
    """Partials are played at positions, degrees in keys; never both free."""
    if len(kinds) == 2:
        found.add(
            ("pattern",), "the patterns of an exercise are all partials or all degrees", "make two exercises"
        )
    elif kinds == {"partials"}:
        _check_no_keys(one, found)
        _check_positions(one, found)
    elif kinds == {"degrees"}:
        _check_no_positions(one, found)


def _check_no_keys(one: ExerciseTable, found: Found) -> None:
    """An exercise on partials has positions; its keys follow."""
    for word in ("keys", "keys_are", "octave"):
        if getattr(one, word) is not None:
            found.add((word,), f"{word} does not go with partials: the position makes the key", word=True)


def _check_no_positions(one: ExerciseTable, found: Found) -> None:
    """An exercise on degrees has keys; its positions follow."""
    for word in ("starts", "cycle"):
        if getattr(one, word) is not None:
            found.add((word,), f"{word} does not go with degrees: the key makes the positions", word=True)
    if one.keys is None:
        found.add((), "an exercise on degrees needs keys", 'for example keys = "all"')


def _check_positions(one: ExerciseTable, found: Found) -> None:
    """Every cycle ends on the tubing that the instruments have."""
    last = max(
        (max(positions(INSTRUMENTS[word])) for word in one.instruments or () if word in INSTRUMENTS),
        default=0,
    )
    last = last or POSITIONS_OF_THREE_VALVES
    cycle = one.cycle or DEFAULT_CYCLE
    highest = max(1, last + 1 - cycle)
    if not one.has("starts") and max(DEFAULT_STARTS) > highest:
        usual = ", ".join(map(str, DEFAULT_STARTS))
        message = f"a cycle of {cycle} does not fit from the usual starts {usual} on {last} positions"
        found.add(("cycle",), message, f"name the starts, none above {highest}")
    for place, start in enumerate(one.starts or ()):
        if start + cycle - 1 > last:
            message = f"a cycle of {cycle} from position {start} goes beyond position {last}"
            found.add(("starts", place), message, f"start at {highest} or below")


def _check_starts(one: ExerciseTable, found: Found) -> None:
    """At least one start where any are named, each once."""
    if one.starts == []:
        found.add(("starts",), "starts is empty", "for example starts = [1, 3, 5]")
    for place, start in enumerate(one.starts or ()):
        if start in (one.starts or ())[:place]:
            found.add(("starts", place), f"position {start} stands in the list already")


RULES: tuple[Callable[[ExerciseTable, Found], None], ...] = (
    _check_weeks_rise,
    _check_articulations,
    _check_starts,
    _check_instruments,
    _check_has_patterns,
    _check_own_ids,
    _check_hold,
)
"""The rules of one exercise by itself; the others need the file around it or the kind of its patterns."""

"""The tables that may stand in the files, word by word, as pydantic models.

Every word is optional here; how a table is read and what is required stands in `tables.py`. Defaults are
applied where the frozen types are built. Imported lazily by `read.py`.
"""

from __future__ import annotations

from datetime import date
from typing import Annotated, Any, Literal, get_args

from pydantic import Field

from planner.brass.names import NAMINGS, Naming
from planner.brass.tempo import EIGHTHS_IN_BEAT, Beat
from planner.inputs.curriculum import LEVELS, Articulation, Family, KindOfTermDate, Level, Measure
from planner.inputs.fields import at_most, day, identifier, number, one_of, text, whole, word_or_number
from planner.inputs.tables import Table

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
MOST_WEEKS = 60
MOST_POSITIONS = 12
MOST_MINUTES = 600

ID = identifier()
TITLE = text(120)
SHORT = text(40)
PATH = text(200)
NOTATION = 4_000
SOME = 20
MANY = 200
"""Entries of a list: more than can be meant, few enough to be told one by one."""
ARTICULATIONS: tuple[Articulation, ...] = get_args(Articulation)
FAMILIES: tuple[Family, ...] = get_args(Family)
MEASURES: tuple[Measure, ...] = get_args(Measure)
BOLDNESS = {"careful": 0.92, "usual": 0.84, "bold": 0.75}
KindOfDate = Literal["free", "short", "concert", "audition"]
KINDS_OF_DATE: tuple[KindOfDate, ...] = get_args(KindOfDate)
KINDS_OF_TERM_DATE: tuple[KindOfTermDate, ...] = get_args(KindOfTermDate)

FamilyWord = Annotated[Family, one_of("a family", FAMILIES)]
ArticulationWord = Annotated[Articulation, one_of("an articulation", ARTICULATIONS)]
Weekday = Annotated[str, one_of("a weekday", WEEKDAYS)]
NamingWord = Annotated[Naming | None, one_of("a way of naming notes", NAMINGS)]
Minutes = Annotated[int | None, whole(0, MOST_MINUTES)]
Intensity = Annotated[int | None, whole(1, 5)]
Tempo = Annotated[int | None, whole(1, 400)]
Day = Annotated[date | None, day()]


class CurriculumHead(Table):
    """[curriculum]."""

    required = ("id", "title", "weeks")
    id: Annotated[str | None, ID] = None
    title: Annotated[str | None, TITLE] = None
    author: Annotated[str | None, TITLE] = None
    licence: Annotated[str | None, TITLE] = None
    weeks: Annotated[int | None, whole(1, MOST_WEEKS)] = None
    naming: NamingWord = None


class TermDateTable(Table):
    """[[date]] of a curriculum: days of one of its weeks."""

    required = ("kind", "week")
    kind: Annotated[KindOfTermDate | None, one_of("a kind of date", KINDS_OF_TERM_DATE)] = None
    week: Annotated[int | None, whole(1, MOST_WEEKS)] = None
    days: Annotated[list[Weekday] | None, at_most(SOME)] = None
    title: Annotated[str | None, TITLE] = None


class ExerciseTable(Table):
    """[[exercise]]; tempo, hold, keys and pattern are tables or lists of their own, read one by one."""

    required = ("id", "title", "family", "weeks", "meter", "tempo", "articulations", "pattern")
    id: Annotated[str | None, ID] = None
    title: Annotated[str | None, TITLE] = None
    purpose: Annotated[str | None, text(300)] = None
    family: Annotated[Family | None, one_of("a family", FAMILIES)] = None
    measure: Annotated[Measure | None, one_of("a measure", MEASURES)] = None
    weeks: Annotated[list[Annotated[int, whole(1, MOST_WEEKS)]] | None, at_most(MOST_WEEKS)] = None
    meter: Annotated[str | None, SHORT] = None
    grouping: Annotated[list[Annotated[int, whole(1, 32)]] | None, at_most(32)] = None
    tempo: Any = None
    hold: Any = None
    passes: Annotated[int | None, whole(1, 32)] = None
    rounds: Annotated[int | None, whole(1, 12)] = None
    cycle: Annotated[int | None, whole(1, MOST_POSITIONS)] = None
    starts: Annotated[list[Annotated[int, whole(1, MOST_POSITIONS)]] | None, at_most(MOST_POSITIONS)] = None
    articulations: Annotated[list[ArticulationWord] | None, at_most(SOME)] = None
    articulations_are: Annotated[str | None, one_of("a way", ("alternate", "each"))] = None
    keys: Any = None
    keys_are: Annotated[str | None, one_of("a kind of key", ("concert", "written"))] = None
    octave: Annotated[int | None, whole(-3, 3)] = None
    after: Annotated[list[Annotated[str, SHORT]] | None, at_most(MANY)] = None
    instruments: Annotated[list[Annotated[str, SHORT]] | None, at_most(MANY)] = None
    level: Annotated[Level | None, one_of("a level", LEVELS)] = None
    pattern: Any = None


class PatternTable(Table):
    """[[exercise.pattern]]: partials or degrees."""

    required = ("name",)
    name: Annotated[str | None, ID] = None
    partials: Any = None
    degrees: Any = None


class TempoTable(Table):
    """{ beat, first, goal }."""

    required = ("beat", "first", "goal")
    beat: Annotated[Beat | None, one_of("a beat", tuple(EIGHTHS_IN_BEAT))] = None
    first: Tempo = None
    goal: Tempo = None


class HoldTable(Table):
    """{ first, goal } in seconds."""

    required = ("first", "goal")
    first: Annotated[int | None, whole(1, 120)] = None
    goal: Annotated[int | None, whole(1, 120)] = None


class MinutesTable(Table):
    """Minutes for each weekday; a day left out has none."""

    monday: Minutes = None
    tuesday: Minutes = None
    wednesday: Minutes = None
    thursday: Minutes = None
    friday: Minutes = None
    saturday: Minutes = None
    sunday: Minutes = None


class SpansTable(Table):
    """How long combinations may rest, in weeks."""

    kept_up_weeks: Annotated[int | None, whole(1, 52)] = None


class DateTable(Table):
    """[[date]]: one date, or from and to."""

    required = ("kind",)
    kind: Annotated[KindOfDate | None, one_of("a kind of date", KINDS_OF_DATE)] = None
    date: Day = None
    start: Day = Field(default=None, alias="from")
    to: Day = None
    title: Annotated[str | None, TITLE] = None
    minutes: Minutes = None


class LimitTable(Table):
    """[[limit]]."""

    required = ("title", "from", "until")
    title: Annotated[str | None, TITLE] = None
    start: Day = Field(default=None, alias="from")
    until: Day = None
    top_note: Annotated[str | None, SHORT] = None
    minutes: Minutes = None
    without: Annotated[list[FamilyWord] | None, at_most(SOME)] = None


class MusicTable(Table):
    """[[music]]."""

    required = ("title", "minutes")
    id: Annotated[str | None, ID] = None
    title: Annotated[str | None, TITLE] = None
    part: Annotated[str | None, TITLE] = None
    minutes: Annotated[int | None, whole(1, MOST_MINUTES)] = None
    days: Annotated[list[Weekday] | None, at_most(SOME)] = None
    band: Annotated[list[Annotated[int, whole(1, 400)]] | None, at_most(SOME)] = None
    until: Day = None
    intensity: Intensity = None


class PlayingTable(Table):
    """[[playing]]."""

    required = ("title", "days", "minutes")
    title: Annotated[str | None, TITLE] = None
    days: Annotated[list[Weekday] | None, at_most(SOME)] = None
    minutes: Annotated[int | None, whole(1, MOST_MINUTES)] = None
    on_the_lip: Annotated[float | None, number(0, 1)] = None
    intensity: Intensity = None


class PlayerTable(Table):
    """The words of a player file outside its lists; tables and the four lists are read one by one."""

    required = ("id", "name", "instrument", "level", "curriculum", "starts", "minutes")
    id: Annotated[str | None, ID] = None
    name: Annotated[str | None, TITLE] = None
    instrument: Annotated[str | None, SHORT] = None
    level: Annotated[Level | None, one_of("a level", LEVELS)] = None
    curriculum: Annotated[str | None, PATH] = None
    starts: Day = None
    naming: NamingWord = None
    minutes: Any = None
    range: Annotated[list[Annotated[str, SHORT]] | None, at_most(SOME)] = None
    known_notes: Annotated[list[Annotated[str, SHORT]] | None, at_most(MANY)] = None
    breath_seconds: Annotated[float | None, number(2, 60)] = None
    longest_position: Annotated[int | None, whole(1, MOST_POSITIONS)] = None
    side: Annotated[str | None, one_of("a side of the horn", ("F", "B flat"))] = None
    boldness: Annotated[float | None, word_or_number(BOLDNESS, 0.5, 0.95)] = None
    articulation_order: Annotated[list[ArticulationWord] | None, at_most(SOME)] = None
    spans: Any = None
    goals: Any = None
    ratings: Annotated[str | None, PATH] = None
    warm_up: Annotated[str | None, one_of("a kind of warm-up", ("mine",))] = None
    warm_up_title: Annotated[str | None, TITLE] = None
    warm_up_minutes: Annotated[int | None, whole(1, 60)] = None
    blocks_a_day: Annotated[int | None, whole(1, 12)] = None
    minutes_a_block: Annotated[int | None, whole(2, 60)] = None
    families_a_day: Annotated[int | None, whole(1, 11)] = None
    load_per_minute: Annotated[float | None, number(0.1, 5)] = None
    date: Any = None
    limit: Any = None
    music: Any = None
    playing: Any = None

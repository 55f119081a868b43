"""Coverage at a glance: exercise × key, exercise × position, key × position, with a number in every cell.

A pure function from a plan and the shelf to text. A cell says in letters what it is: m met this week,
p planned for the rest of it, o open; the number counts combinations; a dash stands where nothing can
occur, which is promised to nobody. Keys are gathered by their tonic, in the order of fifths.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Protocol

from planner.inputs.dates import monday_of
from planner.show.layout import Faces, clean, flow, kept_together, page, wrap
from planner.show.tables import Row, Table, table_lines
from planner.show.week import week_heading
from planner.show.words import counted, day_of, humanised, spoken

CANNOT_OCCUR = "–"
LEGEND = (
    "m met this week",
    "p planned for the rest of it",
    "o open",
    "the number counts combinations",
    f"{CANNOT_OCCUR} cannot occur",
)
STATES = ("met", "planned", "open")
LONGEST = 3  # so many of the cells open longest are named


class Covered(Protocol):
    """One combination in scope and when it was last met (None: never).

    `keys` are written key names ("A-flat major"), `positions` tube positions; `touched` are the pairs of
    key and position whose notes it really has. `exercise` is the exercise's title.
    """

    @property
    def combination(self) -> str: ...  # noqa: D102 - the class says what they are
    @property
    def exercise(self) -> str: ...  # noqa: D102
    @property
    def keys(self) -> tuple[str, ...]: ...  # noqa: D102
    @property
    def positions(self) -> tuple[int, ...]: ...  # noqa: D102
    @property
    def touched(self) -> tuple[tuple[str, int], ...]: ...  # noqa: D102
    @property
    def last_met(self) -> date | None: ...  # noqa: D102


@dataclass(frozen=True, slots=True)
class CoverageCell:
    """How many combinations of a cell are met this week, planned for the rest of it, or neither."""

    met: int = 0
    planned: int = 0
    open: int = 0
    last_met: date | None = None

    @property
    def text(self) -> str:
        """The cell in letters and numbers, "m2", "m1p2", "o4"; a dash where nothing can occur."""
        turns = (f"m{self.met}" if self.met else "") + (f"p{self.planned}" if self.planned else "")
        return turns or (f"o{self.open}" if self.open else CANNOT_OCCUR)

    @property
    def is_open(self) -> bool:
        """Whether it can occur and is neither met nor planned."""
        return self.text.startswith("o")


@dataclass(frozen=True, slots=True)
class CoverageTable:
    """One table: its name, names of rows and columns, and the cells that can occur."""

    name: str
    rows: tuple[str, ...]
    columns: tuple[str, ...]
    cells: Mapping[tuple[str, str], CoverageCell]

    def cell(self, row: str, column: str) -> CoverageCell:
        """The cell, an empty one where nothing can occur."""
        return self.cells.get((row, column), CoverageCell())


def coverage_text(
    plan: dict[str, Any],
    shelf: Sequence[Covered],
    today: date,
    *,
    width: int = 80,
    colour: bool = False,
    plain: bool = False,
    boxes: bool = False,
) -> str:
    """Coverage of the plan's week as text, seen from `today`.

    `width` in columns; `colour` allows bold and dim; `plain` gives one fact a line, for reading aloud;
    `boxes` allows fine lines (a terminal, not a pipe).
    """
    view = _View(plan, shelf, today, coverage_tables(plan, shelf, today))
    if plain:
        return page(spoken(fact) for fact in view.aloud())
    return page(view.screen(width, Faces(colour), boxes=boxes))


def coverage_tables(
    plan: dict[str, Any], shelf: Sequence[Covered], today: date
) -> tuple[CoverageTable, CoverageTable, CoverageTable]:
    """The three tables of a week: exercise × key, exercise × position, key × position."""
    names = _tonic_names(key for one in shelf for key in one.keys)
    heads = _position_heads(plan["instrument"], {p for one in shelf for p in one.positions})
    titles = tuple(dict.fromkeys(clean(one.exercise) for one in shelf))
    keys, positions = tuple(names.values()), tuple(heads.values())

    def by_key(one: Covered) -> Iterable[tuple[str, str]]:
        return {(clean(one.exercise), names[_tonic(key)]) for key in one.keys}

    def by_position(one: Covered) -> Iterable[tuple[str, str]]:
        return {(clean(one.exercise), heads[position]) for position in one.positions}

    def by_both(one: Covered) -> Iterable[tuple[str, str]]:
        return {(names[_tonic(key)], heads[position]) for key, position in one.touched}

    count = _Count(plan, shelf, today)
    return (
        CoverageTable("exercise × key", titles, keys, count.cells(by_key)),
        CoverageTable("exercise × position", titles, positions, count.cells(by_position)),
        CoverageTable("key × position", keys, positions, count.cells(by_both)),
    )


class _Count:
    """Counts combinations by the cells they stand in."""

    def __init__(self, plan: dict[str, Any], shelf: Sequence[Covered], today: date) -> None:
        self.shelf, self.monday = shelf, monday_of(day_of(plan["first_day"]))  # a plan may begin later
        rest = [day for day in plan["days"] if day_of(day["date"]) >= today]
        self.planned = {item["combination"] for day in rest for item in day["items"] if item["combination"]}

    def state(self, one: Covered) -> str:
        """Met, planned or open."""
        if one.last_met is not None and one.last_met >= self.monday:
            return "met"
        return "planned" if one.combination in self.planned else "open"

    def cells(
        self, places: Callable[[Covered], Iterable[tuple[str, str]]]
    ) -> dict[tuple[str, str], CoverageCell]:
        """The cells that some combination stands in."""
        members: dict[tuple[str, str], list[Covered]] = defaultdict(list)
        for one in self.shelf:
            for place in places(one):
                members[place].append(one)
        return {place: self._cell(found) for place, found in members.items()}

    def _cell(self, found: Sequence[Covered]) -> CoverageCell:
        states = Counter(self.state(one) for one in found)
        met = [one.last_met for one in found if one.last_met is not None]
        return CoverageCell(states["met"], states["planned"], states["open"], max(met, default=None))


def _tonic(key: str) -> int:
    """The tonic of a key name as a pitch class, 0 to 11: enharmonic keys fall together."""
    from planner.brass.keys import parse_key

    return parse_key(key).fifths * 7 % 12


def _tonic_names(keys: Iterable[str]) -> dict[int, str]:
    """A name for every tonic met, the spelling that is met most often, from six flats up to the sharps."""
    from planner.brass.keys import parse_key

    spelled: dict[int, Counter[tuple[int, str]]] = defaultdict(Counter)
    for name in keys:
        key = parse_key(name)
        spelled[key.fifths * 7 % 12][key.fifths, key.tonic_name] += 1
    usual = {pitch: min(found, key=lambda one: (-found[one], one)) for pitch, found in spelled.items()}
    return {pitch: name for pitch, (fifths, name) in sorted(usual.items(), key=lambda one: one[1])}


def _position_heads(instrument_id: str, positions: Iterable[int]) -> dict[int, str]:
    """Column heads of positions: the number, and the valves below it where they are valves."""
    from planner.brass.instruments import instrument, valves_of

    played = instrument(instrument_id)
    if played.is_slide:
        return {position: f"{position}" for position in sorted(positions)}
    return {position: f"{position}\n{valves_of(played, position)}" for position in sorted(positions)}


@dataclass(frozen=True, slots=True)
class _View:
    plan: dict[str, Any]
    shelf: Sequence[Covered]
    today: date
    tables: Sequence[CoverageTable]

    def screen(self, width: int, faces: Faces, *, boxes: bool) -> Iterator[str]:
        yield from (faces.bold(line) for line in wrap(week_heading(self.plan), width))
        yield from flow(map(kept_together, self.summary()), width)
        yield from flow(map(kept_together, LEGEND), width)
        for table in self.tables:
            yield ""
            yield from (faces.bold(line) for line in wrap(_counted(table), width))
            yield from table_lines(_as_table(table), width, faces, boxes=boxes)
            yield from wrap(_longest(table, self.today), width)

    def aloud(self) -> Iterator[str]:
        yield f"Week: {week_heading(self.plan)}"
        yield from self.summary()
        for table in self.tables:
            yield _counted(table).replace(" × ", " by ")
            yield from (
                f"{_place(table, (row, column))}: {_cell_aloud(table.cell(row, column))}"
                for row in table.rows
                for column in table.columns
                if (row, column) in table.cells
            )
            yield from filter(None, [_longest(table, self.today)])

    def summary(self) -> list[str]:
        """How many combinations are met, planned and open."""
        count = _Count(self.plan, self.shelf, self.today)
        states = Counter(count.state(one) for one in self.shelf)
        return [counted(len(self.shelf), "combination"), *(f"{states[state]} {state}" for state in STATES)]


def _counted(table: CoverageTable) -> str:
    cells = table.cells.values()
    met, planned = (
        sum(bool(cell.met) for cell in cells),
        sum(bool(cell.planned and not cell.met) for cell in cells),
    )
    unmet = sum(cell.is_open for cell in cells)
    return f"{humanised(table.name)}: {counted(met, 'cell')} met, {planned} planned, {unmet} open"


def _as_table(table: CoverageTable) -> Table:
    rows: tuple[Row, ...] = tuple(
        (row, *(table.cell(row, column).text for column in table.columns)) for row in table.rows
    )
    return Table(("", *table.columns), (rows,))


def _longest(table: CoverageTable, today: date) -> str:
    """The cells open longest, those never met first; "" where none is open."""
    unmet = [(place, cell) for place, cell in table.cells.items() if cell.is_open]
    unmet.sort(key=lambda one: (one[1].last_met or date.min, one[0]))
    named = [f"{_place(table, place)} {_since(cell, today)}" for place, cell in unmet[:LONGEST]]
    return f"Open longest: {'; '.join(named)}" if named else ""


def _place(table: CoverageTable, place: tuple[str, str]) -> str:
    row, column = place
    return f"{row}, position {column.split()[0]}" if "position" in table.name else f"{row} in {column}"


def _since(cell: CoverageCell, today: date) -> str:
    days = (today - cell.last_met).days if cell.last_met else 0
    return kept_together(f"({counted(days, 'day')})" if cell.last_met else "(never met)")


def _cell_aloud(cell: CoverageCell) -> str:
    counts = {"met": cell.met, "planned": cell.planned, "open": cell.open}
    return ", ".join(f"{number} {state}" for state, number in counts.items() if number)

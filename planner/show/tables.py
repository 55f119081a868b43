"""A table of short cells: set in columns of plain text, or with fine rules by rich on a terminal.

Conventions: the first column holds names, set left and wrapped; all others are set right and never wrapped.
A line end in a cell of the head begins a second line there.
rich is imported only where lines may be drawn.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from planner.show.layout import GAP, NO_BREAK, Column, Faces, cells, side_by_side, widest

Row = tuple[str, ...]
NAMES_AT_LEAST = 10


@dataclass(frozen=True, slots=True)
class Table:
    """A head and groups of rows, all with the same number of cells."""

    head: Row
    groups: tuple[tuple[Row, ...], ...]

    @property
    def rows(self) -> tuple[Row, ...]:
        """All rows without the head."""
        return tuple(row for group in self.groups for row in group)


def table_lines(table: Table, width: int, faces: Faces, *, boxes: bool = False) -> list[str]:
    """The table in lines of at most `width` columns; too many columns are continued in a second table."""
    lines: list[str] = []
    for part in _parts(table, width):
        lines += [""] if lines else []
        lines += _ruled(part, width, faces) if boxes else list(_plain(part, width, faces))
    return lines


def _gap(table: Table, width: int) -> int:
    """Two spaces between columns where they fit, else one."""
    sizes = _sizes(table)
    return GAP if _names_room(table, width) + sum(sizes) + GAP * len(sizes) <= width else 1


def _names_room(table: Table, width: int) -> int:
    return min(_name_size(table), max(NAMES_AT_LEAST, width // 3))


def _sizes(table: Table) -> list[int]:
    """The width of every column but the first: its widest cell, or the longest line of its head."""
    heads = tuple(max(cell.split("\n"), key=cells) for cell in table.head)
    return widest([heads, *table.rows])[1:]


def _name_size(table: Table) -> int:
    return widest([table.head[:1], *(row[:1] for row in table.rows)])[0]


def _parts(table: Table, width: int) -> Iterator[Table]:
    """The table, or as many tables of some of its columns as the width asks for, each with the names."""
    room, gap = width - _names_room(table, width), _gap(table, width)
    chosen: list[int] = []
    used = 0
    for column, size in enumerate(_sizes(table), 1):
        if chosen and used + size + gap > room:
            yield _only(table, chosen)
            chosen, used = [], 0
        chosen.append(column)
        used += size + gap
    yield _only(table, chosen)


def _only(table: Table, columns: Iterable[int]) -> Table:
    kept = (0, *columns)
    groups = tuple(tuple(tuple(row[i] for i in kept) for row in group) for group in table.groups)
    return Table(tuple(table.head[i] for i in kept), groups)


def _plain(table: Table, width: int, faces: Faces) -> Iterator[str]:
    sizes, gap = _sizes(table), _gap(table, width)
    names = min(_name_size(table), width - sum(sizes) - gap * len(sizes))
    columns = [Column(names), *(Column(size, right=True) for size in sizes)]
    heads = [Column(column.width, column.right, "bold") for column in columns]
    yield from side_by_side(table.head, heads, faces, gap)
    for number, group in enumerate(table.groups):
        if number:
            yield ""
        for row in group:
            yield from side_by_side(row, columns, faces, gap)


def _ruled(table: Table, width: int, faces: Faces) -> list[str]:
    from io import StringIO

    from rich import box
    from rich.console import Console
    from rich.table import Table as Ruled
    from rich.text import Text

    # text of users goes in as Text: rich would read square brackets in a plain string as mark-up
    sizes, gap = _sizes(table), _gap(table, width)
    ruled = Ruled(box=box.SIMPLE_HEAD, show_edge=False, pad_edge=False, padding=(0, gap - 1, 0, 0))
    ruled.add_column(Text(table.head[0]), max_width=width - sum(sizes) - gap * len(sizes))
    for head, size in zip(table.head[1:], sizes, strict=True):
        ruled.add_column(Text(head), justify="right", width=size)
    for group in table.groups:
        for row in group:
            ruled.add_row(*(Text(cell.replace(NO_BREAK, " ")) for cell in row))
        ruled.add_section()
    out = StringIO()
    console = Console(
        file=out, width=width, force_terminal=faces.on, no_color=True, highlight=False, legacy_windows=False
    )
    console.print(ruled)
    return out.getvalue().splitlines()

"""Today's routine as it stands on the music stand: blocks under rehearsal letters.

One screen where it can be. A pure function from a stored plan to text; standard library only, because
`planner today` starts here. Nothing is said by colour or type face alone. Notes are written notes of the
player's instrument.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from planner.show import day as about
from planner.show import items as say
from planner.show.items import Item
from planner.show.layout import (
    DOT,
    GAP,
    Column,
    Faces,
    cells,
    clean,
    flow,
    indent,
    kept_together,
    pad,
    page,
    side_by_side,
    widest,
    wrap,
)
from planner.show.unused import unused
from planner.show.words import clock, date_in_words, minutes

INDENT = "   "
BELOW = " " * 7  # what stands below an item begins under its place
FACES = ("", "bold", "", "", "", "", "bold", "")  # of the pieces that say what to play
LEAST_ROOM = 12  # columns a title needs beside what stands at the right edge
ROOMY = 100  # from this width on keys and rests are shown beside every item


def routine_text(
    plan: dict[str, Any],
    day: dict[str, Any],
    *,
    width: int = 80,
    colour: bool = False,
    plain: bool = False,
    rate_with: str = "planner rate",
    notes_with: str = "planner sheet",
) -> str:
    """The routine of one `day` of `plan` as text.

    `width` in columns; `colour` allows bold and dim; `plain` gives one fact a line, for reading aloud.
    `rate_with` is the command that takes ratings of this day, `notes_with` the one that writes its notes.
    """
    if plain:
        from planner.show.aloud import routine_aloud

        return routine_aloud(plan, day, rate_with, notes_with)
    return page(_Routine(plan, day, width, Faces(colour)).lines(rate_with, notes_with))


@dataclass(frozen=True, slots=True)
class _Routine:
    plan: dict[str, Any]
    day: dict[str, Any]
    width: int
    faces: Faces

    def lines(self, rate_with: str, notes_with: str) -> Iterator[str]:
        yield from self.heading()
        if not self.day["items"]:
            yield from ("", about.NO_PRACTICE)
            return
        parts = say.blocks(self.day["items"])
        twice = say.in_two_goes(self.day["items"])
        for letter, members in parts:
            yield ""
            yield from self.block(letter, members, twice)
        yield ""
        yield from (self.faces.dim(line) for line in wrap(about.CAUTION, self.width))
        yield from self.how_to_rate(rate_with)
        yield from self.where_the_notes_are(notes_with)

    def heading(self) -> Iterator[str]:
        name = clean(self.plan.get("name") or self.plan["player"])
        yield from self.two_sides("", name, date_in_words(self.day["date"]))
        yield from flow((fact for _, fact in about.heading_facts(self.plan, self.day)), self.width)
        for note in about.day_notes(self.day):
            yield from (self.faces.bold(line) for line in wrap(note, self.width))
        yield from wrap(unused(self.plan, self.day), self.width) if unused(self.plan, self.day) else ()

    def two_sides(self, lead: str, left: str, right: str) -> list[str]:
        """Bold words behind `lead`, with something at the right edge of their first line or below them."""
        room = self.width - cells(lead) - cells(right) - GAP
        if room < LEAST_ROOM:
            words = indent(wrap(left, self.width - cells(lead)), lead, " " * cells(lead))
            edge_lines = (pad(line, self.width, right=True) for line in wrap(right, self.width))
            return [*map(self.faces.bold, words), *edge_lines]
        bold = [Column(cells(lead), face="bold"), Column(room, face="bold")]
        edge = Column(cells(right) + GAP, right=True)
        return side_by_side([lead, left, right], [*bold, edge], self.faces, gap=0)

    def block(self, letter: str, members: Sequence[Item], twice: frozenset[str]) -> Iterator[str]:
        first = members[0]
        seconds = sum(item["seconds"] for item in members)
        if first["kind"] == "rest":
            yield f"{INDENT}rest {clock(seconds)}"
            return
        total = kept_together(minutes(seconds) + (" with rests" if first["combination"] else ""))
        yield from self.block_head(letter, say.block_title(members), say.block_facts(members), total)
        if first["family"] == "warm-up":
            for step in about.warm_up_steps(self.plan, self.day, first):
                yield from indent(wrap(step.text, self.width - 8), f"{INDENT}{pad(step.minutes, 5)}", " " * 8)
        elif first["combination"]:
            yield from item_lines(members, twice, self.width, self.faces)

    def block_head(self, letter: str, title: str, facts: list[str], total: str) -> Iterator[str]:
        """Title, facts and minutes: on one line where there is room, else the facts below."""
        lead = f"{letter}  " if letter else ""
        together = DOT.join([title, *facts])
        if facts and cells(lead + together) + GAP + cells(total) <= self.width:
            space = pad("", self.width - cells(lead + together + total))
            yield f"{self.faces.bold(lead + title)}{together.removeprefix(title)}{space}{total}"
            return
        yield from self.two_sides(lead, title, total)
        yield from indent(flow(facts, self.width - cells(INDENT)), INDENT, INDENT)

    def how_to_rate(self, rate_with: str) -> Iterator[str]:
        examples = about.rating_examples(self.day["items"])
        if examples:
            yield from flow([f"Afterwards: {kept_together(rate_with)}", about.ENTER], self.width)
            whole = f"or item by item: {rate_with} {' '.join(examples)}"
            if cells(whole) > self.width - cells(INDENT):  # a command is never broken over two lines
                whole = f"or with items behind it: {' '.join(examples)}"
            yield from indent(wrap(whole, self.width - cells(INDENT)), INDENT, INDENT)
            facts = map(kept_together, about.rating_key(examples))
            yield from indent(flow(facts, self.width - cells(INDENT)), INDENT, INDENT)

    def where_the_notes_are(self, notes_with: str) -> Iterator[str]:
        """The command that writes out what is named above, where there is room for it on a line."""
        if not any(item["combination"] for item in self.day["items"]):
            return
        whole = f"{about.NOTES}: {notes_with}"
        if cells(whole) <= self.width:
            yield whole
        elif cells(INDENT + notes_with) <= self.width:
            yield from (*wrap(f"{about.NOTES}:", self.width), INDENT + notes_with)


def item_lines(members: Sequence[Item], twice: frozenset[str], width: int, faces: Faces) -> Iterator[str]:
    """The lines of a block's items: what to play at the left, why, and the playing time at the right edge.

    Reasons stand between them where all of the block fit there on one line, else each below its item.
    """
    rows = [_what(item, members, width) for item in members]
    times = [_times(item, width) for item in members]
    sizes = widest(rows)
    right = max(cells(time) for time in times)
    room = width - cells(INDENT) - sum(size + GAP for size in sizes if size) - right - GAP
    reasons = [say.why(item, twice) for item in members]
    beside = max(cells(why) for why in reasons) <= room
    for row, time, why in zip(rows, times, reasons, strict=True):
        if room < 0:
            yield from _stacked([*row, time, why], width)
            continue
        columns = [Column(size, face=face) for size, face in zip(sizes, FACES, strict=True)]
        columns += [Column(room), Column(right, right=True)]
        lines = side_by_side([*row, why if beside else "", time], columns, faces)
        yield from indent(lines, INDENT, INDENT)
        if not beside:
            yield from indent(wrap(why, width - cells(BELOW)), BELOW, BELOW)


def _what(item: Item, members: Sequence[Item], width: int) -> list[str]:
    """What to play, in pieces: id, place, start, and what differs within the block."""
    return [
        clean(item["id"]),
        say.where(item),
        say.keys(item) if width >= ROOMY else "",
        say.first_note(item, "from written" if width >= ROOMY else "from"),
        *say.differences(item, members),
    ]


def _times(item: Item, width: int) -> str:
    play = f"play {clock(item['play_seconds'])}"
    rest = f", rest {clock(item['pause_seconds'])}" if width >= ROOMY and item["pause_seconds"] else ""
    return kept_together(play + rest)


def _stacked(pieces: Sequence[str], width: int) -> list[str]:
    """One item below the other for very narrow screens: its pieces one after another."""
    name, *rest = (piece for piece in pieces if piece)
    return indent(flow(rest, width - cells(BELOW)), f"{INDENT}{pad(name, 4)}", BELOW)

"""The routine of a day and the days of a week as sheets for the stand.

Pure functions from a stored plan: every item carries its notation, so the figures are written out from the
plan alone. Texts are those of the screen (`items.py`, `day.py`).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from planner.brass.figures import Passage, read_figure, write_degrees, write_partials
from planner.brass.instruments import Instrument, Side, instrument
from planner.brass.keys import parse_key
from planner.brass.tempo import Meter, parse_meter
from planner.engrave.score import Style
from planner.engrave.sheet import Answer, Block, Cell, Page, Paper, Row, Sheet
from planner.show import day as about
from planner.show import items as say
from planner.show.forms import day_form_notes, item_answer
from planner.show.items import Item
from planner.show.layout import clean, kept_together
from planner.show.words import clock, date_in_words, is_cycle, minutes, pretty
from planner.show.written_out import Look, cell, signs_used


def day_sheet(plan: dict[str, Any], day: dict[str, Any], look: Look = Look()) -> Sheet:  # noqa: B008
    """The routine of one day of a plan, block by block with its figures."""
    return days_sheet([(plan, day)], look)


def days_sheet(pairs: Sequence[tuple[dict[str, Any], dict[str, Any]]], look: Look = Look()) -> Sheet:  # noqa: B008
    """A page for every plan and day of it, in their order; at least one."""
    pages = tuple(_day_page(plan, day, look) for plan, day in pairs)
    (plan, first), (_, last) = pairs[0], pairs[-1]
    until = f" to {date_in_words(last['date'])}" if last is not first else ""
    return Sheet(f"{_name(plan)}, {date_in_words(first['date'])}{until}", pages, look.paper)


def _day_page(plan: dict[str, Any], day: dict[str, Any], look: Look) -> Page:
    name = _name(plan)
    return Page(
        title=name,
        aside=date_in_words(day["date"]),
        facts=tuple(fact for _, fact in about.heading_facts(plan, day)),
        blocks=tuple(_day_blocks(plan, day, look)),
        notes=tuple(_day_notes(plan, day, look)),
        caution=about.CAUTION if day["items"] else "",
        name=f"{name} · {date_in_words(day['date'])}",
    )


def week_sheet(plan: dict[str, Any], paper: Paper = "a4") -> Sheet:
    """The days of a plan on one page: every block with its places and tempo, no notes."""
    from planner.show.week import week_facts, week_heading

    name = _name(plan)
    page = Page(
        title=name,
        aside=week_heading(plan).removeprefix(f"{name}, "),
        facts=tuple(fact for fact in week_facts(plan)[:2]),
        blocks=tuple(_day_in_week(day) for day in plan["days"]),
        caution=about.CAUTION,
        name=week_heading(plan),
    )
    return Sheet(week_heading(plan), (page,), paper)


def item_passages(item: Item, played: Instrument) -> tuple[Passage, ...]:
    """The notes of an item: one passage for each position of its cycle, or one in its key."""
    figure = read_figure(item["notation"], item_meter(item), "partials" if is_cycle(item) else "degrees")
    if is_cycle(item):
        side: Side = "B flat" if item["fingerings"][0].startswith("T") and played.is_horn else "F"
        cycle = (int(position) for position in item["place"].split("-"))
        return tuple(write_partials(figure, played, position, side) for position in cycle)
    key = parse_key(item["keys"][0])
    return (write_degrees(figure, played, key, item["lowest"], item["highest"]),)


@dataclass(frozen=True, slots=True)
class _Drawn:
    """How the items of a day are drawn: the instrument, those in two goes, the look of the sheet.

    `first`: where each combination stands for the first time, by its id.
    """

    played: Instrument
    twice: frozenset[str]
    look: Look
    first: Mapping[str, str]

    def style(self, item: Item) -> Style:
        """The look with the item's own articulation and repeats."""
        return replace(self.look.style, articulation=item["articulation"], repeated=item["passes"] > 1)


def item_meter(item: Item) -> Meter:
    """The meter of an item with its accents."""
    return parse_meter(item["meter"], tuple(item["grouping"]) or None)


def _name(plan: dict[str, Any]) -> str:
    return clean(plan.get("name") or plan["player"])


def _day_notes(plan: dict[str, Any], day: dict[str, Any], look: Look) -> Iterator[str]:
    """What the signs of the page mean."""
    if not day["items"]:
        return
    played = instrument(plan["instrument"])
    passages = [passage for item in _written(day) for passage in item_passages(item, played)]
    yield " ".join(
        [*(signs_used(passages, played, look.style) if passages else ()), "Notes are written notes."]
    )
    yield from day_form_notes(plan, day)


def _written(day: dict[str, Any]) -> list[Item]:
    return [item for item in day["items"] if item["notation"]]


def _day_blocks(plan: dict[str, Any], day: dict[str, Any], look: Look) -> Iterator[Block]:
    """Every block of a day; what is special about the day first."""
    special = about.day_notes(day)
    if special:
        yield Block(lines=tuple(("", note) for note in special))
    if not day["items"]:
        yield Block(lines=(("", about.NO_PRACTICE),))
        return
    first = {item["combination"]: clean(item["id"]) for item in reversed(day["items"])}
    drawn = _Drawn(instrument(plan["instrument"]), say.in_two_goes(day["items"]), look, first)
    for letter, members in say.blocks(day["items"]):
        yield _block(plan, day, letter, members, drawn)


def _block(
    plan: dict[str, Any], day: dict[str, Any], letter: str, members: Sequence[Item], drawn: _Drawn
) -> Block:
    """One block with its figures, or a rest."""
    first = members[0]
    seconds = sum(item["seconds"] for item in members)
    if first["kind"] == "rest":
        return Block(lines=(("", f"rest {clock(seconds)}"),))
    steps = about.warm_up_steps(plan, day, first) if first["family"] == "warm-up" else ()
    total = minutes(seconds) + (" with rests" if first["combination"] else "")
    return Block(
        title=say.block_title(members),
        letter=letter,
        aside=total,
        facts=tuple(fact for fact in say.block_facts(members)),
        lines=tuple((f"{step.minutes} min", step.text) for step in steps),
        rows=tuple(_rows([item for item in members if item["notation"]], members, drawn)),
    )


def _rows(items: Sequence[Item], members: Sequence[Item], drawn: _Drawn) -> Iterator[Row]:
    """The items of a block: a row for each cycle of positions, items in one key side by side.

    A second go is one line that names the first: its figure stands there.
    """
    if not items:  # own music has no figure, and is rated all the same
        answers = ((item, item_answer(item)) for item in members if item["go"] == 1)
        yield from (_line(item, members, answer) for item, answer in answers if answer)
        return
    first, again = ([item for item in items if (item["go"] > 1) is second] for second in (False, True))
    if any(is_cycle(item) for item in items):
        yield from (_cycle_row(item, members, drawn) for item in first)
    elif first:
        yield Row(tuple(_key_cell(item, members, drawn) for item in first))
    if again:
        yield _again(again, drawn)


def _line(item: Item, members: Sequence[Item], answer: Answer) -> Row:
    """An item without a figure; own music, which its block names, on the line of its answer."""
    if item["combination"]:
        return Row((), _head(item, members), answer=answer)
    first, *others = answer.choices
    named = replace(first, lead=f"{clean(item['id'])}  {first.lead}".rstrip())
    return Row((), answer=replace(answer, choices=(named, *others)))


def _again(items: Sequence[Item], drawn: _Drawn) -> Row:
    """The second goes of a block on one line: "B3 again as B1, B4 as B2"."""
    words = (f"{clean(item['id'])} as {drawn.first[item['combination']]}" for item in items)
    seconds = sorted({item["play_seconds"] for item in items})
    played = " to ".join(dict.fromkeys(clock(one) for one in (seconds[0], seconds[-1])))
    return Row((), f"Again: {', '.join(map(kept_together, words))}", kept_together(f"play {played}"))


def _head(item: Item, members: Sequence[Item], keys: str = "") -> str:
    """What to play, in bold over the figure."""
    pieces = [say.where(item), keys, say.first_note(item), *say.differences(item, members)]
    return f"{clean(item['id'])}  " + "  ".join(piece for piece in pieces if piece)


def _why(item: Item, twice: frozenset[str]) -> str:
    """State and reason, and how long it is played."""
    played = kept_together(f"play {clock(item['play_seconds'])}")
    return f"{say.why(item, twice)} · {played}".removeprefix(" · ")


def _key_cell(item: Item, members: Sequence[Item], drawn: _Drawn) -> Cell:
    """One item in one key."""
    passage = item_passages(item, drawn.played)[0]
    why = _why(item, drawn.twice)
    found = cell(passage, drawn.played, item_meter(item), drawn.style(item), "", why)
    return replace(found, title=_head(item, members), answer=item_answer(item))


def _cycle_row(item: Item, members: Sequence[Item], drawn: _Drawn) -> Row:
    """One item through its positions."""
    title, aside = _head(item, members, say.keys(item)), _why(item, drawn.twice)
    cells = tuple(
        replace(cell(passage, drawn.played, item_meter(item), drawn.style(item), pretty(key)), label="")
        for passage, key in zip(item_passages(item, drawn.played), item["keys"], strict=True)
    )
    return Row(cells, title, aside, answer=item_answer(item))


def _day_in_week(day: dict[str, Any]) -> Block:
    """One day of a week in a few lines."""
    used, free = round(day["seconds_used"] / 60), round(day["seconds_free"] / 60)
    notes = tuple(("", note) for note in about.day_notes(day))
    lines = tuple(
        (letter, _block_in_week(members))
        for letter, members in say.blocks(day["items"])
        if members[0]["kind"] != "rest"
    )
    return Block(
        title=date_in_words(day["date"], year=False),
        aside=f"{used} of {free} min" if day["items"] else "",
        lines=(*notes, *lines) if day["items"] else (*notes, ("", about.NO_PRACTICE)),
    )


def _block_in_week(members: Sequence[Item]) -> str:
    """A block as one line: title, places, tempo, minutes."""
    first = members[0]
    places = dict.fromkeys(say.where(item) for item in members) if first["combination"] else ()
    pieces = [
        say.block_title(members),
        ", ".join(places),
        first["articulation"] if say.shared(members, "articulation") else "",
        say.target(first) if say.shared(members, *say.TEMPO) else "",
        minutes(sum(item["seconds"] for item in members)),
    ]
    return " · ".join(piece for piece in pieces if piece)

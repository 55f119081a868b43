"""How `planner rate` goes: the question, the words, what is stored and what is said afterwards."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import typer

from planner.cli.desk import Desk
from planner.cli.run import put, say, screen
from planner.cli.sheet import sheet_for
from planner.cli.stored_words import Items, by_letter, rest_lines, stored_line
from planner.diary.rating import Rating
from planner.diary.shorthand import Entry, Sheet, WordsError, ratings_of, read_sheet, read_words
from planner.diary.values import OWN_MUSIC, Target
from planner.errors import BadData, Fault, NoInput, UsageError

MOST_DAYS = 3
QUESTION = "All clean as marked? (Enter = yes, or the exceptions, e.g. {})"
NO = ("n", "no", "q", "quit")
YES = ("", "y", "yes")


def not_ahead(place: Desk) -> None:
    """`UsageError` for a day further ahead than tomorrow: what was not played yet cannot be rated."""
    if place.day > place.clock + timedelta(days=1):
        ahead = (place.day - place.clock).days
        raise UsageError(
            f"{place.day} lies {ahead} days ahead: nothing can be rated there yet",
            f"today is {place.clock}; name the day on which it was played with --date",
        )


def rate_day(place: Desk, line: str, *, rest_clean: bool, again: str) -> None:
    """Rates one day by the words of a line, or asks; `again` is the option to type with the next command."""
    player = place.player()
    sheet = sheet_for(place, player)(place.day)
    before = _there(place)
    if line or rest_clean:
        if rest_clean:
            _need_routine(sheet)
        entries = read_words(line, sheet)
        told = False
    else:
        asked = _ask(place, sheet, rated=any(rating.day == place.day for rating in before))
        if asked is None:
            put("Nothing was stored.")
            return
        entries, rest_clean, told = asked, True, True
    ratings = ratings_of(entries, sheet, rest_clean=rest_clean)
    _store(place, ratings, "rate")
    rest = _rest(sheet, entries) if rest_clean else ()
    put(_summary(place, sheet, entries, ratings, rest, told=told))
    if rest or any(target.block for entry in entries for target in entry.targets):
        _say_printed(place, place.day)
    _say_replaced(before, ratings)
    put(f"Next: planner today{again}")


def rate_sheet(place: Desk, source: str) -> None:
    """Rates by a whole paper sheet, a file or "-" for standard input."""
    text, name = text_of(source)
    filled = read_sheet(text, name, sheet_for(place, place.player()), place.day)
    lines, ratings = filled.lines, filled.ratings
    if not ratings and not _any_words(text):
        raise BadData((Fault(name, 1, 1, "nothing stands in it", "one rating a line: 2026-09-03 B2=4"),))
    before = _there(place)
    _store(place, ratings, f"sheet {Path(name).name}")
    days = sorted({rating.day.isoformat() for rating in ratings})
    when = "" if not days else f" for {days[0]}" if len(days) == 1 else f" for {days[0]} to {days[-1]}"
    put(f"Stored {_number(len(ratings))}{when}{':' if lines else '.'}")
    for day, entry in lines:
        dated = f"{day.isoformat()}  " if len({one for one, _ in lines}) > 1 else ""
        put("\n".join(stored_line(entry, _items(place, day), screen().width, dated)))
    for day in sorted({day for day, entry in lines if any(one.block for one in entry.targets)}):
        _say_printed(place, day)
    _say_replaced(before, ratings)


def _any_words(text: str) -> bool:
    """Whether anything is said in a sheet beside dates and remarks."""
    return any("=" in line.partition("#")[0] for line in text.splitlines())


def _there(place: Desk) -> tuple[Rating, ...]:
    """What the diary holds of the player."""
    from planner.diary.store import Diary

    with Diary.open(place.data) as book:
        return book.ratings(place.player_id)


def _say_replaced(before: Iterable[Rating], ratings: Iterable[Rating]) -> None:
    """That a day was rated before, and what becomes of what stood there; nothing for a fresh day."""
    there, now = ({(r.day, r.combination, r.articulation) for r in found} for found in (before, ratings))
    days = sorted({day for day, _, _ in there} & {day for day, _, _ in now})
    if not days:
        return
    named = _days_in_words(days)
    taken = len(there & now)
    if taken:
        one = taken == 1
        what = "1 earlier rating is replaced" if one else f"{taken} earlier ratings are replaced"
        put(f"{named} before: {what}; planner undo brings {'it' if one else 'them'} back.")
    else:
        put(f"{named} before: these stand beside what was rated then.")


def _days_in_words(days: Sequence[date]) -> str:
    from planner.show.words import date_in_words

    names = [date_in_words(day.isoformat(), year=False) for day in days[:MOST_DAYS]]
    more = f" and {len(days) - MOST_DAYS} more days" if len(days) > MOST_DAYS else ""
    return f"{', '.join(names)}{more} {'was' if len(days) == 1 else 'were'} rated"


def _store(place: Desk, ratings: tuple[Rating, ...], source: str) -> None:
    from planner.diary.history import record

    record(place.data, place.player(), ratings, source, monday=place.monday, today=place.clock)


def _ask(place: Desk, sheet: Sheet, *, rated: bool) -> tuple[Entry, ...] | None:
    """The exceptions, asked for until they are understood; None for a no."""
    _need_routine(sheet)
    if sys.stdin is None or not sys.stdin.isatty():
        raise UsageError(
            "there is no terminal to ask what was clean",
            f"planner rate {_examples(place).split()[0]}, --rest-clean, or --from -",
        )
    put(_listing(place, sheet))
    if rated:
        put("This day was rated before: what you rate now replaces it; planner undo brings it back.")
    question = QUESTION.format(_examples(place))
    while True:
        answer = typer.prompt(question, default="", show_default=False, prompt_suffix=" ").strip()
        if answer.lower() in NO:
            return None
        try:
            return () if answer.lower() in YES else read_words(answer, sheet)
        except WordsError as error:
            say("\n".join(error.faults))


def _examples(place: Desk) -> str:
    """Words that rate things of this day's own routine: "B2=108 C1=4 D1=skip"."""
    from planner.diary.plans import day_items
    from planner.show.day import rating_examples

    return " ".join(rating_examples(day_items(place.data, place.player_id, place.day) or ()))


def _need_routine(sheet: Sheet) -> None:
    if not any(target.is_rated for target in sheet.targets):
        raise NoInput(
            f"no routine with anything to rate is stored for {sheet.day}",
            "planner today plans one; any combination can be rated by its id",
        )


def _listing(place: Desk, sheet: Sheet) -> str:
    """The day's items that are rated, one a line, each with its mark."""
    from planner.diary.plans import day_items
    from planner.show import items as shown
    from planner.show.words import date_in_words

    rated = {target.name for target in sheet.targets if target.is_rated}
    rows = [
        (item["id"], _title(item), shown.where(item), item["articulation"], shown.target(item))
        for item in day_items(place.data, place.player_id, place.day) or ()
        if item["id"] in rated and item["go"] == 1
    ]
    widths = [max(len(row[at]) for row in rows) for at in range(5)]
    lines = ("  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)) for row in rows)
    return "\n".join((date_in_words(place.day.isoformat()), *(line.rstrip() for line in lines)))


def _title(item: dict[str, Any]) -> str:
    """Exercise and pattern, as on the stand; the title of own music."""
    from planner.show.items import title
    from planner.show.layout import clean

    return title(item) if item["family"] == OWN_MUSIC else f"{title(item)} {clean(item['pattern'])}"


def _items(place: Desk, day: date) -> Items:
    """The items of a day's routine by their letters."""
    from planner.diary.plans import day_items

    return by_letter(day_items(place.data, place.player_id, day) or ())


def _rest(sheet: Sheet, entries: Sequence[Entry]) -> tuple[Target, ...]:
    """The items that were not named, of two goes one."""
    named = {target.combination for entry in entries for target in entry.targets}
    found: dict[str, Target] = {}
    for one in sheet.targets:
        if one.is_rated and one.combination not in named:
            found.setdefault(one.combination, one)
    return tuple(found.values())


def _summary(
    place: Desk,
    sheet: Sheet,
    entries: tuple[Entry, ...],
    ratings: tuple[Rating, ...],
    rest: tuple[Target, ...],
    *,
    told: bool,
) -> str:
    """What was stored, a line for every word; `told`: the routine was listed just before."""
    items, width = _items(place, sheet.day), screen().width
    lines = [f"Stored {_number(len(ratings))} for {sheet.day}{':' if entries or rest else '.'}"]
    for entry in entries:
        lines += stored_line(entry, items, width)
    lines += rest_lines(rest, items, width, told=told)
    if sheet.limited and ratings:
        lines.append("They lie inside a limit and lower no estimate.")
    return "\n".join(lines)


def _say_printed(place: Desk, day: date) -> None:
    """That letters were those of a sheet printed before the plan of its day changed."""
    from planner.diary.plans import standing_day
    from planner.diary.printed import load_printed, same_letters

    printed = load_printed(place.data, place.player_id, day)
    now = standing_day(place.data, place.player_id, day)
    if printed is not None and now is not None and not same_letters(printed, now):
        put(f"The letters are those of the sheet printed for {day}; its plan has changed since.")


def _number(ratings: int) -> str:
    return "1 rating" if ratings == 1 else f"{ratings} ratings"


def text_of(source: str) -> tuple[str, str]:
    """Text and name of a file to read; "-" is standard input, `NoInput` where that is closed."""
    from planner.diary.exchange import decoded, read_file

    if source != "-":
        return read_file(Path(source)), source
    if sys.stdin is None:
        raise NoInput("there is no standard input to read from", "name a file")
    raw = getattr(sys.stdin, "buffer", None)
    name = "standard input"
    return (sys.stdin.read() if raw is None else decoded(raw.read(), name)), name

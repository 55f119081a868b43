"""The commands that write down what happened, and the way in and out of the diary."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from planner.cli.desk import Desk, desk, refuse_a_shared_diary
from planner.cli.judging import judge_of
from planner.cli.rating import not_ahead, rate_day, rate_sheet, text_of
from planner.cli.run import put, say
from planner.cli.target import SCREEN, put_file, target
from planner.diary.rating import Rating
from planner.errors import UsageError

if TYPE_CHECKING:
    from planner.diary.pins import Pin
    from planner.diary.store import Diary

PlayerOption = Annotated[
    str | None, typer.Option("--player", help="A player file or id; else the one in this folder.")
]
DateOption = Annotated[
    str | None, typer.Option("--date", help="The day that is rated, like 2026-09-07; else today.")
]
DiaryOption = Annotated[str | None, typer.Option("--diary", help="The folder of the diary.")]


def rate(
    words: Annotated[
        list[str] | None,
        typer.Argument(metavar="[WORD]...", help="B2=108, C1=3, D=skip, rolling-fives/a/5-6-7/slurred=4@96"),
    ] = None,
    player: PlayerOption = None,
    date: DateOption = None,
    rest_clean: Annotated[
        bool, typer.Option("--rest-clean", help="Rate every item not named as clean at its mark.")
    ] = False,
    source: Annotated[
        str | None,
        typer.Option("--from", help="A file of ratings, one a line, a date before it; - is standard input."),
    ] = None,
    diary: DiaryOption = None,
) -> None:
    """Write down what was clean.

    \b
    planner rate                        shows the routine and asks once: Enter = all clean as marked
    planner rate B2=108 C1=3 D=skip     only what is named; --rest-clean rates the others as clean
    planner rate scales/up/d-major=4@96 any combination by its id; /slurred behind it where another
                                        articulation is meant than the one planned last
    planner rate --from sheet.txt       a whole paper sheet: 2026-09-03 scales/up/d-major/slurred=4@96

    \b
    B2=108   the highest mark that was clean (40 to 208)      A1=14s       held steady, in seconds
    C1=3     1 fell apart, 2 uneven, 3 nearly, 4 clean,       D1=G5        top note that spoke softly
             5 comfortable, at the tempo asked for            C2=yes, no   bend reached and centred
    C1=4@96  the same at another mark                         E1=in, out   in its tempo band
    D=skip   not played; a letter alone is the whole block    B1=played    played, not rated
    """  # noqa: D301 - the backspace keeps typer from folding the table
    place = desk(player, date, diary)
    not_ahead(place)
    refuse_a_shared_diary(place)
    if source is not None:
        if words or rest_clean:
            raise UsageError("--from stands alone: words and --rest-clean go without it")
        rate_sheet(place, source)
    else:
        rate_day(place, " ".join(words or ()), rest_clean=rest_clean, again=_again(player))


def undo(player: PlayerOption = None, diary: DiaryOption = None) -> None:
    """Take back what was written last: a rate, import, rebalance, refit, pin or term. No rating is lost."""
    from planner.diary.store import Diary

    place = desk(player, None, diary)
    with Diary.open(place.data, place.clock) as book:
        taken = _taken_back(place, book)
    for line in (*book.damaged, *book.warnings):
        say(line)
    put(f"Taken back: {taken}." if taken else "There is nothing to take back.")


def _taken_back(place: Desk, book: Diary) -> str:
    """Takes back what came last and says what it was; "" where there is nothing."""
    from planner.cli.scales import written_so_far
    from planner.diary import sizes
    from planner.diary.pins import last_step, undo_pins
    from planner.diary.plans import drop_term, term_after
    from planner.diary.told import described, take_back, tellings

    data, player = place.data, place.player_id
    told, last, steps = tellings(data, player), book.last_batch(player), last_step(data, player)
    written = (last, steps, len(told), sizes.steps_taken(data, player))
    before_term = term_after(data, player)
    if before_term == written:
        drop_term(data, player)
        return "the term stored last"
    refitted = sizes.take_back(data, player, written_so_far(place))
    if refitted:
        return refitted
    if before_term == written[:3]:  # stored before terms knew of refits
        drop_term(data, player)
        return "the term stored last"
    newest = told[-1] if told else None
    if newest and newest.after >= last and newest.pins >= steps:
        return described(take_back(data, player))
    return undo_pins(data, player, last) or book.undo(player)


diary_app = typer.Typer(
    add_completion=False,
    rich_markup_mode=None,
    no_args_is_help=True,
    help="Export, import, back up or restore what happened.",
)


@diary_app.command("export")
def export(
    player: PlayerOption = None,
    to: Annotated[
        str | None, typer.Option("--to", help="A .csv or .json file; - or none: standard output.")
    ] = None,
    form: Annotated[
        str | None, typer.Option("--format", help="csv or json; else by the name of the file.")
    ] = None,
    diary: DiaryOption = None,
) -> None:
    """Give out every rating of a player as CSV or JSON; the pins that stand go into the JSON."""
    from planner.diary.exchange import to_csv, to_json
    from planner.diary.history import history
    from planner.diary.pins import pins
    from planner.show.words import counted

    place = desk(player, None, diary)
    chosen = (form or ("json" if str(to or "").lower().endswith(".json") else "csv")).lower()
    if chosen not in ("csv", "json"):
        raise UsageError(f"there is no format {chosen[:40]!r}", "csv or json")
    path = None if to in (None, SCREEN) else target(str(to), (f".{chosen}",), f"a diary as {chosen.upper()}")
    ratings = history(place.data, place.player(), place.monday)
    fixed = pins(place.data, place.player_id, say)
    if fixed and chosen == "csv":
        say("pins do not go into a CSV file (planner diary export --format json has them)")
    text = to_csv(ratings) if chosen == "csv" else to_json(place.player_id, ratings, place.monday, fixed)
    if path is None:
        put(text)
        return
    put_file(path, text, private=True)
    put(f"{counted(len(ratings), 'rating')} written to {to}.")


@diary_app.command("import")
def import_(
    file: Annotated[str, typer.Argument(help="A CSV or JSON file of ratings; - is standard input.")],
    player: PlayerOption = None,
    keep_unknown: Annotated[
        bool, typer.Option("--keep-unknown", help="Also what the player's curriculum does not know.")
    ] = False,
    diary: DiaryOption = None,
) -> None:
    """Take in ratings from CSV or JSON, whole or not at all.

    A day ahead, a combination that the player's curriculum does not know, a measure that the exercise does
    not have and a row that says nothing are refused, each with its line and column.

    Those already there are passed over, pins of a JSON file too. What planner diary export gave out is a
    whole diary: into an empty one it goes as it is, without the file of earlier ratings that the player
    file names.
    """
    from planner.diary.exchange import from_text, is_whole_diary, monday_in, pins_in
    from planner.diary.history import record
    from planner.diary.store import Diary
    from planner.show.words import counted

    place = desk(player, None, diary)
    refuse_a_shared_diary(place)
    text, name = text_of(file)
    with Diary.open(place.data) as book:
        there = {_key(one): one for one in book.ratings(place.player_id)}
    judge = judge_of(place, there.values(), keep_unknown=keep_unknown)
    last = {_key(one): one for one in from_text(text, name, monday=place.monday, judge=judge)}
    fixed = _new_pins(place, pins_in(text, name))
    fresh = [one for key, one in last.items() if there.get(key) != one]
    record(
        place.data,
        place.player(),
        fresh,
        f"import {Path(name).name}",
        monday=monday_in(text, name) or place.monday,
        today=place.clock,
        whole=is_whole_diary(text),
    )
    there_already = len(last) - len(fresh)
    was = "was" if there_already == 1 else "were"
    put(f"{counted(len(fresh), 'rating')} taken in, {there_already} {was} there already.")
    if fixed:
        _pin_again(place, fixed)
    if fresh or fixed:
        both = "planner undo takes back the pins, once more the ratings."
        put(both if fresh and fixed else "planner undo takes them back.")


def _new_pins(place: Desk, found: tuple[Pin, ...]) -> tuple[Pin, ...]:
    """Those of the pins that do not stand already."""
    from planner.diary.pins import pins

    standing = pins(place.data, place.player_id, say)
    return tuple(one for one in dict.fromkeys(found) if one not in standing)


def _pin_again(place: Desk, fixed: tuple[Pin, ...]) -> None:
    """Pins from a file, as one step of their own after its ratings."""
    from planner.diary.pins import change_pins
    from planner.diary.store import Diary

    with Diary.open(place.data) as book:
        last = book.last_batch(place.player_id)
    change_pins(place.data, place.player_id, pinned=fixed, after_batch=last)
    number = "1 pin" if len(fixed) == 1 else f"{len(fixed)} pins"
    put(f"{number} taken in.")


@diary_app.command("backup")
def backup(diary: DiaryOption = None) -> None:
    """Make a copy of the diary, all players with their pins and missed days, beside the daily ones."""
    from planner.diary.backup import by_hand

    put(f"Copied to {by_hand(*_folder_and_clock(diary))}.")


@diary_app.command("restore")
def restore(
    name: Annotated[str | None, typer.Argument(help="A copy by its name or day, or a file.")] = None,
    diary: DiaryOption = None,
) -> None:
    """Put a copy in the place of the diary.

    It goes for all players in it. Without a name the copies are listed. What stood there before is kept.
    """
    from planner.diary import backup as copies

    folder, clock = _folder_and_clock(diary)
    if name is None:
        found = [path.stem for path in copies.backups(folder)]
        put("\n".join(found) if found else "There are no copies yet.")
        return
    kept = copies.restore(folder, copies.find(folder, name), clock)
    put(f"Restored from {name}." + (f" What stood there before: {kept.name}." if kept else ""))


def _again(player: str | None) -> str:
    """The option to type again, where one was needed."""
    import shlex

    return "" if player is None else f" --player {shlex.quote(player)}"


def _key(rating: Rating) -> tuple[Any, ...]:
    return rating.day, rating.combination, rating.articulation


def _folder_and_clock(diary: str | None) -> tuple[Path, Any]:
    from datetime import date

    from planner.paths import data_folder

    return data_folder(diary), date.today()  # noqa: DTZ011 - the calendar on the wall

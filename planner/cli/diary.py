"""The commands that write down what happened, and the way in and out of the diary."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from planner.cli.desk import desk
from planner.cli.rating import rate_day, rate_sheet, text_of
from planner.cli.run import put, say
from planner.diary.rating import Rating
from planner.errors import UsageError

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
    if source is not None:
        if words or rest_clean:
            raise UsageError("--from stands alone: words and --rest-clean go without it")
        rate_sheet(place, source)
    else:
        rate_day(place, " ".join(words or ()), rest_clean=rest_clean, again=_again(player))


def undo(player: PlayerOption = None, diary: DiaryOption = None) -> None:
    """Take back what was written last: a rate, import, rebalance, pin, unpin or term. No rating is lost."""
    from planner.diary.pins import last_step, undo_pins
    from planner.diary.plans import drop_term, term_after
    from planner.diary.store import Diary
    from planner.diary.told import described, take_back, tellings

    place = desk(player, None, diary)
    told = tellings(place.data, place.player_id)
    with Diary.open(place.data, place.clock) as book:
        last = book.last_batch(place.player_id)
        newest = told[-1] if told else None
        steps = last_step(place.data, place.player_id)
        if term_after(place.data, place.player_id) == (last, steps, len(told)):
            drop_term(place.data, place.player_id)
            taken = "the term stored last"
        elif newest and newest.after >= last and newest.pins >= steps:
            taken = described(take_back(place.data, place.player_id))
        else:
            taken = undo_pins(place.data, place.player_id, last) or book.undo(place.player_id)
    for line in (*book.damaged, *book.warnings):
        say(line)
    put(f"Taken back: {taken}." if taken else "There is nothing to take back.")


diary_app = typer.Typer(
    add_completion=False,
    rich_markup_mode=None,
    no_args_is_help=True,
    help="Export, import, back up or restore what happened.",
)


@diary_app.command("export")
def export(
    player: PlayerOption = None,
    to: Annotated[str | None, typer.Option("--to", help="A file; else standard output.")] = None,
    form: Annotated[
        str | None, typer.Option("--format", help="csv or json; else by the name of the file.")
    ] = None,
    diary: DiaryOption = None,
) -> None:
    """Give out every rating of a player as CSV or JSON."""
    from planner.diary.exchange import to_csv, to_json
    from planner.diary.files import write_whole
    from planner.diary.history import history

    place = desk(player, None, diary)
    chosen = (form or ("json" if str(to or "").lower().endswith(".json") else "csv")).lower()
    if chosen not in ("csv", "json"):
        raise UsageError(f"there is no format {chosen[:40]!r}", "csv or json")
    ratings = history(place.data, place.player(), place.monday)
    text = to_csv(ratings) if chosen == "csv" else to_json(place.player_id, ratings, place.monday)
    if to is None:
        put(text)
        return
    write_whole(Path(to), text)
    put(f"{len(ratings)} ratings written to {to}.")


@diary_app.command("import")
def import_(
    file: Annotated[str, typer.Argument(help="A CSV or JSON file of ratings; - is standard input.")],
    player: PlayerOption = None,
    diary: DiaryOption = None,
) -> None:
    """Take in ratings from CSV or JSON, whole or not at all.

    Those already there are passed over. What planner diary export gave out is a whole diary: into an
    empty one it goes as it is, without the file of earlier ratings that the player file names.
    """
    from planner.diary.exchange import from_text, is_whole_diary, monday_in
    from planner.diary.history import record
    from planner.diary.store import Diary

    place = desk(player, None, diary)
    text, name = text_of(file)
    last = {_key(one): one for one in from_text(text, name, monday=place.monday)}
    with Diary.open(place.data) as book:
        there = {_key(one): one for one in book.ratings(place.player_id)}
    fresh = [one for key, one in last.items() if there.get(key) != one]
    record(
        place.data,
        place.player(),
        fresh,
        f"import {Path(name).name}",
        monday=monday_in(text) or place.monday,
        today=place.clock,
        whole=is_whole_diary(text),
    )
    there_already = len(last) - len(fresh)
    put(f"{len(fresh)} ratings taken in, {there_already} were there already.")
    if fresh:
        put("planner undo takes them back.")


@diary_app.command("backup")
def backup(diary: DiaryOption = None) -> None:
    """Make a copy of the diary, all players, beside the daily ones."""
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

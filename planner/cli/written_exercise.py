"""`planner figure CURRICULUM/EXERCISE`: an exercise of a curriculum in all its places, no player needed."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from planner.brass.instruments import Instrument, Side, instrument
from planner.cli.printing import Wanted, write_figures
from planner.cli.run import put
from planner.errors import UsageError
from planner.paths import find_curriculum, shipped_curricula

if TYPE_CHECKING:
    from planner.inputs.curriculum import Curriculum, Exercise
    from planner.show.written_out import Look

# what an exercise brings along, and a figure from the command line does not
ITS_OWN = (
    *("degrees", "meter", "grouping", "starts", "cycle", "keys", "concert", "octave", "tempo", "beat"),
    *("passes", "level"),
)
USUAL = "trumpet"  # as with any other figure


@dataclass(frozen=True, slots=True)
class Writing:
    """How an exercise is to be written out: instruments as typed ("" for the usual), columns of the text."""

    instruments: str
    side: Side
    look: Look
    wanted: Wanted
    width: int


def names_an_exercise(text: str | None) -> bool:
    """Whether the word is CURRICULUM/EXERCISE; a figure has no slash."""
    return text is not None and "/" in text and len(text.split()) == 1


def write_exercise(name: str, how: Writing, context: typer.Context) -> None:
    """Prints the exercise, or writes it as the sheets that are wanted."""
    _nothing_of_its_own(context)
    found = _exercise(name)
    named = instruments_named(how.instruments)
    instruments = named or [instrument(word) for word in found.instruments or (USUAL,)]
    if not how.wanted.any:
        from planner.show.exercise_text import exercise_text

        put(exercise_text(found, instruments, how.side, how.width))
        return
    from planner.diary.files import safe_name
    from planner.show.exercise_pages import exercise_sheet, reader_of

    readers = [replace(reader_of(played, found), side=how.side) for played in instruments]
    write_figures(exercise_sheet(found, readers, how.look), how.wanted, safe_name(found.id))


def exercise_named(curriculum: Curriculum, wanted: str) -> Exercise:
    """The exercise with this id; UsageError with the nearest ids where there is none."""
    ids = [one.id for one in curriculum.exercises]
    if wanted not in ids:
        raise UsageError(f"{curriculum.title} has no exercise {wanted[:40]!r}", _near(wanted, ids))
    return curriculum.exercise(wanted)


def _near(wanted: str, known: list[str]) -> str:
    from difflib import get_close_matches

    near = get_close_matches(wanted, known, n=3, cutoff=0.5)
    return f"did you mean {' or '.join(near)}?" if near else f"one of {', '.join(known[:12])}"


def instruments_named(text: str) -> list[Instrument]:
    """The instruments of a list with commas, in its order; "all" is every one, "" is none."""
    from planner.brass.instruments import INSTRUMENTS

    if text.strip() == "all":
        return list(INSTRUMENTS.values())
    return [instrument(word.strip()) for word in text.split(",") if word.strip()]


def exercise_hint(text: str) -> str:
    """Where a word that is no figure is an exercise of a curriculum that ships: its whole name, else ""."""
    from planner.inputs.read import read_curriculum

    if not re.fullmatch("[a-z][a-z0-9-]+", text):
        return ""
    for path in sorted(shipped_curricula().glob("*.toml")):
        if text in {one.id for one in read_curriculum(path).exercises}:
            return f"did you mean {path.stem}/{text}?"
    return ""


def _nothing_of_its_own(context: typer.Context) -> None:
    given = []
    for option in ITS_OWN:
        source = context.get_parameter_source(option)
        if source is not None and source.name == "COMMANDLINE":
            given.append(f"--{option}")
    if given:
        one = len(given) == 1
        raise UsageError(
            f"{' and '.join(given)} {'belongs' if one else 'belong'} to a figure of your own",
            "an exercise has its meter, places and tempos in its curriculum",
        )


def _exercise(name: str) -> Exercise:
    from planner.inputs.read import read_curriculum

    curriculum, _, wanted = name.rpartition("/")
    if not curriculum or not wanted:
        raise UsageError(f"{name[:60]!r} names no exercise", "write it like trumpet-cornet/spindle")
    path = find_curriculum(curriculum, Path.cwd() / "player.toml")
    return exercise_named(read_curriculum(path), wanted)

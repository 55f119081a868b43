"""A sound curriculum and a sound player file, and what the reader says when one thing in them is changed."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from planner.errors import BadData
from planner.inputs.curriculum import Curriculum
from planner.inputs.player import Player
from planner.inputs.read import curriculum_from, player_from

MONDAY = date(2026, 9, 7)

TERM = """\
[curriculum]
id = "term"
title = "Autumn on the hill"
weeks = 6

[[exercise]]
id = "seesaw"
title = "Seesaw"
family = "flexibility"
weeks = [1, 2]
meter = "5/8"
grouping = [2, 3]
tempo = { beat = "eighth", first = 88, goal = 160 }
passes = 4
cycle = 3
starts = [1, 3, 5]
articulations = ["slurred", "tongued"]

[[exercise.pattern]]
name = "a"
partials = "4e> 5 6 5 4"

[[exercise]]
id = "stairs"
title = "Stairs"
family = "scales"
weeks = [3]
meter = "4/4"
tempo = { slurred = { beat = "quarter", first = 60, goal = 120 } }
articulations = ["slurred"]
keys = ["C", "Bb", "g melodic minor"]
after = ["seesaw"]

[[exercise.pattern]]
name = "up"
degrees = "1q 2 3 4 | 5 4 3 2"
"""

PLAYER = """\
id = "mina"
name = "Mina"
instrument = "trumpet"
level = "intermediate"
curriculum = "term"
starts = 2026-09-07
range = ["G3", "G5"]
minutes = { monday = 40, wednesday = 25 }

[[date]]
kind = "concert"
date = 2026-10-03

[[limit]]
title = "braces"
from = 2026-09-07
until = 2026-09-20
top_note = "E5"

[[music]]
title = "Slow air"
minutes = 10
days = ["monday"]
band = [60, 66]

[[playing]]
title = "town band"
days = ["tuesday"]
minutes = 90
"""


def changed(text: str, old: str, new: str) -> str:
    """The text with `old`, which stands in it exactly once, replaced."""
    assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times"
    return text.replace(old, new)


def term(old: str = "", new: str = "") -> Curriculum:
    """TERM, perhaps with one thing changed."""
    return curriculum_from(changed(TERM, old, new) if old else TERM, "term.toml")


def player(old: str = "", new: str = "", monday: date = MONDAY) -> Player:
    """PLAYER, perhaps with one thing changed."""
    return player_of(changed(PLAYER, old, new) if old else PLAYER, monday)


def player_of(text: str, monday: date = MONDAY) -> Player:
    """The player in a text."""
    return player_from(text, "mina.toml", Path(), monday)


def said_of_term(old: str, new: str) -> list[str]:
    """What the reader says of TERM with one thing changed; [] where it is sound."""
    return said_of_curriculum(changed(TERM, old, new))


def said_of_curriculum(text: str) -> list[str]:
    """What the reader says of a curriculum text."""
    try:
        curriculum_from(text, "term.toml")
    except BadData as trouble:
        return [str(fault) for fault in trouble.faults]
    return []


def said_of_player(old: str, new: str) -> list[str]:
    """What the reader says of PLAYER with one thing changed; [] where it is sound."""
    return said_of_player_text(changed(PLAYER, old, new))


def said_of_player_text(text: str) -> list[str]:
    """What the reader says of a player text."""
    try:
        player_of(text)
    except BadData as trouble:
        return [str(fault) for fault in trouble.faults]
    return []


def cases(path: Path) -> dict[str, tuple[str, str, str]]:
    """The cases of a table of faults: by name what is changed, into what, and what is said of it."""
    found = {}
    for block in path.read_text(encoding="utf-8").split("\n\n")[1:]:
        name, old, new, *said = block.strip("\n").split("\n")
        assert (old[:3], new[:3]) == ("  -", "  +"), name
        found[name] = (
            old[4:].replace("⏎", "\n"),
            new[4:].replace("⏎", "\n"),
            " ".join(line.strip() for line in said),
        )
    return found

"""Curricula and players made by chance, from files as people write them: the same seed, the same term."""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import date
from pathlib import Path

from planner.horizon.term_request import TermRequest
from planner.inputs.curriculum import Curriculum
from planner.inputs.player import Player
from planner.inputs.read import curriculum_from, player_from

MONDAY = date(2026, 9, 7)
SHA = "0" * 64
SHAPES = ("4e 5 6 5 4 5 6 4", "2e 3 4 3 2 3 4 2", "3e 4 5 4 3 4 5 3", "5e 6 5 4 5 6 5 4")
SCALES = ("1e 2 3 4 5 4 3 2", "1e 3 2 4 3 5 4 2", "1e 3 5 8 5 3 1 3", "5e 4 3 2 1 2 3 4")
FAMILIES = (
    "flexibility",
    "scales",
    "articulation",
    "arpeggios",
    "flexibility",
    "intervals",
    "scales",
    "range",
)
KEYS = ("C", "F", "Bb", "Eb", "Ab", "Db", "G", "D", "A", "E", "B", "F#")


def term_of(seed: int, size: int | None = None, weeks: int | None = None) -> TermRequest:
    """The request for a whole term of chance; `size` combinations about, of `weeks` weeks."""
    chance = random.Random(seed)
    weeks = weeks or chance.choice((8, 10, 12, 16))
    minutes = chance.choice((30, 40, 45, 60))
    days = chance.choice((5, 6))
    room = minutes * days * weeks / 14  # combinations that a term of so many minutes carries about
    count = size or max(20, int(room * chance.choice((0.5, 0.7, 0.9, 1.1))))
    player = _player(chance, minutes, days)
    curriculum = curriculum_of(chance, weeks, count)
    return TermRequest(
        curriculum, player, (), MONDAY, MONDAY, ({"name": "player", "sha256": SHA},), SHA, "none"
    )


def _player(chance: random.Random, minutes: int, days: int) -> Player:
    names = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday")[:days]
    text = [
        'id = "seed"\nname = "Seed"\nlevel = "advanced"\ncurriculum = "chance"\nstarts = 2026-09-07',
        f'instrument = "{chance.choice(("trumpet", "trombone", "euphonium", "horn"))}"',
        f"minutes = {{ {', '.join(f'{name} = {minutes}' for name in names)} }}",
    ]
    if chance.random() < 0.4:
        text.append(
            '[[playing]]\ntitle = "band"\ndays = ["friday"]\nminutes = 90\non_the_lip = 0.5\nintensity = 2'
        )
    return player_from("\n".join(text), "seed.toml", Path(), MONDAY)


def curriculum_of(chance: random.Random, weeks: int, count: int) -> Curriculum:
    """A curriculum of so many weeks and about `count` combinations."""
    text = [f'[curriculum]\nid = "chance"\ntitle = "Chance"\nweeks = {weeks}']
    if chance.random() < 0.6:
        text.append(f'[[date]]\nkind = "holiday"\nweek = {chance.randint(2, weeks - 1)}\ntitle = "half term"')
    if chance.random() < 0.4:
        text.append(f'[[date]]\nkind = "half week"\nweek = {chance.randint(2, weeks - 1)}')
    if chance.random() < 0.4:
        text.append(f'[[date]]\nkind = "concert"\nweek = {weeks}\ndays = ["friday"]')
    made = 0
    number = 0
    while made < count:
        lines, size = _exercise(chance, number, weeks, count - made)
        text.append(lines)
        made += size
        number += 1
    return curriculum_from("\n\n".join(text), "chance.toml")


def _exercise(chance: random.Random, number: int, weeks: int, left: int) -> tuple[str, int]:
    family = FAMILIES[number % len(FAMILIES)]
    begins = 1 + number * 3 % max(1, weeks - 2)
    spread = list(range(begins, min(weeks, begins + chance.randint(1, 4)) + 1))
    head = [
        f'[[exercise]]\nid = "e{number}"\ntitle = "Exercise {number}"\nfamily = "{family}"\nweeks = {spread}',
        'meter = "4/4"\ntempo = { beat = "quarter", first = 60, goal = 120 }',
        f"passes = {chance.randint(1, 4)}",
        'articulations = ["slurred", "tongued"]' if chance.random() < 0.7 else 'articulations = ["tongued"]',
    ]
    if family in ("flexibility", "range"):
        starts = [1, 3, 5][: max(1, min(3, left))]
        patterns = chance.sample(SHAPES, k=1 if left <= 3 else chance.randint(1, 3))
        head.append(f"cycle = 3\nstarts = {starts}")
        body = [
            f'[[exercise.pattern]]\nname = "{"abc"[i]}"\npartials = "{p}"' for i, p in enumerate(patterns)
        ]
        return "\n".join([*head, *body]), len(starts) * len(patterns)
    keys = KEYS[: max(1, min(left, chance.choice((5, 7, 12))))]
    named = ", ".join(f'"{key}"' for key in keys)
    head.append(f"keys = [{named}]")
    pattern = f'[[exercise.pattern]]\nname = "a"\ndegrees = "{chance.choice(SCALES)}"'
    return "\n".join([*head, pattern]), len(keys)


def with_minutes(request: TermRequest, minutes: int) -> TermRequest:
    """The same term with so many minutes on every practice day."""
    own = tuple(minutes if one else 0 for one in request.player.minutes)
    return replace(request, player=replace(request.player, minutes=own))  # type: ignore[arg-type]

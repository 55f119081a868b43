"""A large shelf and a long diary of chance for benchmarks and calibration, from a fixed seed."""

from __future__ import annotations

import random

from need.shelf import MONDAY, flexibility, player, rated, scales

from planner.brass.keys import Key
from planner.diary.rating import Rating
from planner.inputs.curriculum import Curriculum
from planner.need.combinations import Combination, scope

KEYS = tuple(Key(fifths, "major") for fifths in range(-5, 7))


def big_shelf(combinations: int) -> tuple[Combination, ...]:
    """So many combinations: mostly scales in all majors, the others flexibility; two articulations each."""
    exercises = []
    found: tuple[Combination, ...] = ()
    while len(found) < combinations:
        place = len(exercises)
        if place % 3 == 2:
            exercises.append(flexibility(f"flow-{place}", starts=(1, 2, 3, 4, 5)))
        else:
            words = ("slurred", "tongued")
            tempos = {word: scales().tempos["tongued"] for word in words}
            exercises.append(scales(f"scale-{place}", keys=KEYS, articulations=words, tempos=tempos))
        found = scope(Curriculum("big", "Big", "", "", 12, tuple(exercises)), player(), MONDAY).playable
    return found[:combinations]


def long_diary(shelf: tuple[Combination, ...], ratings: int, seed: int = 7, days: int = 300) -> list[Rating]:
    """So many ratings up to MONDAY: grades around what a middling player would get, some clean marks."""
    rng = random.Random(seed)
    found = []
    for place in range(ratings):
        one = rng.choice(shelf)
        fields = {
            "articulation": rng.choice(one.articulations),
            "tempo": rng.choice((72, 88, 96, 104, 120)),
            "grade": min(5, max(1, round(rng.gauss(3.5, 1.0)))),
        }
        found.append(rated(one.id, days - days * place // ratings, **fields))
    return found

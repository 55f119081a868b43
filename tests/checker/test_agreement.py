"""The second checker and the program's own check say the same of sound and of broken plans."""

from __future__ import annotations

import random
from collections import Counter

import pytest
from checker.check import check
from checker.harmless import HARMLESS
from checker.sound_plans import Sound, samples, small_ones
from checker.ways import WAYS, Plan, Way, broken
from heavy import heavy_count, wants_full


def one_of(sounds: list[Sound], number: int) -> tuple[Sound, Plan, Way | None]:
    """A plan of chance number `number`: every second one broken."""
    dice = random.Random(number)
    while number % 2:
        sound, way = dice.choice(sounds), dice.choice(WAYS)
        plan = broken(dict(sound.plan), way, dice)
        if plan is not None:
            return sound, plan, way
    sound = dice.choice(sounds)
    return sound, dice.choice(HARMLESS)(dict(sound.plan), dice), None


@pytest.mark.heavy
def test_both_checks_accept_and_refuse_the_same_plans(request: pytest.FixtureRequest) -> None:
    full = wants_full(request.config)
    sounds = [*small_ones(60 if full else 16), *(samples(8) if full else ())]
    count = heavy_count(request.config, "plans judged by both checks")
    said: Counter[tuple[bool, bool, bool]] = Counter()
    apart: Counter[str] = Counter()
    for number in range(count):
        sound, plan, way = one_of(sounds, number)
        ours = not check(plan, sound.player, sound.curriculum)
        theirs = sound.program_accepts(plan)
        said[way is None, ours, theirs] += 1
        if ours != theirs:
            apart[way.name if way else "sound"] += 1
    told = f"(sound, second checker accepts, program accepts): {dict(said)} on {len(sounds)} plans"
    print(f"\n{told}")  # noqa: T201
    assert not apart
    assert said[True, True, True] == (count + 1) // 2
    assert said[False, False, False] > 0.4 * count

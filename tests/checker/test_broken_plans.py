"""Every way of breaking a plan is found, and the rule it breaks is named."""

from __future__ import annotations

import random

import pytest
from checker.check import check
from checker.sound_plans import Sound, of_chance, small_ones
from checker.ways import WAYS, Plan, Way, broken

SEEDS = 16  # weeks of chance in which every way finds a place
CONCERTS = (28, 36, 84)  # and some with a concert within the week
MORE = 3  # plans broken in each way


def broken_ones(one: Way) -> list[tuple[Sound, Plan]]:
    """Some plans that one way finds a place in, broken by it."""
    dice = random.Random(one.name)
    every = [*small_ones(SEEDS), *filter(None, map(of_chance, CONCERTS))]
    dice.shuffle(every)
    found = ((sound, broken(dict(sound.plan), one, dice)) for sound in every)
    return [(sound, plan) for sound, plan in found if plan is not None][:MORE]


@pytest.mark.parametrize("one", WAYS, ids=lambda one: one.name)
def test_a_broken_plan_is_found_and_its_rule_named(one: Way) -> None:
    plans = broken_ones(one)
    assert plans, "no plan has a place for this"
    for sound, plan in plans:
        named = {breach.rule for breach in check(plan, sound.player, sound.curriculum)}
        assert named & one.rules, (sound.name, named)


def test_there_are_at_least_twenty_five_ways() -> None:
    assert len({one.name for one in WAYS}) == len(WAYS) >= 25

"""A full week without thought: what the speed of the check is measured on."""

from __future__ import annotations

import math

from plan.verify.builder import DAY, ESTIMATES, Builder, Script
from plan.verify.shelf import MONDAY, Inputs

from planner.plan.weekplan import CombinationState


def greedy(inputs: Inputs) -> Script:
    """A full week: every practice day takes the exercises in turn and fills blocks of about five minutes."""
    builder, script, before = Builder(inputs, {}, ESTIMATES), {}, frozenset[str]()
    exercises = [one.id for one in inputs.curriculum.exercises]
    for turn, number in enumerate(builder.practice):
        date = MONDAY + number * DAY
        room = 60 * builder.minutes(date) - sum(builder.frame(date))
        blocks: list[list[str]] = []
        for exercise in (exercises[turn:] + exercises[:turn])[: inputs.player.blocks_a_day]:
            block = _block(builder, exercise, before, min(room - 60, 300))
            room -= sum(_seconds(builder, name) for name in block) + 45
            blocks += [block] if block else []
        script[number] = blocks
        before = frozenset(name for block in blocks for name in block)
        for name in before:
            builder.turns[name] = builder.turns.get(name, 0) + 1
    return script


def _seconds(builder: Builder, name: str) -> int:
    one = builder.scope[name]
    timing, _ = builder.timing(one, one.exercise.articulations[0])
    return math.ceil(timing.play_seconds + timing.breath_pauses_seconds + timing.rest_seconds) + 1


def _block(builder: Builder, exercise: str, before: frozenset[str], room: int) -> list[str]:
    """Combinations in the order in which they are wanted; new ones first and once more last."""
    here = [entry for name, entry in builder.entries.items() if name.startswith(exercise + "/")]
    rested = [one for one in here if one.state != "kept up" or one.combination not in before]
    unplayed = sorted(
        rested, key=lambda one: (one.combination in builder.turns, one.turn_by, one.combination)
    )
    chosen: list[CombinationState] = []
    for one in unplayed:
        cost = _seconds(builder, one.combination) * (2 if one.state == "new" else 1)
        if cost <= room:
            chosen.append(one)
            room -= cost
    new = [one.combination for one in chosen if one.state == "new"]
    names = new + [one.combination for one in chosen if one.state != "new"]
    return names + new if len(names) > 1 else names

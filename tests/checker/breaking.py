"""Ways to break the JSON of a sound plan at a place of chance, each with the rules that may name it.

A way changes a copy of a plan in place and says whether it could; `None` stands for no place found. Totals
are carried on where a way is about something else, so that the rule it is about has to find it.
"""

from __future__ import annotations

import copy
import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

Plan = dict[str, Any]
Change = Callable[[Plan, random.Random], bool]


@dataclass(frozen=True)
class Way:
    """A way of breaking a plan: its sentence, the rules of which one has to be named, the change."""

    name: str
    rules: frozenset[str]
    change: Change


WAYS: list[Way] = []


def way(*rules: str) -> Callable[[Change], Change]:
    """Enter a change into the table under its name."""

    def enter(change: Change) -> Change:
        WAYS.append(Way(change.__name__.replace("_", " "), frozenset(rules), change))
        return change

    return enter


def broken(plan: Plan, one: Way, dice: random.Random) -> Plan | None:
    """A broken copy of a plan; None where this way finds no place in it."""
    found = copy.deepcopy(plan)
    return found if one.change(found, dice) else None


def pick(dice: random.Random, found: Iterator[Any] | list[Any]) -> Any:
    """One of what is found; None of nothing."""
    every = list(found)
    return dice.choice(every) if every else None


def works(plan: Plan) -> Iterator[tuple[dict[str, Any], dict[str, Any]]]:
    """Every item that is a combination, with its day."""
    for day in plan["days"]:
        for item in day["items"]:
            if item["combination"]:
                yield day, item


def tally(plan: Plan) -> None:
    """Times, seconds and loads of the days made to agree with their items again."""
    before = plan["before"]["load"]
    for day in plan["days"]:
        at = 0
        for item in day["items"]:
            item["at"], at = at, at + item["seconds"]
        day["seconds_used"] = at
        day["load"] = round(sum(item["load"] for item in day["items"]) + day["playing_load"], 3)
        day["load_two_days"] = round(before + day["load"], 3)
        before = day["load"]


def letter(day: dict[str, Any]) -> None:
    """Letters and numbers of a day's items in order again."""
    number, last, block = -1, None, 0
    for item in day["items"]:
        block = block + 1 if item["block"] == last else 1
        number += block == 1
        last = item["block"]
        item["id"] = f"{chr(65 + number)}{block}"
    for item in day["items"]:
        item["block"] = item["id"][0]


def shift(text: str, days: int) -> str:
    """An ISO date some days later."""
    return (date.fromisoformat(text) + timedelta(days=days)).isoformat()

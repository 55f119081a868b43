"""Changes of a plan that break no rule: fields may be added, their order is nothing."""

from __future__ import annotations

import copy
import json
import random
from collections.abc import Callable
from typing import Any

Plan = dict[str, Any]


def as_it_is(plan: Plan, _: random.Random) -> Plan:
    """Nothing changed."""
    return plan


def a_field_more(plan: Plan, dice: random.Random) -> Plan:
    """Fields may be added within the format."""
    found = copy.deepcopy(plan)
    day = dice.choice(found["days"])
    for part in (found, day, *day["items"][:1]):
        part["remark"] = "for the teacher"
    return found


def fields_in_another_order(plan: Plan, _: random.Random) -> Plan:
    """JSON objects have no order."""
    found: Plan = json.loads(json.dumps(plan, sort_keys=True))
    return found


def written_and_read(plan: Plan, _: random.Random) -> Plan:
    """Through text and back."""
    found: Plan = json.loads(json.dumps(plan, ensure_ascii=False))
    return found


def the_search_worked_longer(plan: Plan, dice: random.Random) -> Plan:
    """The work of the solver is no rule of a plan."""
    found = copy.deepcopy(plan)
    found["solver"]["work"] = round(found["solver"]["work"] + dice.random(), 3)
    return found


HARMLESS: tuple[Callable[[Plan, random.Random], Plan], ...] = (
    as_it_is,
    a_field_more,
    fields_in_another_order,
    written_and_read,
    the_search_worked_longer,
)

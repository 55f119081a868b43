"""Small changes to a plan, of which the breakages are made."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

Plan = dict[str, Any]


def day(plan: Plan, number: int) -> Plan:
    """Day 0 to 6."""
    found: Plan = plan["days"][number]
    return found


def item(plan: Plan, name: str) -> Plan:
    """An item as weekday and id: "Mon B1"."""
    weekday, identifier = name.split()
    number = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun").index(weekday)
    return next(one for one in day(plan, number)["items"] if one["id"] == identifier)


def entry(plan: Plan, combination: str) -> Plan:
    """A combination in the week's list."""
    return next(one for one in plan["combinations"] if one["combination"] == combination)


def put(name: str, field: str, value: object) -> Callable[[Plan], object]:
    """A change of one field of one item."""
    return lambda plan: item(plan, name).__setitem__(field, value)


def listed(combination: str, field: str, value: object) -> Callable[[Plan], object]:
    """A change of one field in the week's list."""
    return lambda plan: entry(plan, combination).__setitem__(field, value)


def inside(*path: Any, value: object) -> Callable[[Plan], object]:
    """A change of one value anywhere, by its path."""

    def change(plan: Any) -> None:
        for step in path[:-1]:
            plan = plan[step]
        plan[path[-1]] = value

    return change


def shift(number: int, moved: Callable[[list[Plan]], list[Plan]]) -> Callable[[Plan], object]:
    """A day with its items in another order or number, the clock set right again."""

    def change(plan: Plan) -> None:
        items, at = moved(day(plan, number)["items"]), 0
        for one in items:
            one["at"], at = at, at + one["seconds"]
        day(plan, number)["items"] = items

    return change


def swapped(one: int, two: int) -> Callable[[list[Plan]], list[Plan]]:
    """Two items of a day change places."""

    def moved(items: list[Plan]) -> list[Plan]:
        items[one], items[two] = items[two], items[one]
        return items

    return moved


def without(index: int) -> Callable[[list[Plan]], list[Plan]]:
    """A day that lacks one item."""
    return lambda items: items[:index] + items[index + 1 :]


def doubled(index: int) -> Callable[[list[Plan]], list[Plan]]:
    """A day with one item a second time, after itself."""
    return lambda items: [*items[: index + 1], dict(items[index], id="Z1"), *items[index + 1 :]]


def tuesday_item(plan: Plan) -> None:
    """An item on a day without minutes."""
    day(plan, 1)["items"] = [dict(item(plan, "Fri A1"), at=0)]


def music_item(plan: Plan) -> None:
    """Own music nobody has."""
    day(plan, 0)["items"].insert(
        -1, dict(day(plan, 0)["items"][0], id="music", family="own music", exercise="waltz")
    )


def range_last(items: list[Plan]) -> list[Plan]:
    """Wednesday's range block (item 1) behind the two other blocks."""
    return [items[0], *items[2:-1], items[1], items[-1]]


def apart(items: list[Plan]) -> list[Plan]:
    """Monday's first block in two places."""
    return [items[0], *items[2:-1], items[1], items[-1]]

"""Reading JSON into frozen types, every fault with its path."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import pytest

from planner.plan.verify.decode import decode


@dataclass(frozen=True)
class Leaf:
    """One of each kind."""

    name: str
    count: int
    size: float
    ripe: bool
    day: dt.date | None


@dataclass(frozen=True)
class Tree:
    """Leaves in a list and by name."""

    leaves: tuple[Leaf, ...]
    by_name: Mapping[str, int]


LEAF: dict[str, Any] = {"name": "oak", "count": 2, "size": 1.5, "ripe": True, "day": "2026-09-07"}


def test_a_sound_object_becomes_its_type() -> None:
    tree, faults = decode(Tree, {"leaves": [LEAF], "by_name": {"a": 1}})
    assert (tree, faults) == (Tree((Leaf("oak", 2, 1.5, True, dt.date(2026, 9, 7)),), {"a": 1}), ())


def test_a_field_more_is_left_alone() -> None:
    assert decode(Leaf, LEAF | {"colour": "red"})[1] == ()


def test_a_whole_number_serves_as_a_float() -> None:
    assert decode(Leaf, LEAF | {"size": 2})[1] == ()


@pytest.mark.parametrize(
    ("field", "wrong", "what"),
    [
        ("name", 1, "should be text, is 1"),
        ("name", None, "should be text, is None"),
        ("count", 2.0, "should be a whole number, is 2.0"),
        ("count", True, "should be a whole number, is True"),
        ("size", "1.5", "should be a number, is '1.5'"),
        ("size", float("inf"), "should be a number, is inf"),
        ("size", False, "should be a number, is False"),
        ("ripe", 1, "should be true or false, is 1"),
        ("day", "7.9.2026", "should be an ISO date, is '7.9.2026'"),
        ("day", "20260907", "should be a date as 2026-09-07, is '20260907'"),
        ("day", 7, "should be an ISO date, is 7"),
    ],
)
def test_a_wrong_value_is_named_with_its_path(field: str, wrong: object, what: str) -> None:
    _, faults = decode(Tree, {"leaves": [LEAF, LEAF | {field: wrong}], "by_name": {}})
    assert faults == ((f"leaves[1].{field}", what),)


def test_every_fault_is_found_at_once() -> None:
    _, faults = decode(Tree, {"leaves": [{"name": 1}], "by_name": {"a": "x"}})
    assert [path for path, _ in faults] == [
        "leaves[0].name",
        "leaves[0].count",
        "leaves[0].size",
        "leaves[0].ripe",
        "leaves[0].day",
        "by_name.a",
    ]


@pytest.mark.parametrize("wrong", [None, 3, "text", []])
def test_what_is_no_object_is_no_plan(wrong: object) -> None:
    tree, faults = decode(Tree, wrong)
    assert (tree, len(faults)) == (None, 1)

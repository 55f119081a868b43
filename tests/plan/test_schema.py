"""The JSON Schema of a plan: generated from its types, and true of every plan."""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterator, Mapping
from dataclasses import fields
from typing import Any

import pytest
from horizon.sample_weeks import MONDAY, NAMES, day_of, sample_week
from jsonschema import Draft202012Validator, FormatChecker  # type: ignore[import-untyped]

from planner.horizon.cut import cut_day
from planner.plan.schema import FILE, schema, schema_text
from planner.plan.schema_types import MAPPINGS, RECORDS
from planner.plan.schema_words import FIELDS
from planner.plan.weekplan import WeekPlan

Change = Callable[[dict[str, Any]], None]
VALIDATOR = Draft202012Validator(schema(), format_checker=FormatChecker())


def described(value: Any, shape: Mapping[str, Any], path: str = "plan") -> Iterator[str]:
    """The fields of a value that its schema does not describe."""
    shape = schema()["$defs"][shape["$ref"].rpartition("/")[2]] if "$ref" in shape else shape
    if isinstance(value, dict) and "properties" in shape:
        for name, inner in value.items():
            if name in shape["properties"]:
                yield from described(inner, _present(shape["properties"][name]), f"{path}.{name}")
            else:
                yield f"{path}.{name}"
    elif isinstance(value, dict):
        for name, inner in value.items():
            yield from described(inner, shape.get("additionalProperties", {}), f"{path}.{name}")
    elif isinstance(value, list):
        for inner in value:
            yield from described(inner, shape.get("items", {}), f"{path}[]")


def _present(shape: Mapping[str, Any]) -> Mapping[str, Any]:
    """The shape of a value that is not null."""
    found: Mapping[str, Any] = shape["anyOf"][0] if "anyOf" in shape else shape
    return found


def every_text(shape: Any) -> Iterator[str]:
    """The description of every field, "" where one is missing."""
    if isinstance(shape, dict):
        for field in shape.get("properties", {}).values():
            yield field.get("description", "")
        for inner in shape.values():
            yield from every_text(inner)


def test_the_shipped_schema_is_what_the_types_give() -> None:
    # python -m planner.plan.schema writes it again
    assert FILE.read_text(encoding="utf-8") == schema_text()


def test_the_schema_is_a_schema_of_its_draft() -> None:
    Draft202012Validator.check_schema(schema())
    assert schema()["$schema"] == "https://json-schema.org/draft/2020-12/schema"


def test_every_field_of_a_plan_has_its_words() -> None:
    texts = list(every_text(schema()))
    assert len(texts) > 100
    assert all(texts)


@pytest.mark.parametrize("kind", FIELDS, ids=lambda kind: kind.__name__)
def test_there_are_no_words_for_a_field_that_is_gone(kind: type) -> None:
    assert set(FIELDS[kind]) == {field.name for field in fields(kind)}


def test_every_definition_of_the_schema_is_used() -> None:
    text = schema_text()
    assert [name for name in RECORDS if f'"#/$defs/{name}"' not in text] == []


def test_every_mapping_of_a_plan_has_a_type() -> None:
    assert set(MAPPINGS) <= {field.name for field in fields(WeekPlan)}


@pytest.mark.parametrize("name", NAMES)
def test_the_plan_of_every_sample_player_is_valid(name: str) -> None:
    assert [error.message for error in VALIDATOR.iter_errors(sample_week(name))] == []


@pytest.mark.parametrize("name", NAMES)
def test_no_field_of_a_sample_plan_is_undescribed(name: str) -> None:
    assert list(described(sample_week(name), schema())) == []


def test_a_day_cut_to_twenty_minutes_is_valid() -> None:
    plan = sample_week("tobias")
    cut, _ = cut_day(dict(day_of(plan, MONDAY)), 20)
    VALIDATOR.validate({**plan, "days": [cut]})


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda plan: plan.update(format="planner.plan/2"), "'planner.plan/1' was expected"),
        (lambda plan: plan.pop("before"), "'before' is a required property"),
        (lambda plan: plan.update(first_day="7 September"), "'7 September'"),
        (lambda plan: plan.update(seed=-1), "-1 is less than the minimum of 0"),
        (lambda plan: plan["made_with"].pop("ortools"), "'ortools' is a required property"),
        (lambda plan: plan["days"][0].update(load="heavy"), "'heavy' is not of type 'number'"),
        (lambda plan: plan["days"][0]["items"][0].update(family="chess"), "'chess' is not one of"),
        (lambda plan: plan["days"][0]["items"][1].update(tempo=39), "39 is less than the minimum of 40"),
        (lambda plan: plan["days"][0]["items"][1].update(need=1.2), "1.2 is greater than the maximum of 1"),
        (lambda plan: plan["days"][0]["items"][1].update(positions=[0]), "0 is less than the minimum of 1"),
        (lambda plan: plan["days"][0]["items"][1].update(id="1B"), "'1B' does not match"),
        (lambda plan: plan["days"][0]["items"][1].update(clean_tempo={}), "{} is not valid under any"),
        (lambda plan: plan["inputs"][0].update(sha256="abc"), "'abc' does not match"),
        (lambda plan: plan["combinations"][0].update(state=""), "'' is not one of"),
        (lambda plan: plan.update(days=[]), "[] should be non-empty"),
    ],
)
def test_a_plan_that_is_not_one_is_refused(change: Change, said: str) -> None:
    plan = copy.deepcopy(dict(sample_week("jonah")))
    change(plan)
    assert any(said in error.message for error in VALIDATOR.iter_errors(plan))

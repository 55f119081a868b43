"""The JSON that `why`, `progress`, `week --changes` and `rebalance` print is what their schemas describe."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from typing import Any

import pytest
from cli.plan_player import MONDAY, TUESDAY, WEDNESDAY, AtHome, at_home, edit, run_here
from jsonschema import Draft202012Validator, FormatChecker  # type: ignore[import-untyped]

from planner.horizon.json_schema import TOPS, schema, schema_file, schema_text
from planner.plan.schema import schema as plan_schema


def closed(name: str) -> Any:
    """A validator that also refuses fields which the schema does not describe."""
    body = copy.deepcopy(schema(name))
    for part in (body, *body["$defs"].values()):
        part["additionalProperties"] = False
    return Draft202012Validator(body, format_checker=FormatChecker())


def faults(name: str, value: Any) -> list[str]:
    return [f"{error.json_path}: {error.message}" for error in closed(name).iter_errors(value)]


@pytest.fixture(scope="module")
def jonah(tmp_path_factory: pytest.TempPathFactory) -> AtHome:
    """Jonah with his week planned, Monday rated, and planned again with other minutes."""
    found = at_home("jonah", tmp_path_factory.mktemp("jonah"))
    found.week(MONDAY)
    found.rate(MONDAY, "--rest-clean")
    edit(found.player, "friday = 15", "friday = 10")
    found.week(TUESDAY)
    return found


@pytest.fixture(scope="module")
def nobody(tmp_path_factory: pytest.TempPathFactory) -> AtHome:
    """Jonah before anything was ever heard of him."""
    found = at_home("jonah", tmp_path_factory.mktemp("new"))
    edit(found.player, 'ratings = "jonah-ratings.csv"\n', "")
    return found


def printed(player: AtHome, *words: str) -> Any:
    said = player.planner(words[0], *words[1:], "--json")
    assert said.code == 0, said.err
    return said.plan


def every_text(shape: Any) -> Iterator[str]:
    """The description of every field, "" where one is missing."""
    if isinstance(shape, dict):
        for field in shape.get("properties", {}).values():
            yield field.get("description", "")
        for inner in shape.values():
            yield from every_text(inner)


@pytest.mark.parametrize("name", TOPS)
def test_the_shipped_schema_is_what_the_types_give(name: str) -> None:
    # python -m planner.horizon.json_schema writes it again
    assert schema_file(name).read_text(encoding="utf-8") == schema_text(name)


@pytest.mark.parametrize("name", TOPS)
def test_it_is_a_schema_of_the_draft_it_names(name: str) -> None:
    Draft202012Validator.check_schema(schema(name))


@pytest.mark.parametrize("name", TOPS)
def test_every_field_has_its_words(name: str) -> None:
    assert all(every_text(schema(name)))


@pytest.mark.parametrize("name", TOPS)
def test_schema_prints_the_file_that_ships(name: str) -> None:
    said = run_here("schema", "--of", name)
    assert (said.code, said.out) == (0, schema_file(name).read_text(encoding="utf-8"))


# of Jonah's first year: in work; kept up; held tones; set aside for his arm
@pytest.mark.parametrize(
    "combination",
    [
        "dinner-bell/a/b-flat-major",
        "tapping-heels/signal/b-flat-major",
        "candle-tones/home/b-flat-major",
        "ferry-march/a/b-flat-major",
    ],
)
def test_why_prints_what_its_schema_says(jonah: AtHome, combination: str) -> None:
    assert faults("why", printed(jonah, "why", combination, "--date", TUESDAY)) == []


@pytest.mark.parametrize("since", ["2026-06-01", "2026-08-31", MONDAY])
def test_progress_prints_what_its_schema_says(jonah: AtHome, since: str) -> None:
    assert faults("progress", printed(jonah, "progress", "--date", TUESDAY, "--since", since)) == []


def test_progress_of_nothing_does_too(nobody: AtHome) -> None:
    assert faults("progress", printed(nobody, "progress", "--date", TUESDAY)) == []


def test_changes_print_what_their_schema_says(jonah: AtHome) -> None:
    assert faults("changes", printed(jonah, "week", "--changes", "--date", TUESDAY)) == []


@pytest.mark.parametrize(
    "words",
    [
        ("--missed", f"{MONDAY}..{TUESDAY}"),
        ("--missed", "2026-08-24..2026-09-07", "--cap", "10", "--until", "2026-09-20"),
        ("--minutes", "8", "--to", "2026-09-12"),
        ("--limit", "braces", "--until", "2026-09-30", "--without", "flexibility"),
    ],
)
def test_a_rebalance_prints_what_its_schema_says(jonah: AtHome, words: tuple[str, ...]) -> None:
    found = printed(jonah, "rebalance", *words, "--date", WEDNESDAY, "--dry-run")
    assert faults("rebalance", found) == []
    for plan in found["plans"]:
        Draft202012Validator(plan_schema()).validate(plan)


@pytest.mark.parametrize(
    ("name", "change"),
    [
        ("why", {"week": None}),
        ("progress", {"ratings": -1}),
        ("changes", {"kept": [{}]}),
        ("why", {"date": "x"}),
    ],
)
def test_what_is_not_so_is_refused(jonah: AtHome, name: str, change: dict[str, Any]) -> None:
    words = {"why": ("why", "dinner-bell/a/b-flat-major"), "changes": ("week", "--changes")}
    found = printed(jonah, *words.get(name, (name,)), "--date", TUESDAY)
    assert faults(name, found | change)

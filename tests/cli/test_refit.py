"""`planner refit` as people run it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from cli.plan_player import MONDAY, AtHome, at_home


@pytest.fixture
def tobias(tmp_path: Path) -> AtHome:
    return at_home("tobias", tmp_path)


def test_refit_without_a_terminal_shows_and_changes_nothing(tobias: AtHome) -> None:
    said = tobias.planner("refit", "--date", MONDAY)
    assert "one key and the next" in said.out
    assert "Nothing has changed" in said.err
    assert not (tobias.data / "sizes").exists()


def test_sizes_that_were_taken_make_another_plan_and_undo_brings_the_old_one_back(tobias: AtHome) -> None:
    first = tobias.week(MONDAY)
    assert tobias.planner("refit", "--date", MONDAY, "--write").code == 0
    own = tobias.week(MONDAY)
    assert "sizes" in [one["name"] for one in own["inputs"]]
    assert own["combinations"] != first["combinations"]
    assert tobias.planner("undo").out.startswith("Taken back: the sizes fitted to ")
    assert tobias.week(MONDAY)["combinations"] == first["combinations"]


def test_refit_default_goes_back(tobias: AtHome) -> None:
    tobias.planner("refit", "--date", MONDAY, "--write")
    assert tobias.planner("refit", "--default").out.startswith("From now on the usual sizes hold")
    found = json.loads(tobias.planner("refit", "--date", MONDAY, "--json").out)
    assert found["now"]["exercise"] == 2.0


def test_too_few_ratings_are_told_by_their_number(tmp_path: Path) -> None:
    said = at_home("jonah", tmp_path).planner("refit", "--date", MONDAY)
    assert "sizes are fitted from 150 on" in said.out


def test_too_few_ratings_are_json_where_that_is_wanted(tmp_path: Path) -> None:
    said = at_home("jonah", tmp_path).planner("refit", "--date", MONDAY, "--json")
    found = json.loads(said.out)
    assert (found["format"], found["fitted"]) == ("planner.refit/1", None)
    assert "sizes are fitted from 150 on" in said.err


def test_a_damaged_file_of_sizes_is_told_and_the_usual_ones_hold(tobias: AtHome) -> None:
    (tobias.data / "sizes").mkdir(parents=True)
    (tobias.data / "sizes" / "tobias.json").write_text("{}")
    said = tobias.planner("week", "--date", MONDAY, "--json")
    assert said.code == 0
    assert "planner refit --default" in said.err

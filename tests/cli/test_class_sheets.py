"""A class profile is checked, is no player, and has sheets: an exercise and the terms of all its pupils."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from cli.plan_player import run_here

CLASS = """\
id = "first-years"
name = "First years"
curriculum = "first-year-five-notes"
starts = 2026-09-07
level = "beginner"
minutes = { monday = 15, tuesday = 15 }

[[pupil]]
id = "cornets"
instrument = "cornet"
known_notes = ["C4", "D4", "E4", "F4", "G4"]

[[pupil]]
id = "trombones"
instrument = "trombone"
known_notes = ["Bb2", "C3", "D3", "Eb3", "F3"]
"""


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a class profile alone."""
    monkeypatch.chdir(tmp_path)
    Path("first-years.toml").write_text(CLASS, encoding="utf-8")
    return tmp_path


def test_a_class_profile_is_checked_with_its_pupils() -> None:
    said = run_here("check", "first-years.toml")
    wanted = "first-years.toml: a class without a fault: 2 pupils, cornets (cornet), trombones (trombone)"
    assert (said.code, said.out.splitlines()[0]) == (0, wanted)


def test_a_fault_of_a_class_profile_has_its_line() -> None:
    Path("first-years.toml").write_text(CLASS.replace("known_notes", "notes", 1), encoding="utf-8")
    said = run_here("check", "first-years.toml")
    assert (said.code, "first-years.toml:11:1: 'notes' is not a word of the file" in said.err) == (65, True)


def test_a_class_profile_is_no_player_of_its_folder() -> None:
    assert "there is no player file here" in run_here("today", "--diary", "data").err


def test_a_pupil_of_a_class_profile_is_found_in_it() -> None:
    said = run_here("today", "--player", "cornets", "--diary", "data")
    assert "a pupil of first-years.toml" in said.err


def test_an_exercise_has_a_page_for_every_pupil_of_a_class() -> None:
    words = ("--exercise", "five-steps", "--pupils", "first-years.toml", "--html", "--to", "-")
    page = run_here("sheet", *words, "--diary", "data").out
    assert re.findall(r'<p class="for">([^<]*)', page) == [
        "First years, Cornet in B♭",
        "First years, Trombone",
    ]


def test_a_page_for_a_pupil_without_a_diary_has_nothing_to_fill_in() -> None:
    words = ("--exercise", "five-steps", "--pupils", "first-years.toml", "--html", "--to", "-")
    page = run_here("sheet", *words, "--diary", "data").out
    assert ('class="form"' in page, "planner rate" in page) == (False, False)


def test_the_terms_of_a_class_are_a_page_for_every_pupil() -> None:
    term = {
        "format": "planner.term/1", "name": "First years", "curriculum": "first-year-five-notes",
        "first_day": "2026-09-07", "last_day": "2026-11-01", "weeks": [], "exercises": [],
    }  # fmt: skip
    terms = [term | {"player": name} for name in ("cornets", "trombones")]
    Path("class.json").write_text(json.dumps({"format": "planner.terms/1", "class": "x", "terms": terms}))
    page = run_here("sheet", "--term", "class.json", "--html", "--to", "-").out
    assert re.findall(r'<p class="for">([^<]*)', page) == ["First years, cornets", "First years, trombones"]

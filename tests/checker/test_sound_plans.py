"""The second checker finds nothing in the program's own plans, nor in harmless changes of them."""

from __future__ import annotations

import json
import random
import subprocess
import sys
from pathlib import Path

import pytest
from checker.check import check
from checker.harmless import HARMLESS
from checker.sound_plans import of_chance, sample, samples, small_ones
from heavy import heavy_count
from horizon.sample_weeks import ROOT


@pytest.mark.heavy
def test_every_sample_week_is_sound(request: pytest.FixtureRequest) -> None:
    for sound in samples(heavy_count(request.config, "sample weeks checked a second time")):
        assert check(sound.plan, sound.player, sound.curriculum) == [], sound.name


@pytest.mark.heavy
def test_every_week_of_chance_is_sound(request: pytest.FixtureRequest) -> None:
    for sound in small_ones(heavy_count(request.config, "weeks of chance checked a second time")):
        assert check(sound.plan, sound.player, sound.curriculum) == [], sound.name


def test_a_plan_is_sound_without_the_files_it_was_made_from() -> None:
    for sound in (sample("jonah"), sample("pia"), of_chance(2)):
        assert sound is not None
        assert check(sound.plan) == [], sound.name


@pytest.mark.parametrize("change", HARMLESS, ids=lambda change: change.__name__)
def test_a_harmless_change_leaves_a_plan_sound(change) -> None:  # type: ignore[no-untyped-def]
    sound = sample("jonah")
    assert check(change(dict(sound.plan), random.Random(1)), sound.player, sound.curriculum) == []


def command(*words: object) -> subprocess.CompletedProcess[str]:
    """Run the checker as a program of its own, without the planner within reach."""
    program = [sys.executable, "-m", "checker", *map(str, words)]
    return subprocess.run(program, cwd=ROOT / "tests", capture_output=True, text=True, check=False)


def test_the_command_is_silent_about_a_sound_plan(tmp_path: Path) -> None:
    sound, path = sample("jonah"), tmp_path / "jonah.json"
    path.write_text(json.dumps(sound.plan), encoding="utf-8")
    run = command(path, "--player", sound.player, "--curriculum", sound.curriculum)
    assert (run.returncode, run.stdout, run.stderr) == (0, "", "")


def test_the_command_names_file_rule_and_place(tmp_path: Path) -> None:
    plan, path = json.loads(json.dumps(sample("jonah").plan)), tmp_path / "jonah.json"
    plan["days"][0]["seconds_used"] += 1
    path.write_text(json.dumps(plan), encoding="utf-8")
    run = command(path)
    assert run.returncode == 1
    assert run.stdout.startswith("jonah.json: sums: 2026-09-07: seconds used")


def test_text_that_is_no_json_is_a_breach_of_the_shape(tmp_path: Path) -> None:
    path = tmp_path / "half.json"
    path.write_text('{"format": ', encoding="utf-8")
    assert "half.json: shape: half.json: this is no JSON" in command(path).stdout


def test_the_checker_itself_imports_nothing_of_the_program() -> None:
    names = ("breach", "check", "day", "known", "marks", "player", "shape", "soft", "states", "times", "week")
    words = f"import sys\nfrom checker import {', '.join(names)}\nprint(*sorted(sys.modules))"
    run = subprocess.run(
        [sys.executable, "-c", words], cwd=ROOT / "tests", capture_output=True, text=True, check=True
    )
    outside = {name.split(".")[0] for name in run.stdout.split()} - {*sys.stdlib_module_names, "checker"}
    assert not {name for name in outside if name.startswith(("planner", "numpy", "ortools", "pydantic"))}

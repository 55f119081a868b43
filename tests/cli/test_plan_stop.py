"""Ctrl-C while a week is planned: the best checked plan so far, marked, not stored, exit code 130."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from cli.plan_player import MONDAY, AtHome, at_home
from horizon.sample_weeks import MONDAY as FIRST_DAY
from horizon.sample_weeks import ROOT, player_file, sample_request

from planner.cli import planning
from planner.plan.verify import verify

SOLVING = ("reading the diary", "turns", "value", "evenness")
STOPPED = "stopped by Ctrl-C: this is the best checked plan so far, not proven and not stored\n"
# The program with its progress on standard error at once, though that is a pipe: it tells when to press.
WATCHED = """
import sys
from planner.cli import main, planning
planning.QUIET_SECONDS = -1.0
sys.stderr.isatty = lambda: True
main()
"""


@pytest.fixture
def jonah(tmp_path: Path) -> AtHome:
    """Jonah with files of his own and nothing planned."""
    return at_home("jonah", tmp_path)


@pytest.fixture
def press(monkeypatch: pytest.MonkeyPatch) -> Callable[..., None]:
    """Lets Ctrl-C be pressed, so many times, when a stage begins."""

    def when(stage: str, times: int = 1) -> None:
        def say(progress: object, begun: str) -> None:
            for _ in range(times if begun == stage else 0):
                signal.raise_signal(signal.SIGINT)

        monkeypatch.setattr(planning.Progress, "say", say)

    return when


@pytest.mark.parametrize("stage", SOLVING)
def test_ctrl_c_while_it_solves_ends_with_130(jonah: AtHome, press: Callable[..., None], stage: str) -> None:
    press(stage)
    said = jonah.planner("week", "--date", MONDAY)
    assert (said.code, said.err) == (130, STOPPED)


@pytest.mark.parametrize("stage", SOLVING)
def test_the_plan_of_a_stopped_run_breaks_no_rule(
    jonah: AtHome, press: Callable[..., None], stage: str
) -> None:
    press(stage)
    request = sample_request("jonah")
    plan = jonah.planner("week", "--date", MONDAY, "--json").plan
    assert verify(request.curriculum, request.player, request.ratings, plan) == ()


@pytest.mark.parametrize("stage", SOLVING)
def test_the_plan_of_a_stopped_run_says_what_stopped_it(
    jonah: AtHome, press: Callable[..., None], stage: str
) -> None:
    press(stage)
    plan = jonah.planner("week", "--date", MONDAY, "--json").plan
    assert plan["solver"]["stopped_by"] == "Ctrl-C"


def test_a_stage_that_was_stopped_claims_no_proof(jonah: AtHome, press: Callable[..., None]) -> None:
    press("reading the diary")
    stages = jonah.planner("week", "--date", MONDAY, "--json").plan["solver"]["stages"]
    assert {stage["status"] for stage in stages} == {"stopped"}


@pytest.mark.parametrize("stage", SOLVING)
def test_the_plan_of_a_stopped_run_is_not_stored(
    jonah: AtHome, press: Callable[..., None], stage: str
) -> None:
    press(stage)
    jonah.planner("today", "--date", MONDAY)
    assert jonah.stored() == []


def test_a_stopped_today_shows_a_routine(jonah: AtHome, press: Callable[..., None]) -> None:
    press("turns")
    said = jonah.planner("today", "--date", MONDAY)
    assert (said.code, said.err) == (130, STOPPED)
    assert "Warm-up" in said.out


def test_ctrl_c_during_the_check_lets_the_finished_plan_through(
    jonah: AtHome, press: Callable[..., None]
) -> None:
    # All that was to be found is found: the plan is whole, checked and stored.
    press("checking")
    assert jonah.planner("week", "--date", MONDAY).code == 0
    assert len(jonah.stored()) == 1


@pytest.mark.parametrize("stage", [*SOLVING, "checking"])
def test_a_second_ctrl_c_ends_at_once_without_a_plan(
    jonah: AtHome, press: Callable[..., None], stage: str
) -> None:
    press(stage, times=2)
    said = jonah.planner("week", "--date", MONDAY)
    assert (said.code, said.out, said.err) == (130, "", "stopped by Ctrl-C\n")


def test_after_a_stopped_run_the_next_one_plans_as_if_nothing_had_been(
    jonah: AtHome, press: Callable[..., None], tmp_path_factory: pytest.TempPathFactory
) -> None:
    press("value")
    jonah.planner("week", "--date", MONDAY)
    press("never")
    fresh = at_home("jonah", tmp_path_factory.mktemp("fresh"))
    assert jonah.week(MONDAY)["days"] == fresh.week(MONDAY)["days"]


def test_outside_planning_ctrl_c_is_an_ordinary_one_again(jonah: AtHome) -> None:
    before = signal.getsignal(signal.SIGINT)
    jonah.week(MONDAY)
    assert signal.getsignal(signal.SIGINT) is before


@pytest.mark.parametrize(
    ("words", "wait"), [("placing the turns", 0.3), ("choosing the rest", 0.0)], ids=["relaxing", "searching"]
)
def test_ctrl_c_reaches_a_running_search(tmp_path: Path, words: str, wait: float) -> None:
    # From outside, while HiGHS or CP-SAT is at work on 225 combinations.
    command = ("week", "--player", str(player_file("nerys")), "--date", FIRST_DAY.isoformat(), "--json")
    with subprocess.Popen(
        [sys.executable, "-c", WATCHED, *command],
        cwd=tmp_path,
        env=os.environ | {"PYTHONPATH": str(ROOT), "PLANNER_DATA": str(tmp_path)},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        encoding="utf-8",
    ) as child:
        assert child.stderr
        while words not in child.stderr.readline():
            assert child.poll() is None
        time.sleep(wait)
        child.send_signal(signal.SIGINT)
        out, err = child.communicate(timeout=120)
    assert (child.returncode, err.splitlines()[-1] + "\n") == (130, STOPPED)
    request = sample_request("nerys")
    assert verify(request.curriculum, request.player, request.ratings, json.loads(out)) == ()

"""Ctrl-C in commands that make a term: what was reached, what stands, exit code 130."""

from __future__ import annotations

import signal
from pathlib import Path
from typing import Any

import pytest
from cli.plan_player import MONDAY, at_home, run_here

import planner.horizon.term as made
from planner.cli.planning import Progress


def press(monkeypatch: pytest.MonkeyPatch, at: str) -> None:
    """Ctrl-C is pressed when a term's planning says this stage."""

    def pressed(request: Any, first_word: Any, said: Any) -> Any:
        said(at)
        raise KeyboardInterrupt

    monkeypatch.setattr(made, "plan_term", pressed)


def test_a_stopped_term_says_how_far_it_came(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    press(monkeypatch, "turns")
    said = at_home("jonah", tmp_path).planner("term", "--date", MONDAY)
    assert (said.code, said.out) == (130, "")
    assert said.err == "stopped by Ctrl-C: it was placing the turns; no term is made, none is stored\n"


def test_a_position_that_no_instrument_has_is_refused() -> None:
    said = run_here("figure", "4q 5 6 5", "--starts", "1,9")
    assert (said.code, said.out) == (2, "")
    assert said.err == "Trumpet in B♭ has no position 9 (--starts from 1 to 7)\n"


def test_a_position_that_one_of_the_instruments_has_is_shown_for_it() -> None:
    # the fourth valve of a compensating euphonium goes further down than seven half steps
    said = run_here("figure", "4q 5 6 5", "--starts", "8", "--for", "trumpet,euphonium")
    assert (said.code, "Trumpet in B♭ has no position 8" in said.out) == (0, True)


def test_clashes_that_are_stopped_show_what_was_found(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    say = Progress.say

    def pressed(self: Progress, stage: str) -> None:
        say(self, stage)
        if stage == "looking for other clashes":
            signal.raise_signal(signal.SIGINT)

    monkeypatch.setattr(Progress, "say", pressed)
    said = at_home("tobias", tmp_path).planner("week", "--clashes", "--date", MONDAY)
    assert (said.code, "Tried, and it helps:" in said.out) == (130, True)
    assert "The search was stopped: there may be other clashes" in said.out
    assert said.err == (
        "stopped by Ctrl-C: it was looking for other clashes; there may be more than is shown\n"
    )


def test_clashes_that_are_stopped_before_one_is_found_promise_nothing(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    say = Progress.say

    def pressed(self: Progress, stage: str) -> None:
        say(self, stage)
        if stage == "looking for what clashes":
            signal.raise_signal(signal.SIGINT)

    monkeypatch.setattr(Progress, "say", pressed)
    said = at_home("tobias", tmp_path).planner("week", "--clashes", "--date", MONDAY)
    assert said.code == 130
    assert "No clash was found before the search ended; whether" in " ".join(said.out.split())

"""What a player waits for: whole processes, medians of one session, ratios to a Python that does nothing."""

from __future__ import annotations

from pathlib import Path

import pytest
from bench.measure import Figures, as_json, measure, rounds, table
from horizon.sample_weeks import MONDAY, NAMES, player_file, sample_request

from planner.need.combinations import scope

pytestmark = pytest.mark.bench

RATIO_OF_TODAY = 12
SECONDS_OF_A_WEEK, MEGABYTES_OF_A_WEEK = 4.0, 250.0
USUAL_SHELF = range(176, 230)
TIMES, TIMES_A_WEEK = 15, 3
DAY = ("--date", MONDAY.isoformat())
NOTHING = ["-c", "pass"]


def week(name: str) -> list[str]:
    return ["-m", "planner", "week", "--player", str(player_file(name)), *DAY, "--json"]


def shelf(name: str) -> int:
    """How many combinations a sample player has on the shelf."""
    request = sample_request(name)
    return len(scope(request.curriculum, request.player, request.first_day, request.last_day).playable)


def told(capsys: pytest.CaptureFixture[str], figures: list[Figures], base: Figures | None = None) -> None:
    """Print the table and the JSON whether the test passes or not."""
    with capsys.disabled():
        print(f"\n{table(figures, base)}\n{as_json(figures)}")  # noqa: T201 - this is what it is for


def test_today_from_a_stored_plan_starts_within_twelve_bare_pythons(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    measure(week("nerys"), tmp_path, tmp_path)
    today = ["-m", "planner", "today", "--player", str(player_file("nerys")), *DAY]
    commands = {
        "python -c pass": NOTHING,
        "planner today (stored)": today,
        "planner --help": ["-m", "planner", "--help"],
    }
    found = rounds(commands, TIMES, tmp_path, tmp_path)
    told(capsys, list(found.values()), found["python -c pass"])
    assert found["planner today (stored)"].wall <= RATIO_OF_TODAY * found["python -c pass"].wall


@pytest.mark.parametrize("name", NAMES)
def test_a_week_is_planned_within_four_seconds_and_250_megabytes(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    # Asserted for shelves of the usual size; told for all.
    on_the_shelf = shelf(name)
    measure(week(name), tmp_path, tmp_path / "first")
    runs = tuple(measure(week(name), tmp_path, tmp_path / f"data {n}") for n in range(TIMES_A_WEEK))
    figures = Figures(f"week of {name} ({on_the_shelf})", runs)
    told(capsys, [figures])
    if on_the_shelf in USUAL_SHELF:
        assert figures.wall <= SECONDS_OF_A_WEEK
        assert figures.megabytes <= MEGABYTES_OF_A_WEEK

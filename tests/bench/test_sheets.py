"""What a teacher waits for: sheets as whole processes, medians of one session."""

from __future__ import annotations

from pathlib import Path

import pytest
from bench.measure import Figures, as_json, measure, table
from horizon.sample_weeks import player_file

from planner.brass.instruments import INSTRUMENTS

pytestmark = pytest.mark.bench

TIMES = 5
MEGABYTES = 400.0
FIVES = ("figure", "4e> 5e 6e> 5e 4e", "--meter", "5/8", "--passes", "4", "--pdf")
CLASS = ",".join(("trumpet", "horn", "trombone", "euphonium", "tuba-eb") * 5)
# 25 different instruments: few drawings are the same
EVERYBODY = ",".join(list(INSTRUMENTS)[:25])
# command, most seconds
COMMANDS = {
    "12 keys, one instrument": (
        ("figure", "--degrees", "1e 2 3 4 5 6 7 8 | 9 8 7 6 5 4 3 2 | 1h r", "--pdf"),
        1.5,
    ),
    "12 bars on positions": ((*FIVES, "--starts", "1,2,3,5"), 1.5),
    "25 pages for a class": ((*FIVES, "--starts", "1,3,5", "--for", CLASS), 6.0),
    "25 instruments, 12 keys": (("figure", "trumpet-cornet/ridge-path", "--for", EVERYBODY, "--pdf"), 6.0),
}


@pytest.mark.parametrize("name", COMMANDS)
def test_a_sheet_is_there_in_time(name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words, most = COMMANDS[name]
    command = ["-m", "planner", *words, "--to", str(tmp_path / "sheet")]
    measure(command, tmp_path, tmp_path)
    figures = Figures(name, tuple(measure(command, tmp_path, tmp_path) for _ in range(TIMES)))
    with capsys.disabled():
        print(f"\n{table([figures])}\n{as_json([figures])}")  # noqa: T201 - this is what it is for
    assert figures.wall <= most
    assert figures.megabytes <= MEGABYTES


def test_an_exercise_for_a_pupil_is_there_in_time(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    command = ["-m", "planner", "sheet", "--exercise", "ridge-path", "--pdf"]
    command += ["--player", str(player_file("tobias")), "--to", str(tmp_path / "sheet")]
    measure(command, tmp_path, tmp_path)
    figures = Figures(
        "an exercise, 12 keys", tuple(measure(command, tmp_path, tmp_path) for _ in range(TIMES))
    )
    with capsys.disabled():
        print(f"\n{table([figures])}\n{as_json([figures])}")  # noqa: T201 - this is what it is for
    assert figures.wall <= 1.5
    assert figures.megabytes <= MEGABYTES

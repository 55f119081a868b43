"""What was acknowledged stays: a writer is killed at random moments, and all it told of must be there."""

from __future__ import annotations

import random
import signal
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

import pytest
from heavy import heavy_count

from planner.diary.store import Diary

ROOT = Path(__file__).resolve().parents[2]
SEED = 20260907

# Stores one batch of two ratings after another and tells of each only when the diary says it is stored.
WRITER = """
import sys
from datetime import date
from pathlib import Path
from planner.diary.rating import Rating
from planner.diary.store import Diary

first = int(sys.argv[2])
with Diary.open(Path(sys.argv[1])) as diary:
    for number in range(first, first + 100_000):
        pair = [Rating(date(2026, 9, 7), f"x/{side}/{number}", "slurred", 96, None, 4, None) for side in "ab"]
        diary.add("anna", pair, "rate")
        print(number, flush=True)
"""


def killed_writer(folder: Path, first: int, seconds: float) -> list[int]:
    """Runs a writer, kills it `seconds` after its first word, and gives the numbers it told of."""
    command = [sys.executable, "-c", WRITER, str(folder), str(first)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, cwd=ROOT, text=True) as writer:
        assert writer.stdout is not None
        told = [writer.stdout.readline()]
        time.sleep(seconds)
        writer.send_signal(signal.SIGKILL)
        told += writer.stdout.readlines()
    assert writer.returncode == -signal.SIGKILL
    # a line cut short by the kill was not told
    return [int(line) for line in told if line.endswith("\n")]


@pytest.mark.heavy
@pytest.mark.timeout(3600)
def test_every_acknowledged_row_outlives_a_killed_writer(tmp_path: Path, pytestconfig: pytest.Config) -> None:
    chance = random.Random(SEED)
    told: list[int] = []
    for _ in range(heavy_count(pytestconfig, "kills during a write")):
        told += killed_writer(tmp_path, max(told, default=0) + 10, chance.uniform(0.0, 0.25))
    with Diary.open(tmp_path) as diary:
        there = {rating.combination for rating in diary.ratings("anna")}
        assert diary.damaged == ()
    assert {f"x/{side}/{number}" for number in told for side in "ab"} <= there
    # a batch is stored whole or not at all
    numbers = [name.rsplit("/", 1)[1] for name in there]
    assert all(numbers.count(number) == 2 for number in set(numbers))
    connection = sqlite3.connect(tmp_path / "diary.sqlite")
    assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    connection.close()


def test_a_killed_writer_really_was_in_the_middle_of_it(tmp_path: Path) -> None:
    # guards the test above: it means nothing unless the writer gets several batches in before the kill
    assert len(killed_writer(tmp_path, 1, 0.3)) > 3

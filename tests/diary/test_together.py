"""Several programs at once lose nothing: real processes on one diary."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from planner.diary.store import Diary

ROOT = Path(__file__).resolve().parents[2]
WRITERS, RECORDS = 4, 25

WRITER = """
import sys
from datetime import date
from pathlib import Path
from planner.diary.rating import Rating
from planner.diary.store import Diary

for number in range(int(sys.argv[3])):
    with Diary.open(Path(sys.argv[1]), today=date(2026, 9, 7), busy_seconds=60) as diary:
        name = f"x/{sys.argv[2]}/{number}"
        diary.add("anna", [Rating(date(2026, 9, 7), name, "slurred", 96, None, 4, None)], "rate")
"""


def test_four_writers_at_once_store_every_record(tmp_path: Path) -> None:
    # The folder is new: they also make the file, its tables and the copy of the day at the same time.
    writers = [
        subprocess.Popen([sys.executable, "-c", WRITER, str(tmp_path), str(number), str(RECORDS)], cwd=ROOT)
        for number in range(WRITERS)
    ]
    assert [writer.wait(timeout=240) for writer in writers] == [0] * WRITERS
    with Diary.open(tmp_path) as diary:
        there = [rating.combination for rating in diary.ratings("anna")]
        assert diary.damaged == ()
    assert sorted(there) == sorted(f"x/{one}/{number}" for one in range(WRITERS) for number in range(RECORDS))


def test_two_diaries_in_one_program_see_each_other(tmp_path: Path) -> None:
    from diary.some_ratings import rating

    with Diary.open(tmp_path) as one, Diary.open(tmp_path) as other:
        one.add("anna", [rating()], "rate")
        other.add("anna", [rating(day=8)], "rate")
        assert one.ratings("anna") == other.ratings("anna") == (rating(), rating(day=8))
        other.undo("anna")
        assert one.ratings("anna") == (rating(),)

"""Any changed byte of the file: never a wrong rating, never a rating gone without a word."""

from __future__ import annotations

import random
import shutil
from pathlib import Path

import pytest
from diary.some_ratings import rating
from heavy import heavy_count

from planner.diary.digest import diary_digest
from planner.diary.rating import Rating
from planner.diary.rows import digest_of
from planner.diary.store import Diary
from planner.errors import PlannerError

SEED = 20260908


def read(folder: Path) -> tuple[set[Rating], bool]:
    """What a diary gives, and whether anything was said about damage."""
    try:
        with Diary.open(folder) as diary:
            found = diary.ratings("anna")
            assert diary_digest(folder, "anna") == digest_of(found)
            return set(found), bool(diary.damaged)
    except PlannerError:
        return set(), True


@pytest.mark.heavy
@pytest.mark.timeout(3600)
def test_a_changed_byte_is_noticed_and_never_believed(tmp_path: Path, pytestconfig: pytest.Config) -> None:
    chance = random.Random(SEED)
    given = [rating(day=day, combination=f"x/a/{n}", value=n / 7) for day in (7, 8) for n in range(40)]
    with Diary.open(tmp_path / "whole") as diary:
        diary.add("anna", given[:40], "rate")
        diary.add("anna", given[40:], "rate")
    raw = (tmp_path / "whole" / "diary.sqlite").read_bytes()
    for _ in range(heavy_count(pytestconfig, "changed bytes of a diary")):
        place, change = chance.randrange(len(raw)), chance.randrange(1, 256)
        folder = tmp_path / "changed"
        folder.mkdir()
        (folder / "diary.sqlite").write_bytes(raw[:place] + bytes([raw[place] ^ change]) + raw[place + 1 :])
        found, told = read(folder)
        assert found <= set(given), f"byte {place} changed by {change}"
        assert told or found == set(given), f"byte {place} changed by {change}"
        shutil.rmtree(folder)

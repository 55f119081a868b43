"""What an estimate costs: 1,200 ratings, 1,500 combinations, as ratios to one dense Cholesky of that size.

The ratios are what is asserted; seconds are told. `processor` is processor time of this process, one thread.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from statistics import median

import numpy as np
import pytest
from bench.measure import Figures, measure
from need.big_shelf import big_shelf, long_diary
from need.shelf import MONDAY, player

from planner.diary.rating import Rating
from planner.need.clean_tempo import estimate
from planner.need.combinations import Combination
from planner.need.estimator import Estimator

pytestmark = pytest.mark.bench

RATINGS, COMBINATIONS, TIMES = 1190, 1500, 5
RATIO_OF_EVERYTHING, RATIO_OF_ONE_MORE, RATIO_OF_NOTHING_NEW = 25, 4.5, 0.1
"""Choleskys: solving and all spreads; taking in one more rating and all spreads again; the same question."""

MEGABYTES = 250
ROOT = Path(__file__).resolve().parents[2]
SCRIPT = f"""
import sys
sys.path.insert(0, {str(ROOT / "tests")!r})
from need.big_shelf import big_shelf, long_diary
from need.shelf import MONDAY, player
from planner.need.clean_tempo import estimate
shelf = big_shelf({COMBINATIONS})
estimate(shelf, long_diary(shelf, {RATINGS}), MONDAY, player())
"""


def processor(work: Callable[[], object]) -> float:
    """Processor seconds of one piece of work, the median of a few goes."""
    found = []
    for _ in range(TIMES):
        began = time.process_time()
        work()
        found.append(time.process_time() - began)
    return median(found)


@pytest.fixture(scope="module")
def shelf() -> tuple[Combination, ...]:
    return big_shelf(COMBINATIONS)


@pytest.fixture(scope="module")
def diary(shelf: tuple[Combination, ...]) -> list[Rating]:
    return long_diary(shelf, RATINGS)


@pytest.fixture(scope="module")
def cholesky() -> float:
    """Processor seconds of one dense Cholesky of as many rows as there are ratings."""
    assert os.environ.get("OPENBLAS_NUM_THREADS") == "1", "run with OPENBLAS_NUM_THREADS=1"
    rng = np.random.default_rng(0)
    root = rng.normal(size=(RATINGS, RATINGS))
    full = root @ root.T + RATINGS * np.eye(RATINGS)
    return processor(lambda: np.linalg.cholesky(full))


def told(capsys: pytest.CaptureFixture[str], name: str, seconds: float, cholesky: float) -> float:
    """Print the figure and give its ratio."""
    with capsys.disabled():
        print(f"\n{name:<48} {1000 * seconds:7.1f} ms  {seconds / cholesky:6.2f} Choleskys")  # noqa: T201
    return seconds / cholesky


def test_everything_costs_no_more_than_its_ratio(
    shelf: tuple[Combination, ...],
    diary: list[Rating],
    cholesky: float,
    capsys: pytest.CaptureFixture[str],
) -> None:
    found = processor(lambda: Estimator(shelf, diary, MONDAY, player()).on(MONDAY))
    assert told(capsys, "1,190 ratings, 3,000 rows, from nothing", found, cholesky) < RATIO_OF_EVERYTHING


def test_one_more_rating_costs_no_more_than_its_ratio(
    shelf: tuple[Combination, ...],
    diary: list[Rating],
    cholesky: float,
    capsys: pytest.CaptureFixture[str],
) -> None:
    known = Estimator(shelf, diary, MONDAY, player())
    more = iter(replace(diary[-1], combination=one.id, day=MONDAY) for one in shelf[300:])
    taken = processor(lambda: known.add(next(more)))
    told(capsys, "one more rating taken in", taken, cholesky)
    asked = processor(lambda: (known.add(next(more)), known.on(MONDAY))) if taken else 0.0
    assert told(capsys, "one more rating, and every mean and spread", asked, cholesky) < RATIO_OF_ONE_MORE


def test_nothing_is_computed_again_where_nothing_is_new(
    shelf: tuple[Combination, ...],
    diary: list[Rating],
    cholesky: float,
    capsys: pytest.CaptureFixture[str],
) -> None:
    first = estimate(shelf, diary, MONDAY, player())
    assert estimate(shelf, list(diary), MONDAY, player()) is first
    found = processor(lambda: estimate(shelf, diary, MONDAY, player()))
    assert told(capsys, "the same question again", found, cholesky) < RATIO_OF_NOTHING_NEW


def test_the_whole_process_stays_below_250_megabytes(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    figures = Figures("estimate", (measure(["-c", SCRIPT], tmp_path, tmp_path),))
    with capsys.disabled():
        print(f"\nwhole process, peak {figures.megabytes:.0f} MB")  # noqa: T201 - this is what it is for
    assert figures.megabytes <= MEGABYTES

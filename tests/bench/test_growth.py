"""How the first plan, the whole solve and the answer "does it fit" grow with the shelf. CPU of one core.

Generated weeks, reporting seeds: a test of the model, not of music.
"""

from __future__ import annotations

import json
import time
from pathlib import Path
from statistics import median

import pytest
from bench.measure import ROOT, measure
from bench.plot import Curve, fitted, svg
from plan.solve.weeks import week

from planner.plan.problem import TURN, soft_cost
from planner.plan.solve.draft import draft
from planner.plan.solve.feasible import Question
from planner.plan.solve.named import LIMITS, named_week
from planner.plan.solve.stages import Limits, solve_week

pytestmark = [pytest.mark.bench, pytest.mark.timeout(7200)]

SIZES = (75, 150, 300, 600, 1200)
SEEDS = (11, 12)
FIRST_PLAN_SECONDS, FIRST_PLAN_SHARE = 0.05, 0.85
FITS_SECONDS, FITS_UP_TO = 0.5, (0.5, 0.7, 0.85)
TIMES = 5
ONE_WEEK = """
import sys
sys.path.insert(0, sys.argv[1])
from plan.solve.weeks import week
from planner.plan.solve.stages import Limits, solve_week
if int(sys.argv[2]):
    solve_week(week(int(sys.argv[2]), 0.9, int(sys.argv[3])), Limits(), lambda stage: None)
else:
    import highspy, numpy, ortools.sat.python.cp_model
"""


def solve_process(size: int, seed: int, folder: Path) -> tuple[float, float]:
    """CPU seconds and MB of a process that solves one week; of size 0: that only loads the libraries."""
    run = measure(["-c", ONE_WEEK, str(ROOT / "tests"), str(size), str(seed)], folder, folder)
    return run.processor, run.megabytes


def test_time_and_memory_grow_with_the_shelf(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    solve_process(SIZES[0], 0, tmp_path)  # its byte code is kept
    bare_seconds, bare_megabytes = solve_process(0, 0, tmp_path)
    runs = {size: [solve_process(size, seed, tmp_path) for seed in SEEDS] for size in SIZES}
    seconds = tuple(median(s for s, _ in runs[size]) - bare_seconds for size in SIZES)
    megabytes = tuple(median(m for _, m in runs[size]) - bare_megabytes for size in SIZES)
    curves = [Curve("time", "s", SIZES, seconds), Curve("memory", "MB", SIZES, megabytes)]
    bare = f"{bare_seconds:.1f} s and {bare_megabytes:.0f} MB"
    caption = f"one week by the size of the shelf, 0.9 called for, beyond the libraries' own {bare}"
    (tmp_path / "growth.svg").write_text(svg(curves, caption), encoding="utf-8")
    told = {curve.title: dict(zip(SIZES, curve.values, strict=True)) for curve in curves}
    told |= {f"exponent of {curve.title}": fitted(curve)[0] for curve in curves}
    (tmp_path / "growth.json").write_text(json.dumps(told, indent=1))
    with capsys.disabled():
        print(f"\n{json.dumps(told)}\n{tmp_path / 'growth.svg'}")  # noqa: T201 - what a benchmark is for
    assert fitted(curves[0])[0] < 1.5
    assert fitted(curves[1])[0] < 1.5


def test_the_first_plan_comes_at_once_and_holds_most(capsys: pytest.CaptureFixture[str]) -> None:
    shares, lines, slowest = [], [], 0.0
    for size in SIZES[1:]:
        for wanted in (0.7, 0.9, 1.3):
            problem = week(size, wanted, SEEDS[0])
            seconds = median(_draft_seconds(problem) for _ in range(TIMES))
            empty, first = soft_cost(problem, frozenset()), soft_cost(problem, draft(problem))
            best = solve_week(problem, Limits(), lambda stage: None).stages[0].value
            shares.append((empty - first) / (empty - best))
            slowest = max(slowest, seconds)
            lines.append(f"{size:>5} {wanted:>4} {1000 * seconds:>6.0f} ms {100 * shares[-1]:>6.1f} %")
    with capsys.disabled():
        print("\nfirst plan\n" + "\n".join(lines))  # noqa: T201 - what a benchmark is for
    assert median(shares) >= FIRST_PLAN_SHARE
    assert slowest <= FIRST_PLAN_SECONDS


def _draft_seconds(problem: object) -> float:
    started = time.process_time()
    draft(problem)  # type: ignore[arg-type]
    return time.process_time() - started


def test_whether_everything_fits_is_known_in_half_a_second(capsys: pytest.CaptureFixture[str]) -> None:
    lines, slowest = [], 0.0
    for size in SIZES[1:]:
        for wanted in FITS_UP_TO:
            for seed in SEEDS:
                problem = week(size, wanted, seed)
                started = time.process_time()
                named = named_week(problem)
                main = {n for n, w in enumerate(problem.windows) if w.kind == "turn" and w.cost >= TURN}
                rules = [
                    r for r in named.lines if r.kind in LIMITS or (r.kind == "turn" and r.subject in main)
                ]
                found = Question(named).ask(rules)
                seconds = time.process_time() - started
                slowest = max(slowest, seconds)
                answer = "all placed" if found.turns is not None else "proven not to fit"
                assert found.turns is not None or found.sure, (size, wanted, seed)
                lines.append(
                    f"{size:>5} {wanted:>5} {seed:>3} {len(main):>4} wanted {seconds:>6.2f} s  {answer}"
                )
    with capsys.disabled():
        print("\ndoes it fit\n" + "\n".join(lines))  # noqa: T201 - what a benchmark is for
    assert slowest <= FITS_SECONDS

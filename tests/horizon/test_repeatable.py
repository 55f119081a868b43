"""The same plan byte for byte: run after run, under other hash seeds, on more or fewer cores, under load.

Every run is a process of its own with a diary of its own. Where the system cannot bind a process to cores
(macOS, Windows) that part is left out and says so.
"""

from __future__ import annotations

import hashlib
import json
import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from heavy import heavy_count, wants_full
from horizon.sample_weeks import MONDAY, ROOT, player_file

QUICK_PLAYER, FULL_PLAYER = "pia", "tobias"  # tenths of a second, and three seconds of search
BUSY = "while True: pass"
# Binds itself to cores, then becomes the program.
BOUND = """
import os, sys
cores = sorted(os.sched_getaffinity(0))[:int(sys.argv[1])]
os.sched_setaffinity(0, cores)
os.execv(sys.executable, [sys.executable, "-m", "planner", *sys.argv[2:]])
"""
CAN_BIND = hasattr(os, "sched_setaffinity")


def name_of(config: pytest.Config) -> str:
    return FULL_PLAYER if wants_full(config) else QUICK_PLAYER


def digest(name: str, folder: Path, *, cores: int = 0, **environment: str) -> str:
    """The SHA-256 of what `planner week --json` prints in a new process with a new diary."""
    folder.mkdir()
    words = ["week", "--player", str(player_file(name)), "--date", MONDAY.isoformat(), "--json"]
    start = ["-c", BOUND, str(cores), *words] if cores else ["-m", "planner", *words]
    plain = {key: value for key, value in os.environ.items() if not key.endswith("_NUM_THREADS")}
    done = subprocess.run(
        [sys.executable, *start],
        cwd=folder,
        env=plain | {"PYTHONPATH": str(ROOT), "PLANNER_DATA": str(folder)} | environment,
        capture_output=True,
        check=True,
    )
    assert json.loads(done.stdout)["solver"]["stopped_by"] != "clock", "a plan cut by the clock is exempt"
    return hashlib.sha256(done.stdout).hexdigest()


@contextmanager
def a_loaded_machine(processes: int) -> Iterator[None]:
    """Busy neighbours while this holds."""
    busy = [subprocess.Popen([sys.executable, "-c", BUSY]) for _ in range(processes)]
    try:
        yield
    finally:
        for one in busy:
            one.kill()
            one.wait()


@pytest.mark.heavy
@pytest.mark.timeout(3600)
def test_run_after_run_prints_the_same_bytes(request: pytest.FixtureRequest, tmp_path: Path) -> None:
    runs = heavy_count(request.config, "runs of the same week")
    found = {digest(name_of(request.config), tmp_path / str(run)) for run in range(runs)}
    assert len(found) == 1


@pytest.mark.heavy
@pytest.mark.timeout(3600)
def test_hash_seeds_change_no_byte(request: pytest.FixtureRequest, tmp_path: Path) -> None:
    seeds = heavy_count(request.config, "hash seeds of the same week")
    name = name_of(request.config)
    found = {digest(name, tmp_path / str(seed), PYTHONHASHSEED=str(seed)) for seed in range(seeds)}
    assert len(found) == 1


@pytest.mark.full
@pytest.mark.timeout(3600)
@pytest.mark.skipif(not CAN_BIND, reason="this system cannot bind a process to cores")
@pytest.mark.parametrize("cores", [1, 2, 8])
def test_the_cores_that_are_allowed_change_no_byte(cores: int, tmp_path: Path) -> None:
    # Where the machine has fewer than eight, the libraries are told eight all the same.
    threads = dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"), str(cores))
    plain = digest(FULL_PLAYER, tmp_path / "plain")
    assert digest(FULL_PLAYER, tmp_path / "bound", cores=cores, **threads) == plain


@pytest.mark.full
@pytest.mark.timeout(3600)
def test_a_loaded_machine_changes_no_byte(tmp_path: Path) -> None:
    plain = digest(FULL_PLAYER, tmp_path / "plain")
    with a_loaded_machine(2 * (os.cpu_count() or 2)):
        assert digest(FULL_PLAYER, tmp_path / "loaded") == plain

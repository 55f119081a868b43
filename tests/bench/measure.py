"""Whole processes measured from outside: wall clock, processor time, peak memory. Unix only."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from statistics import median

ROOT = Path(__file__).resolve().parents[2]
KIB_IN_RSS = 1 if sys.platform != "darwin" else 1024  # macOS counts bytes


@dataclass(frozen=True, slots=True)
class Run:
    """One process: seconds on the wall, seconds of processor (user and system), peak MB of memory."""

    wall: float
    processor: float
    megabytes: float


@dataclass(frozen=True, slots=True)
class Figures:
    """Several runs of one command."""

    name: str
    runs: tuple[Run, ...]

    @property
    def wall(self) -> float:
        """Median seconds on the wall."""
        return median(run.wall for run in self.runs)

    @property
    def processor(self) -> float:
        """Median seconds of processor."""
        return median(run.processor for run in self.runs)

    @property
    def megabytes(self) -> float:
        """The highest peak of memory."""
        return max(run.megabytes for run in self.runs)


# Starts a process and tells its figures. A process of its own, because the peak of memory that the system
# tells of a child begins with what its parent had.
LAUNCHER = """
import json, os, sys, time
nowhere = os.open(os.devnull, os.O_RDWR)
streams = [(os.POSIX_SPAWN_DUP2, nowhere, stream) for stream in (0, 1, 2)]
began = time.perf_counter()
child = os.posix_spawn(sys.executable, [sys.executable, *sys.argv[1:]], os.environ, file_actions=streams)
_, status, usage = os.wait4(child, 0)
wall = time.perf_counter() - began
code = os.waitstatus_to_exitcode(status)
print(json.dumps([code, wall, usage.ru_utime + usage.ru_stime, usage.ru_maxrss]))
"""


def measure(words: Sequence[str], folder: Path, data: Path) -> Run:
    """Run Python with these words; its byte code is kept in the folder, its output is thrown away."""
    environment = os.environ | {
        "PYTHONPATH": str(ROOT),
        "PLANNER_DATA": str(data),
        "PYTHONPYCACHEPREFIX": str(folder / "bytecode"),
    }
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    command = [sys.executable, "-c", LAUNCHER, *words]
    done = subprocess.run(command, env=environment, capture_output=True, encoding="utf-8", check=True)
    code, wall, processor, peak = json.loads(done.stdout)
    assert code == 0, f"{' '.join(words)} ended with {code}"
    return Run(wall, processor, peak / KIB_IN_RSS / 1024)


def rounds(commands: Mapping[str, Sequence[str]], times: int, folder: Path, data: Path) -> dict[str, Figures]:
    """Every command once for its byte code, then all of them in turn so many times."""
    for words in commands.values():
        measure(words, folder, data)
    found: dict[str, list[Run]] = {name: [] for name in commands}
    for _ in range(times):
        for name, words in commands.items():
            found[name].append(measure(words, folder, data))
    return {name: Figures(name, tuple(runs)) for name, runs in found.items()}


def table(figures: Sequence[Figures], base: Figures | None = None) -> str:
    """The figures as lines for people, ratios to `base` where there is one."""
    lines = [f"{'':<28}{'wall s':>9}{'cpu s':>9}{'MB':>8}{'ratio':>8}"]
    for one in figures:
        ratio = f"{one.wall / base.wall:8.1f}" if base else ""
        lines.append(f"{one.name:<28}{one.wall:9.3f}{one.processor:9.3f}{one.megabytes:8.0f}{ratio}")
    return "\n".join(lines)


def as_json(figures: Sequence[Figures]) -> str:
    """The same for machines."""
    return json.dumps([_plain(one) for one in figures])


def _plain(one: Figures) -> dict[str, object]:
    seconds = {"wall_seconds": round(one.wall, 4), "processor_seconds": round(one.processor, 4)}
    return {"name": one.name, "runs": len(one.runs), **seconds, "megabytes": round(one.megabytes, 1)}

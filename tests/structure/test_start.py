"""The commands that must answer at once load nothing that takes long to load."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from exports.scored import piece
from structure.tree import ROOT

from planner.exports.musicxml import musicxml

# Each takes a tenth of a second or more to load, a bare Python a hundredth.
SLOW = (
    *("pandas", "numpy", "scipy", "ortools", "highspy", "sqlalchemy", "alembic", "pydantic", "tree_sitter"),
    *("verovio", "typst"),
)
# The player of the stored plan, and a day of its week.
PLAYER, DAY = "jonah", "2026-09-08"
_IMPORTED = re.compile(r"^import time:[^|]*\|[^|]*\|\s*(\S+)$", re.MULTILINE)


def started(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """Run the program with Python's own list of imports on standard error."""
    return subprocess.run(
        [sys.executable, "-X", "importtime", "-m", "planner", *words],
        cwd=folder,
        env=os.environ | {"PYTHONPATH": str(ROOT), "PLANNER_DATA": str(folder)},
        capture_output=True,
        encoding="utf-8",
        check=False,
    )


def said(done: subprocess.CompletedProcess[str]) -> str:
    """What a run said on standard error beside its list of imports."""
    return "\n".join(line for line in done.stderr.splitlines() if not line.startswith("import time:"))


def slow_imports(done: subprocess.CompletedProcess[str]) -> list[str]:
    """The slow libraries that a run loaded."""
    assert done.returncode == 0, said(done)
    loaded = {name.split(".")[0] for name in _IMPORTED.findall(done.stderr)}
    assert "typer" in loaded
    return sorted(loaded & set(SLOW))


@pytest.mark.parametrize(
    "words",
    [
        ("--help",),
        ("--version",),
        ("today", "--help"),
        ("fingerings", "trumpet", "C4"),
        ("figure", "4e 5 6 5", "--meter", "2/4"),
    ],
    ids=" ".join,
)
def test_a_light_command_loads_no_slow_library(tmp_path: Path, words: tuple[str, ...]) -> None:
    assert slow_imports(started(tmp_path, *words)) == []


@pytest.fixture(scope="module")
def planned(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A data folder that holds the plan of a week."""
    folder = tmp_path_factory.mktemp("planned")
    done = started(folder, "week", "--player", PLAYER, "--date", DAY)
    assert done.returncode == 0, said(done)
    return folder


def test_making_a_plan_does_load_them(planned: Path) -> None:
    """What the next test looks for can be seen at all."""
    done = started(planned, "week", "--player", PLAYER, "--date", "2026-09-16")
    assert {"ortools", "pydantic"} <= set(slow_imports(done))


ENGRAVERS = {"verovio", "typst"}


@pytest.mark.parametrize(
    "words",
    [
        ("week",),
        ("coverage", "--csv"),
        ("progress",),
        ("export", "today", "--to", "today.musicxml"),
        ("export", "today", "--to", "today.mid"),
        ("export", "week", "--to", "week.ics"),
    ],
    ids=" ".join,
)
def test_only_sheets_load_what_draws_them(planned: Path, words: tuple[str, ...]) -> None:
    done = started(planned, *words, "--player", PLAYER, "--date", DAY)
    assert ENGRAVERS & set(slow_imports(done)) == set()


@pytest.mark.parametrize(
    "words",
    [
        ("figure", "trumpet-cornet/spindle"),
        ("click", "--to", "click.wav"),
        ("check", "player.toml"),
        ("import-figure", "score.musicxml"),
    ],
    ids=" ".join,
)
def test_nor_do_commands_without_a_player(tmp_path: Path, words: tuple[str, ...]) -> None:
    shutil.copy(ROOT / "sample_profiles" / f"{PLAYER}.toml", tmp_path / "player.toml")
    shutil.copy(ROOT / "sample_profiles" / f"{PLAYER}-ratings.csv", tmp_path)
    (tmp_path / "score.musicxml").write_text(musicxml([piece(places=(1,))], "x"), encoding="utf-8")
    assert ENGRAVERS & set(slow_imports(started(tmp_path, *words))) == set()


def test_a_sheet_loads_them(tmp_path: Path) -> None:
    """What the tests above look for can be seen at all."""
    assert set(slow_imports(started(tmp_path, "figure", "4e 5 6 5", "--meter", "2/4", "--pdf"))) >= ENGRAVERS


def test_today_from_a_stored_plan_loads_no_slow_library(planned: Path) -> None:
    assert slow_imports(started(planned, "today", "--player", PLAYER, "--date", DAY)) == []


def test_today_from_a_stored_plan_is_a_routine(planned: Path) -> None:
    assert "B1" in started(planned, "today", "--player", PLAYER, "--date", DAY).stdout

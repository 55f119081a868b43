"""A sample player whose files may be edited, and the program run on them as people run it."""

from __future__ import annotations

import io
import json
import re
import shutil
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from horizon.sample_weeks import ROOT

from planner.cli import app
from planner.cli.run import run

MONDAY, TUESDAY, WEDNESDAY = "2026-09-07", "2026-09-08", "2026-09-09"
NEXT_MONDAY = "2026-09-14"
_CURRICULUM = re.compile(r'^curriculum = "(.*)"$', re.MULTILINE)


@dataclass(frozen=True)
class Said:
    """What a run printed on both streams, and its exit code."""

    code: int
    out: str
    err: str

    @property
    def plan(self) -> Any:
        """Standard output as the one JSON object it is."""
        return json.loads(self.out)


def run_here(*words: str) -> Said:
    """Run the program in this process."""
    out, err = io.StringIO(), io.StringIO()
    with redirect_stdout(out), redirect_stderr(err):
        code = run(app, list(words))
    return Said(code, out.getvalue(), err.getvalue())


@dataclass(frozen=True)
class AtHome:
    """A player whose files stand in a folder of their own, diary and plans in `data`."""

    name: str
    folder: Path

    @property
    def data(self) -> Path:
        """Where diary and plans are."""
        return self.folder / "data"

    @property
    def player(self) -> Path:
        """The player file."""
        return self.folder / f"{self.name}.toml"

    @property
    def curriculum(self) -> Path:
        """The curriculum file."""
        return next((self.folder / "curricula").glob("*.toml"))

    @property
    def ratings(self) -> Path:
        """The file of earlier ratings."""
        return self.folder / f"{self.name}-ratings.csv"

    def planner(self, command: str, *words: str) -> Said:
        """Run a command for this player."""
        return run_here(command, *words, "--player", str(self.player), "--diary", str(self.data))

    def week(self, day: str = MONDAY) -> Any:
        """The plan that stands for a day."""
        said = self.planner("week", "--date", day, "--json")
        assert said.code == 0, said.err
        return said.plan

    def today(self, day: str, *words: str) -> Any:
        """The routine of a day."""
        said = self.planner("today", "--date", day, "--json", *words)
        assert said.code == 0, said.err
        return said.plan["days"][0]

    def rate(self, day: str, *words: str) -> None:
        """Write ratings down."""
        said = self.planner("rate", "--date", day, *words)
        assert said.code == 0, said.err

    def undo(self) -> None:
        """Take the last ratings back."""
        said = self.planner("undo")
        assert said.code == 0, said.err

    def stored(self) -> list[str]:
        """The stored plans by their names, in the order in which they were made."""
        found = (self.data / "plans" / self.name).glob("*_*_*.json")
        return sorted((path.name for path in found), key=lambda name: name.rpartition("_")[2])


def at_home(name: str, folder: Path) -> AtHome:
    """A sample player with files of their own in a folder."""
    (folder / "curricula").mkdir()
    for path in (ROOT / "sample_profiles").glob(f"{name}*"):
        shutil.copy(path, folder)
    named = _CURRICULUM.search((folder / f"{name}.toml").read_text(encoding="utf-8"))
    assert named
    shutil.copy(ROOT / "curricula" / f"{named[1]}.toml", folder / "curricula")
    return AtHome(name, folder)


def edit(path: Path, old: str, new: str) -> None:
    """Replace a text that stands in a file."""
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")

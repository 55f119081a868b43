"""What stands beside the diary, copied with each copy of it and put back with it: missed stretches and pins.

    <copy>.missed.json     {"format": "planner.missed-copy/1", "files": {"tobias.json": "..."}}
    <copy>.pins.json       {"format": "planner.pins-copy/1", "files": {"tobias.json": "..."}}

A copy without a file beside it is of a time before there was any of it: restoring it leaves what stands now.
A file in a copy is kept byte for byte, damaged or not. Standard library only.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from planner.diary.files import write_whole
from planner.errors import DiaryTrouble

FOLDERS = ("missed", "pins")
"""The folders beside a diary that go into its copies; each has one file a player."""

_BYTES = "surrogateescape"


def beside(copy: Path) -> tuple[Path, ...]:
    """The files beside a copy of the diary, there or not."""
    return tuple(_beside(copy, name) for name in FOLDERS)


def copy_told(folder: Path, copy: Path) -> None:
    """Puts what stands beside the diary, of every player, beside a copy; no file where there is none."""
    for name in FOLDERS:
        files = {path.name: path.read_bytes().decode("utf-8", _BYTES) for path in _files(folder, name)}
        if files:
            body = {"format": _format(name), "files": dict(sorted(files.items()))}
            write_whole(_beside(copy, name), json.dumps(body, indent=1) + "\n")


def restore_told(folder: Path, copy: Path) -> None:
    """Puts back what stood beside a copy; files that are not in it are taken away."""
    for name in FOLDERS:
        if _beside(copy, name).is_file():
            _restore(folder, name, _read(_beside(copy, name), name))


def _restore(folder: Path, name: str, files: dict[str, str]) -> None:
    for gone in _files(folder, name):
        if gone.name not in files:
            gone.unlink(missing_ok=True)
    for file, text in files.items():
        write_whole(folder / name / Path(file).name, text.encode("utf-8", _BYTES))


def _read(path: Path, name: str) -> dict[str, str]:
    what = "the pins" if name == "pins" else "the missed days"
    hint = f"the diary was restored, {what} were left as they are"
    try:
        body: Any = json.loads(path.read_text(encoding="utf-8"))
        files = dict(body["files"])
        for text in files.values():
            text.encode("utf-8", _BYTES)
        if body["format"] != _format(name):
            raise DiaryTrouble(f"{path} is damaged", hint)
    except (OSError, ValueError, KeyError, TypeError, AttributeError) as trouble:
        raise DiaryTrouble(f"{path} is damaged", hint) from trouble
    return files


def _format(name: str) -> str:
    return f"planner.{name}-copy/1"


def _beside(copy: Path, name: str) -> Path:
    return copy.with_name(f"{copy.stem}.{name}.json")


def _files(folder: Path, name: str) -> list[Path]:
    return sorted((folder / name).glob("*.json"))

"""What was told of missed stretches, copied beside each copy of the diary and put back with it.

    <copy>.missed.json     {"format": "planner.missed-copy/1", "files": {"tobias.json": "..."}}

A copy without such a file beside it is of a time before anything was told: restoring it leaves what is told
now. Standard library only.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from planner.diary.files import write_whole
from planner.errors import DiaryTrouble

FORMAT = "planner.missed-copy/1"
FOLDER = "missed"


def told_copy(copy: Path) -> Path:
    """The file beside a copy of the diary."""
    return copy.with_name(f"{copy.stem}.missed.json")


def copy_told(folder: Path, copy: Path) -> None:
    """Puts what is told of every player beside a copy; nothing where nothing was ever told."""
    files = {path.name: path.read_text(encoding="utf-8") for path in _files(folder)}
    if files:
        body = {"format": FORMAT, "files": dict(sorted(files.items()))}
        write_whole(told_copy(copy), json.dumps(body, ensure_ascii=False, indent=1) + "\n")


def restore_told(folder: Path, copy: Path) -> None:
    """Puts back what stood beside a copy; files that are not in it are taken away."""
    path = told_copy(copy)
    if not path.is_file():
        return
    files = _read(path)
    for gone in _files(folder):
        if gone.name not in files:
            gone.unlink(missing_ok=True)
    for name, text in files.items():
        write_whole(folder / FOLDER / Path(name).name, text)


def _read(path: Path) -> dict[str, str]:
    try:
        body: Any = json.loads(path.read_text(encoding="utf-8"))
        if body["format"] != FORMAT or not all(isinstance(text, str) for text in body["files"].values()):
            raise DiaryTrouble(
                f"{path} is damaged", "the diary was restored, what was told was left as it is"
            )
    except (OSError, ValueError, KeyError, TypeError, AttributeError) as trouble:
        hint = "the diary was restored, what was told was left as it is"
        raise DiaryTrouble(f"{path} is damaged", hint) from trouble
    return dict(body["files"])


def _files(folder: Path) -> list[Path]:
    return sorted((folder / FOLDER).glob("*.json"))

"""Where a command may write: what --to names, held against what already stands there.

The rules, the same for every command: the name ends as its kind of file does; its folder is there; what
stands there already is an ordinary file, empty or begun as this kind begins (an earlier export). "-" is
standard output, for text. Standard library only.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from planner.errors import CannotWrite, UsageError

SCREEN = "-"
SIGN_BYTES = 12
"""So many bytes say which kind a file is, where it is not lines of a table or of JSON."""


def target(name: str, endings: Sequence[str], what: str = "this") -> Path:
    """The file of that name; UsageError for another ending, CannotWrite where nothing may be written.

    Asked before anything is made: what takes a minute shall not end in a name that cannot be had.
    """
    path = Path(name)
    if name == SCREEN:
        raise UsageError(f"{what} is no text for standard output", f"a file that ends in {_or(endings)}")
    if not path.name or name.endswith("/") or is_folder(path):
        raise UsageError(f"--to {name} names no file", f"name a file that ends in {_or(endings)}")
    if path.suffix.lower() not in endings:
        raise UsageError(f"{path.name} is no file that {what} can be written to", f"end it in {_or(endings)}")
    writable(path)
    return path


def is_folder(path: Path) -> bool:
    """Whether a folder is there; a name that none can have is none."""
    try:
        return path.is_dir()
    except OSError:
        return False


def writable(path: Path) -> None:
    """CannotWrite where the folder is not there, or something stands there that is no ordinary file."""
    try:
        folder, there, ordinary = path.parent.is_dir(), path.exists(), path.is_file()
    except OSError as trouble:
        raise CannotWrite(f"{path} cannot be written: {(trouble.strerror or '').lower()}") from trouble
    if there and not ordinary:
        raise CannotWrite(f"{path} is no ordinary file and is left alone", "- is standard output, for text")
    if not folder:
        raise CannotWrite(f"there is no folder {path.parent}", "make it first, or name another")


def put_file(path: Path, content: str | bytes, *, private: bool = False) -> None:
    """The file whole or not at all; CannotWrite where a file of another kind would be lost."""
    from planner.diary.files import write_whole

    data = content.encode("utf-8") if isinstance(content, str) else content
    writable(path)
    if not _replaceable(path, data):
        raise CannotWrite(
            f"{path} is there and holds something else: it is left alone",
            "choose another name, or take that file away",
        )
    write_whole(path, data, private=private)


def _replaceable(path: Path, data: bytes) -> bool:
    """Whether nothing of another kind stands there: no file, an empty one, or one that begins the same."""
    from planner.diary.files import reason

    sign = _sign(path.suffix.lower(), data)
    try:
        with path.open("rb") as file:
            found = file.read(len(sign))
    except FileNotFoundError:
        return True
    except OSError as trouble:
        raise CannotWrite(f"{path} cannot be read: {reason(trouble)}") from trouble
    return not found or found == sign


def _sign(ending: str, data: bytes) -> bytes:
    """How such a file begins: the head of a table, the format of JSON, a few bytes of any other."""
    if ending == ".csv":
        return data.splitlines(keepends=True)[0] if data else b""
    if ending == ".json":
        return b"".join(data.splitlines(keepends=True)[:2])
    return data[:4] if ending in (".wav", ".mid", ".pdf") else data[:SIGN_BYTES]


def _or(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}"

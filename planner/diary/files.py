"""Files written whole or not at all, and the names of the files of a diary folder.

A file is written under another name, synced, renamed over the old one, and the folder is synced: a
power cut leaves the old file or the new one, never half of one. Standard library only.
"""

from __future__ import annotations

import errno
import os
import re
import tempfile
import zlib
from pathlib import Path

from planner.errors import CannotWrite

DIARY_FILE = "diary.sqlite"
COPIES = "backups"
"""The folder of the copies, beside the diary."""


def make_folder(folder: Path) -> None:
    """The folder with those above it, readable by its owner only; `CannotWrite` where it cannot be made."""
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as trouble:
        raise CannotWrite(f"the folder {folder} cannot be made: {reason(trouble)}") from trouble


def can_write(folder: Path) -> None:
    """Makes sure that files can be written in the folder, which is made; `CannotWrite` otherwise."""
    make_folder(folder)
    try:
        handle, name = tempfile.mkstemp(prefix=".", suffix=".part", dir=folder)
        os.close(handle)
        Path(name).unlink()
    except OSError as trouble:
        raise CannotWrite(f"nothing can be written in {folder}: {reason(trouble)}") from trouble


def write_whole(path: Path, content: str | bytes, *, private: bool = True) -> None:
    """Puts the text (UTF-8) or bytes into the file, whole or not at all; `CannotWrite` leaves the old file.

    A private file can be read by its owner only, another one as the system's habit is.
    """
    make_folder(path.parent)
    raw = content if isinstance(content, bytes) else content.encode("utf-8")
    temporary: Path | None = None
    try:
        handle, name = tempfile.mkstemp(prefix=".", suffix=".part", dir=path.parent)
        temporary = Path(name)
        with os.fdopen(handle, "wb") as stream:
            stream.write(raw)
            stream.flush()
            os.fsync(stream.fileno())
        if not private:
            temporary.chmod(0o666 & ~_habit())
        temporary.replace(path)
        sync_folder(path.parent)
    except OSError as trouble:
        raise CannotWrite(f"{path} cannot be written: {reason(trouble)}") from trouble
    finally:  # Ctrl-C leaves nothing lying about either
        if temporary is not None:
            temporary.unlink(missing_ok=True)


def _habit() -> int:
    """The permissions that new files do not get; the system only tells them when they are set."""
    mask = os.umask(0o077)
    os.umask(mask)
    return mask


def sync_folder(folder: Path) -> None:
    """Makes new names in the folder last over a power cut, where the system lets a folder be synced."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(handle)
    except OSError as trouble:
        if trouble.errno != errno.EINVAL:
            raise
    finally:
        os.close(handle)


def give_name(temporary: Path, target: Path) -> bool:
    """Gives a finished file its name, unless it is taken: the earlier file is the one wanted, and False."""
    try:
        os.link(temporary, target)
    except FileExistsError:
        return False
    except OSError:  # a file system without hard links
        if target.exists():
            return False
        temporary.rename(target)
    sync_folder(target.parent)
    return True


def reason(trouble: OSError) -> str:
    """Why the system refused, in its own words without number or path."""
    said = trouble.strerror or str(trouble)
    return said[:1].lower() + said[1:]


def safe_name(text: str) -> str:
    """A file name for any id, never empty or a path: all but small letters, digits and "-" becomes _xx."""
    name = re.sub(r"[^a-z0-9-]", _in_hex, text) or "_"
    return name if len(name) <= 100 else f"{name[:91]}-{zlib.crc32(_bytes_of(text)):08x}"


def _in_hex(found: re.Match[str]) -> str:
    return "".join(f"_{byte:02x}" for byte in _bytes_of(found.group()))


def _bytes_of(text: str) -> bytes:
    return text.encode("utf-8", "surrogatepass")

"""Where a player's files live: the data folder, players, curricula. Looks, never makes anything.

Conventions: the data folder holds the diary and stored plans of one person or class. An id is looked for
as `<id>.toml`. What ships with the program lies in the wheel under `_shipped/`, in a checkout beside the
package.
Standard library only: the fast start of `planner today` comes through here.
"""

from __future__ import annotations

import os
import re
import sys
from collections.abc import Iterable, Mapping
from difflib import get_close_matches
from pathlib import Path

from planner.errors import NoInput

PROGRAM = "planner"
_PACKAGE = Path(__file__).resolve().parent
_SNIFFED_BYTES = 64 * 1024

# A player file names its instrument at the start of a line and has no exercises.
_INSTRUMENT = re.compile(rb"^\s*\"?instrument\"?\s*=", re.MULTILINE)
_PUPIL = re.compile(
    rb"^[ \t]*\[\[[ \t]*\"?pupil\"?[ \t]*\]\]", re.MULTILINE
)  # only a class profile has pupils
_ID = re.compile(rb"^[ \t]*\"?id\"?[ \t]*=[ \t]*(?:\"([^\"\n]*)\"|'([^'\n]*)')", re.MULTILINE)
_TABLE = re.compile(rb"^[ \t]*\[", re.MULTILINE)
_EXERCISES = re.compile(rb"^\s*\[(?:\[\s*exercise|\s*curriculum\s*\])", re.MULTILINE)


def data_folder(override: str | None, environment: Mapping[str, str] | None = None) -> Path:
    """The folder of diary and plans: `override`, else PLANNER_DATA, else the usual place of the system.

    It need not exist. `NoInput` where the system does not say where the user's home is.
    """
    environment = os.environ if environment is None else environment
    try:
        given = override or environment.get("PLANNER_DATA")
        return Path(given).expanduser() if given else _usual_place(environment)
    except RuntimeError:
        raise NoInput("there is no home folder to keep the diary in", "name a folder with --diary") from None


def shipped_curricula() -> Path:
    """The folder of the curricula that come with the program."""
    return _shipped("curricula")


def shipped_players() -> Path:
    """The folder of the sample players that come with the program."""
    return _shipped("sample_profiles")


def find_player(text: str | None, cwd: Path, data: Path) -> Path:
    """The player file that `text` names: a path, or an id.

    An id is looked for in `cwd`, players/ there, players/ in the data folder, and among the samples: first
    as the name of a file, then as the id inside one.
    Without text: player.toml in `cwd`, else the only player file there, else the only one in the data
    folder. `NoInput` with the known ids where none or several fit.
    """
    if text is None:
        return _only_player(cwd, data)
    path = cwd / text
    if names_a_file(text):
        if _is_file(path):
            return path
        raise NoInput(f"there is no player file {_plain(text)}", _known_players(cwd, data, text))
    places = (cwd, cwd / "players", data / "players", shipped_players())
    for folder in places:
        if _is_file(folder / f"{text}.toml"):
            return folder / f"{text}.toml"
    found = path if _is_file(path) else _with_id(text, places)
    if found is None:
        raise NoInput(
            f"there is no player {_plain(text)}", _in_a_class(cwd, text) or _known_players(cwd, data, text)
        )
    return found


def _in_a_class(cwd: Path, text: str) -> str:
    """Where a pupil of that id stands in a class profile here: it has no diary, and what it has; else ""."""
    wanted = text.encode("utf-8", "replace")
    for folder in (cwd, cwd / "players"):
        for path in filter(is_class, _toml_files(folder)):
            if any(wanted in (found[1], found[2]) for found in _ID.finditer(_start(path))):
                return f"a pupil of {path.name}, which has terms and sheets: planner term --class {path.name}"
    return ""


def _with_id(text: str, folders: Iterable[Path]) -> Path | None:
    """The first player file that has this id inside, whatever the file is called."""
    files = (path for folder in folders for path in _players_in(folder))
    return next((path for path in files if id_inside(path)[0] == text), None)


def id_inside(path: Path) -> tuple[str, int]:
    """The id a player file says at its top and the line of it; ("", 0) where there is none to be read."""
    try:
        with path.open("rb") as stream:
            start = stream.read(_SNIFFED_BYTES)
    except OSError:
        return "", 0
    table = _TABLE.search(start)
    found = _ID.search(start, 0, table.start() if table else len(start))
    if found is None:
        return "", 0
    return (found[1] or found[2] or b"").decode("utf-8", "replace"), start.count(b"\n", 0, found.start(0)) + 1


def of_one_id(path: Path, player_id: str, cwd: Path, data: Path) -> Path | None:
    """Another player file that has this id too, in the folders in which players are looked for; else None."""
    places = (path.parent, cwd, cwd / "players", data / "players")
    folders = dict.fromkeys(place.absolute() for place in places)
    for other in (one for folder in folders for one in _players_in(folder)):
        if id_inside(other)[0] == player_id and not _same(other, path):
            return other
    return None


def words_for(path: Path, player_id: str, cwd: Path, data: Path) -> str | None:
    """What leads to this player file behind --player; None where a command finds it without."""
    try:
        beside = str(path.relative_to(cwd))
    except ValueError:
        beside = str(path)
    for text in (None, player_id, path.stem):
        try:
            if _same(find_player(text, cwd, data), path):
                return text
        except NoInput:
            continue
    return beside


def _same(one: Path, other: Path) -> bool:
    try:
        return one.samefile(other)
    except OSError:
        return False


def find_curriculum(text: str, player_file: Path) -> Path:
    """The curriculum a player file names: a path from its folder, or an id.

    An id is looked for in that folder, in curricula/ there or one folder up, and among those that ship with
    the program. `NoInput` with the known ids where there is none.
    """
    home = player_file.parent
    if _is_file(home / text) and names_a_file(text):
        return home / text
    folders = (home, home / "curricula", home.parent / "curricula", shipped_curricula())
    if not names_a_file(text):
        for folder in folders:
            if _is_file(folder / f"{text}.toml"):
                return folder / f"{text}.toml"
    known = [path.stem for folder in folders[1:] for path in _toml_files(folder)]
    raise NoInput(f"there is no curriculum {_plain(text)}", _known("curricula", known, text))


def _usual_place(environment: Mapping[str, str]) -> Path:
    """XDG_DATA_HOME where it is set to a full path, as its standard asks; else by the system."""
    xdg = environment.get("XDG_DATA_HOME", "")
    if Path(xdg).is_absolute():
        return Path(xdg) / PROGRAM
    if sys.platform == "win32":
        return Path(environment.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local") / PROGRAM
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Application Support" / PROGRAM
    return Path.home() / ".local" / "share" / PROGRAM


def _shipped(name: str) -> Path:
    """Inside an installed wheel, else beside the package in a checkout."""
    inside = _PACKAGE / "_shipped" / name
    return inside if inside.is_dir() else _PACKAGE.parent / name


def names_a_file(text: str) -> bool:
    """Whether a text is a path to a file rather than an id."""
    return text.endswith(".toml") or "/" in text or os.sep in text


def _plain(text: str) -> str:
    """What a user typed, safe to print again."""
    return "".join(sign if sign.isprintable() else "\ufffd" for sign in text[:80])


def _is_file(path: Path) -> bool:
    """Whether a file is there; a text that cannot be a file name is no file."""
    try:
        return path.is_file()
    except (OSError, ValueError):
        return False


def _toml_files(folder: Path) -> list[Path]:
    """The .toml files of a folder by name; none where there is no such folder."""
    try:
        return sorted(path for path in folder.iterdir() if path.suffix == ".toml" and _is_file(path))
    except OSError:
        return []


def _players_in(folder: Path) -> list[Path]:
    return [path for path in _toml_files(folder) if is_player(path)]


def is_player(path: Path) -> bool:
    """Whether a file looks like a player's, sound or not: a faulty one is found too, and its faults told."""
    start = _start(path)
    other = _EXERCISES.search(start) or _PUPIL.search(start)
    return _INSTRUMENT.search(start) is not None and not other


def is_class(path: Path) -> bool:
    """Whether a file looks like a class profile, sound or not."""
    start = _start(path)
    return _PUPIL.search(start) is not None and _EXERCISES.search(start) is None


def _start(path: Path) -> bytes:
    """The start of a file, empty where it cannot be read."""
    try:
        with path.open("rb") as stream:
            return stream.read(_SNIFFED_BYTES)
    except (OSError, ValueError):
        return b""


def _only_player(cwd: Path, data: Path) -> Path:
    if _is_file(cwd / "player.toml"):
        return cwd / "player.toml"
    for folder in (cwd, data / "players"):
        players = _players_in(folder)
        if len(players) == 1:
            return players[0]
        if players:
            names = ", ".join(path.stem for path in players)
            raise NoInput("several players are here", f"name one with --player: {names}")
    raise NoInput(
        "there is no player file here",
        f"name one with --player, or begin with: {PROGRAM} new; {_known_players(cwd, data, '')}",
    )


def _known_players(cwd: Path, data: Path, wanted: str) -> str:
    folders = (cwd, cwd / "players", data / "players", shipped_players())
    return _known("players", [path.stem for folder in folders for path in _players_in(folder)], wanted)


def _known(kind: str, names: Iterable[str], wanted: str) -> str:
    """A hint with the known ids, and the one that was likely meant."""
    known = list(dict.fromkeys(names))
    near = get_close_matches(Path(wanted).stem, known, n=1)
    guess = f"did you mean {near[0]}? " if near else ""
    return f"{guess}known {kind}: {', '.join(known) if known else 'none'}"

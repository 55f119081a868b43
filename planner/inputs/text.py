"""From a path to checked text, and from text to a plain TOML table.

Whatever the bytes are, the outcome is text or a `BadData`/`NoInput`: never another exception, never a hang.
Conventions: lines and columns count from 1, columns in characters; only ordinary files of at most
`MOST_BYTES` bytes of UTF-8 are read (a leading byte order mark is dropped); line ends are LF or CRLF.
Standard library only: the fast start of `planner today` comes through here.
"""

from __future__ import annotations

import math
import os
import re
import stat
import tomllib
import unicodedata
from collections.abc import Iterator
from pathlib import Path

from planner.errors import BadData, Fault, NoInput
from planner.inputs.places import Place, Places

MOST_BYTES = 256 * 1024
"""A curriculum of 500 exercises is about 150 KiB; the parser stays below a second up to here."""

DEEPEST = 12
"""Brackets within brackets; the files need four."""

MOST_KEY_PARTS = 12
"""Parts of a dotted key; the files need three, and the parser's time grows with the square of them."""

MOST_FAULTS = 200
"""More than these nobody reads at once."""

_UTF16_MARKS = (b"\xff\xfe", b"\xfe\xff")
_UTF8_MARK = b"\xef\xbb\xbf"

# Characters a reader cannot see or that turn the text around: controls (tab and line feed aside),
# bidirectional and other invisible formatting, line and paragraph separators, private use, non-characters.
# U+200C and U+200D stay: some scripts need them inside names.
_UNWANTED = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u00ad\u061c\u180e\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f"
    "\ud800-\udfff\ue000-\uf8ff\ufeff\ufff0-\ufffb\ufffe\uffff\U000e0000-\U000e0fff\U000f0000-\U0010ffff]"
    "|\r(?!\n)"
)

_NAMES = {
    0x00: "NUL",
    0x0D: "a carriage return alone",
    0x1B: "ESC",
}

_TOKEN = re.compile(
    r"""(?P<triple>\"{3}|'{3})"""
    r"""|(?P<string>"(?:[^"\\\n]|\\.)*+"?|'[^'\n]*+'?)"""
    r"""|(?P<comment>\#[^\n]*+)"""
    r"""|(?P<open>[\[{])|(?P<close>[\]}])|(?P<stop>[\n=,])"""
    r"""|(?P<bare>[^\s"'\#\[\]{}=,]++)"""
)
_TRIPLE_END = {
    '"""': re.compile(r'(?:[^\\"]|\\.|"(?!""))*+"""', re.DOTALL),
    "'''": re.compile(r"(?:[^']|'(?!''))*+'''", re.DOTALL),
}

_LINES = 'a line is a [heading], word = value, or a comment after "#"'

# What the standard parser says (its words begin like this), how it is said here, and what can be done.
_WORDS = (
    ("Invalid value", "this is no value", "text stands in straight quotes, a list in square brackets"),
    ("Invalid statement", "this is no line of the file", _LINES),
    ("Invalid initial character", "a word is missing here", _LINES),
    ("Invalid date or datetime", "this day is not in the calendar", "a date like 2026-02-28"),
    ("Expected '=' after a key", "a = is missing behind the word", "every line is: word = value"),
    (
        "Expected ']]' at the end",
        "the heading is not closed",
        "two brackets open it, ]] closes it: [[limit]]",
    ),
    ("Expected ']' at the end", "the heading is not closed", "a heading is one line: [minutes]"),
    (
        "Expected newline or end of document",
        "something stands behind the value",
        "one word = value on a line; text stands in straight quotes",
    ),
    ("Illegal character '\\n'", "the text does not end on its line", "the closing quote is missing"),
    ("Found invalid character '\\n'", "the text does not end on its line", "the closing quote is missing"),
    ("Unterminated string", "the text does not end", "the closing quote is missing"),
    ("Unclosed array", "the list does not end", "the closing ] is missing or a comma is left out"),
    ("Unclosed inline table", "the table does not end", "the closing } is missing or a comma is left out"),
    ("Unescaped '\\' in a string", "a single \\ stands in the text", "write \\\\ for one backslash"),
    ("Escaped character is not", "this \\u names no character", "write \\\\ for one backslash"),
)
_TWICE = (
    "Cannot overwrite",
    "Cannot declare",
    "Cannot redefine",
    "Cannot mutate",
    "Duplicate inline table key",
)


def place_at(text: str, offset: int) -> Place:
    """The place of the character at `offset` (from 0)."""
    before = text.rfind("\n", 0, offset) + 1
    return Place(text.count("\n", 0, offset) + 1, offset - before + 1)


def shown(value: object, longest: int = 40) -> str:
    """A value from a file as a message may print it: quoted, one line, nothing unseen, never long."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int) and abs(value) >= 10**15:
        return f"a number of about {int(value.bit_length() * math.log10(2)) + 1} digits"
    if isinstance(value, str):
        return f"'{plain(value, longest)}'"
    if isinstance(value, list):
        return "a list"
    return "a table" if isinstance(value, dict) else plain(str(value), longest)


def plain(text: str, longest: int = 200) -> str:
    """Text cut to `longest` characters, each unwanted character replaced by U+FFFD."""
    cut = text if len(text) <= longest else text[: longest - 1] + "…"
    return re.sub(r"[\t\n\r]", " ", _UNWANTED.sub("\ufffd", cut))


def unwanted(text: str) -> tuple[int, str] | None:
    """The first character that may not stand in a text: its offset from 0 and what it is; None if all may."""
    match = _UNWANTED.search(text)
    return None if match is None else (match.start(), character_name(match.group()))


def character_name(character: str) -> str:
    """A character that cannot be printed, in words: "U+202E (RIGHT-TO-LEFT OVERRIDE)"."""
    code = ord(character)
    name = _NAMES.get(code) or unicodedata.name(character, "")
    return f"U+{code:04X}" + (f" ({name})" if name else "")


def file_name(path: Path) -> str:
    """A path as messages print it: as the user wrote it, printable whatever its bytes are."""
    return plain(os.fspath(path).encode("utf-8", "replace").decode("utf-8"), 300)


def read_text(path: Path) -> str:
    """The text of an ordinary UTF-8 file; `NoInput` where it cannot be opened, else perhaps `BadData`."""
    return decode(_read_bytes(path), file_name(path))


def decode(raw: bytes, file: str) -> str:
    """Bytes as text with only wanted characters; `BadData` with every place that is not so."""
    if len(raw) > MOST_BYTES:
        _refuse(
            file,
            Place(0, 0),
            f"the file is larger than {MOST_BYTES // 1024} KiB",
            "split it into several files",
        )
    if raw.startswith(_UTF16_MARKS):
        _refuse(file, Place(1, 1), "the file is saved as UTF-16", "save it as UTF-8")
    try:
        text = raw.removeprefix(_UTF8_MARK).decode("utf-8")
    except UnicodeDecodeError as trouble:
        good = trouble.object[: trouble.start].decode("utf-8", "replace")
        bad = trouble.object[trouble.start]
        _refuse(
            file, place_at(good, len(good)), f"the byte 0x{bad:02X} is not UTF-8", "save the file as UTF-8"
        )
    faults = tuple(_unwanted_faults(text, file))
    if faults:
        raise BadData(faults)
    return text


def load_table(text: str, file: str) -> dict[str, object]:
    """The TOML table of a text; `BadData` with line and column where it is not one or holds nothing."""
    _check_shape(text, file)
    try:
        table = tomllib.loads(text)
        if table:
            return table
        fault = Fault(file, 1, 1, "the file is empty")
    except tomllib.TOMLDecodeError as trouble:
        fault = _syntax_fault(text, file, str(trouble))
    except ValueError:
        fault = _giant_number(text, file)
    except RecursionError:
        fault = Fault(file, 0, 0, "brackets stand too deep in each other")
    raise BadData((fault,))


def _refuse(file: str, place: Place, message: str, hint: str = "") -> None:
    raise BadData((Fault(file, place.line, place.column, message, hint),))


def _read_bytes(path: Path) -> bytes:
    """At most one byte more than allowed, from ordinary files only: a pipe or device would never end."""
    try:
        mode = path.stat().st_mode
        if stat.S_ISDIR(mode):
            raise NoInput(f"{file_name(path)} is a folder, not a file")
        if not stat.S_ISREG(mode):
            raise NoInput(f"{file_name(path)} is not an ordinary file")
        with path.open("rb") as stream:
            return stream.read(MOST_BYTES + 1)
    except (OSError, ValueError) as trouble:
        raise NoInput(f"{file_name(path)} cannot be read: {_reason(trouble)}") from trouble


def _reason(trouble: OSError | ValueError) -> str:
    if isinstance(trouble, FileNotFoundError):
        return "there is no such file"
    if isinstance(trouble, OSError) and trouble.strerror:
        return trouble.strerror[:1].lower() + trouble.strerror[1:]
    return "that is not a file name"


def _unwanted_faults(text: str, file: str) -> Iterator[Fault]:
    for count, match in enumerate(_UNWANTED.finditer(text)):
        if count == MOST_FAULTS:
            return
        lone = match.group() == "\r"
        hint = "save the file with line ends LF or CRLF" if lone else "take it out"
        place = place_at(text, match.start())
        yield Fault(file, *place, f"{character_name(match.group())} may not stand in the file", hint)


def _check_shape(text: str, file: str) -> None:
    """Refuses what would cost the parser its stack or minutes: deep brackets, endless dotted keys."""
    depth = dots = 0
    for kind, start, token in _tokens(text):
        if kind == "open":
            depth, dots = depth + 1, 0
        elif kind == "close":
            depth, dots = max(0, depth - 1), 0
        elif kind == "stop":
            dots = 0
        elif kind == "bare":
            dots += token.count(".")
        if depth > DEEPEST:
            _refuse(file, place_at(text, start), f"brackets stand more than {DEEPEST} deep in each other")
        if dots >= MOST_KEY_PARTS:
            _refuse(file, place_at(text, start), f"a dotted word has more than {MOST_KEY_PARTS} parts")


def _tokens(text: str) -> Iterator[tuple[str, int, str]]:
    """Kind, offset and text of the tokens, strings and comments passed over; ends at an open triple quote."""
    at = 0
    while match := _TOKEN.search(text, at):
        at = match.end()
        if match.lastgroup == "triple":
            end = _TRIPLE_END[match.group()].match(text, at)
            if end is None:
                return
            at = end.end()
        elif match.lastgroup not in ("string", "comment"):
            yield str(match.lastgroup), match.start(), match.group()


def _syntax_fault(text: str, file: str, said: str) -> Fault:
    """The parser's sentence as a fault: "... (at line 3, column 7)" or "... (at end of document)"."""
    message, place = _parted(text, said)
    if message.startswith(_TWICE):
        twice = Places(text).twice
        if twice is not None:
            return Fault(
                file, *twice.place, f"{shown(twice.word)} stands here a second time", "keep one of the two"
            )
    for start, words, hint in _WORDS:
        if message.startswith(start):
            return Fault(file, *place, words, hint)
    return Fault(file, *place, plain(message[:1].lower() + message[1:], 120))


def _parted(text: str, said: str) -> tuple[str, Place]:
    match = re.search(r" \(at (?:line (\d+), column (\d+)|end of document)\)$", said)
    if match is None:
        return said, Place(0, 0)
    if match.group(1) is None:
        return said[: match.start()], place_at(text, len(text))
    return said[: match.start()], Place(int(match.group(1)), int(match.group(2)))


def _giant_number(text: str, file: str) -> Fault:
    match = re.search(r"[0-9][0-9_]{4000,}", text)
    place = Place(0, 0) if match is None else place_at(text, match.start())
    return Fault(file, *place, "a number is far too long")

"""A MusicXML file as a tree of elements that know where they stand; other files are called what they are.

Lines and columns count from 1. Entities are refused: a score needs none, and they can fill any memory.
Standard library only.
"""

from __future__ import annotations

import io
import lzma
import xml.etree.ElementTree as ET
import zipfile
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from xml.parsers import expat

from planner.errors import BadData, Fault, NoInput

MOST_BYTES = 50_000_000
DEEPEST = 200
"""Elements within elements; a score has about ten."""

WANTED = "a MusicXML file is wanted (.musicxml or .mxl): notation programs export it"
KINDS: Mapping[bytes, str] = {
    b"MThd": "a MIDI file",
    b"RIFF": "a sound file",
    b"%PDF": "a PDF file",
    b"%abc": "ABC notation",
    b"X:": "ABC notation",
}
"""How files begin that people try, and what they are."""

BROKEN = (
    *(zipfile.BadZipFile, zlib.error, lzma.LZMAError, EOFError, OSError),
    *(KeyError, StopIteration, NotImplementedError, RuntimeError, ValueError),
)
"""What reading a compressed file raises where it is damaged, encrypted or packed in another way."""

Place = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Tree:
    """A score: its root element, and line and column of every element."""

    file: str
    root: ET.Element
    places: Mapping[ET.Element, Place]

    def fault(self, element: ET.Element | None, message: str, hint: str = "") -> BadData:
        """The error of one fault at an element; of the whole file where that is None."""
        line, column = (0, 0) if element is None else self.places.get(element, (0, 0))
        return BadData((Fault(self.file, line, column, message, hint),))


def read_tree(path: Path) -> Tree:
    """The tree of a file, plain or compressed; NoInput where it is not there, BadData where it is no XML."""
    text = _bytes(path)
    kind = _kind(text, path.suffix.lower())
    if kind:
        raise BadData((Fault(path.name, 1, 1, f"this is {kind}, which cannot be read", WANTED),))
    return parsed(text, path.name)


def _kind(text: bytes, ending: str) -> str:
    """What a file is that is no score; "" where it may be one."""
    begins = text.lstrip(b"\xef\xbb\xbf \t\r\n\x00")
    if not begins:
        return "an empty file"
    found = next((words for mark, words in KINDS.items() if begins.startswith(mark)), "")
    return "ABC notation" if ending == ".abc" and not begins.startswith(b"<") else found


def parsed(text: bytes, file: str) -> Tree:
    """The tree of XML text; BadData where it is not well-formed."""
    builder, places = ET.TreeBuilder(), dict[ET.Element, Place]()
    parser = expat.ParserCreate(None, "}")
    parser.buffer_text = True
    depth = 0

    def here(message: str, hint: str) -> BadData:
        line, column = parser.CurrentLineNumber, parser.CurrentColumnNumber + 1
        return BadData((Fault(file, line, column, message, hint),))

    def start(name: str, attributes: dict[str, str]) -> None:
        nonlocal depth
        depth += 1
        if depth > DEEPEST:
            raise here("this lies deeper than any sign of a score", WANTED)
        element = builder.start(_named(name), {_named(key): value for key, value in attributes.items()})
        places[element] = (parser.CurrentLineNumber, parser.CurrentColumnNumber + 1)

    def end(name: str) -> None:
        nonlocal depth
        depth -= 1
        builder.end(_named(name))

    def entity(*_: object) -> None:
        raise here("the file declares entities", "a score needs none")

    parser.StartElementHandler, parser.EndElementHandler = start, end
    parser.CharacterDataHandler, parser.EntityDeclHandler = builder.data, entity
    try:
        parser.Parse(text, True)
    except expat.ExpatError as error:
        words = f"not well-formed XML: {expat.ErrorString(error.code)}"
        raise BadData((Fault(file, error.lineno, error.offset + 1, words, WANTED),)) from None
    except (LookupError, ValueError, AssertionError):  # an encoding that nobody knows
        raise BadData(
            (Fault(file, 1, 1, "not well-formed XML: its encoding is not known", WANTED),)
        ) from None
    return Tree(file, builder.close(), places)


def _named(name: str) -> str:
    """A name as ElementTree writes it, its namespace in braces."""
    return "{" + name if "}" in name else name


def _bytes(path: Path) -> bytes:
    try:
        if not path.is_file():
            there = "is no ordinary file" if path.exists() else "cannot be read: No such file or directory"
            raise NoInput(f"{path} {there}")
        if path.stat().st_size > MOST_BYTES:
            raise BadData((Fault(path.name, 0, 0, "the file is larger than any score", WANTED),))
        found = path.read_bytes()
    except OSError as trouble:
        raise NoInput(f"{path} cannot be read: {trouble.strerror}") from trouble
    return _unpacked(found, path.name) if found[:2] == b"PK" else found


def _unpacked(packed: bytes, name: str) -> bytes:
    """The score inside a compressed file, as its container says."""
    try:
        with zipfile.ZipFile(io.BytesIO(packed)) as file:
            if file.getinfo("META-INF/container.xml").file_size > MOST_BYTES:
                raise BadData((Fault(name, 0, 0, "its container is larger than any score", WANTED),))
            container = parsed(file.read("META-INF/container.xml"), name).root
            roots = (one for one in container.iter() if one.tag.rpartition("}")[2] == "rootfile")
            inside = next(roots).get("full-path", "")
            if file.getinfo(inside).file_size > MOST_BYTES:
                raise BadData((Fault(name, 0, 0, "the score inside is larger than any score", WANTED),))
            return file.read(inside)
    except BROKEN:
        words = "no compressed MusicXML: its container is broken"
        raise BadData((Fault(name, 0, 0, words, WANTED),)) from None

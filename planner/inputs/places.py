"""Where a value of a TOML text stands: exact line and column for any path of names and numbers.

The standard parser keeps no positions, so a second, error-tolerant parser reads the text again; it is
imported only once something is wrong. A path is what the value's road through the parsed table is:
("exercise", 1, "tempo", "goal") is the goal of the second exercise, whether its tempo is written as a
heading, an inline table or dotted words. Lines and columns count from 1, columns in characters.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from tree_sitter import Node

Loc = tuple[str | int, ...]

# One escape of a string as written; a backslash at the end of a line swallows the white space after it.
_ESCAPE = re.compile(r"\\(?:u[0-9A-Fa-f]{4}|U[0-9A-Fa-f]{8}|[ \t]*\n\s*|[^\s])")


class Place(NamedTuple):
    """A place in a text; line and column count from 1, 0 where unknown."""

    line: int
    column: int


@dataclass(slots=True)
class _Spot:
    """One value: the node it is written in, the node of its word, and the spots inside it.

    `implied` marks a table that only a longer heading has named so far: [a.b] implies a.
    """

    node: Node | None = None
    word: Node | None = None
    implied: bool = False
    named: dict[str, _Spot] = field(default_factory=dict)
    listed: list[_Spot] = field(default_factory=list)

    def step(self, part: str | int) -> _Spot | None:
        """The spot one step further, None where there is none."""
        if isinstance(part, str):
            return self.named.get(part)
        return self.listed[part] if 0 <= part < len(self.listed) else None


@dataclass(frozen=True, slots=True)
class Twice:
    """A word that stands a second time in its table, and where."""

    word: str
    place: Place


class Places:
    """The places of everything in one TOML text."""

    def __init__(self, text: str) -> None:
        import tree_sitter_toml
        from tree_sitter import Language, Parser

        # As the standard parser reads it, a line end is one character; the columns stay as they are.
        self._source = text.replace("\r\n", "\n").encode("utf-8")
        self._lines = self._source.split(b"\n")
        self._root = _Spot()
        self.twice: Twice | None = None
        tree = Parser(Language(tree_sitter_toml.language())).parse(self._source)
        self._read(tree.root_node, self._root)

    def of(self, loc: Loc, *, word: bool = False) -> Place:
        """Where the value at `loc` begins, with `word` the word before it; else the nearest around it."""
        spot, missing = self._walk(loc)
        if spot.node is None or (spot.word is None and word):
            return Place(1, 1)
        return self._place(spot.word if word and not missing and spot.word is not None else spot.node)

    def inside(self, loc: Loc, column: int) -> Place:
        """Where character `column` (from 1) of the string at `loc` is written, past escapes and quotes."""
        spot, missing = self._walk(loc)
        if missing or spot.node is None or spot.node.type != "string":
            return self.of(loc)
        raw = self._text(spot.node)
        offset = len(raw[: _offset_in_source(raw, column - 1)].encode("utf-8"))
        start = spot.node.start_byte + offset
        line = self._source.count(b"\n", 0, start)
        before = self._source.rfind(b"\n", 0, start) + 1
        return Place(line + 1, len(self._source[before:start].decode("utf-8", "replace")) + 1)

    def _walk(self, loc: Loc) -> tuple[_Spot, bool]:
        spot = self._root
        for part in loc:
            further = spot.step(part)
            if further is None:
                return spot, True
            spot = further
        return spot, False

    def _place(self, node: Node) -> Place:
        row, column = node.start_point
        return Place(row + 1, len(self._lines[row][:column].decode("utf-8", "replace")) + 1)

    def _text(self, node: Node) -> str:
        return self._source[node.start_byte : node.end_byte].decode("utf-8", "replace")

    def _read(self, node: Node, table: _Spot) -> None:
        """Words of `node` into `table`; headings, and what the parser could not place, as well."""
        for child in node.children:
            if child.type == "pair":
                self._pair(child, table)
            elif child.type in ("table", "table_array_element"):
                self._heading(child)
            elif child.type == "ERROR":
                self._read(child, table)

    def _pair(self, node: Node, table: _Spot) -> None:
        """One line `word = value`, the word perhaps dotted."""
        parts = _named(node)
        words = _words(parts[0]) if len(parts) > 1 else []
        if not words:
            return
        for word in words[:-1]:
            table = self._enter(table, word, _Spot(parts[0], word))
        spot = _Spot(parts[1], words[-1])
        if self._new(table, words[-1], spot):
            self._value(parts[1], spot)

    def _value(self, node: Node, spot: _Spot) -> None:
        if node.type == "inline_table":
            self._read(node, spot)
        elif node.type == "array":
            spot.listed = [_Spot(child, child) for child in _named(node)]
            for item in spot.listed:
                self._value(item.node or node, item)

    def _heading(self, node: Node) -> None:
        """[a.b] or [[a.b]] and the lines below it; a step through a list of tables goes to its last one."""
        words = _words(next(iter(_named(node)), None))
        if not words:
            return
        table = self._root
        for word in words[:-1]:
            table = self._enter(table, word, _Spot(node, word, implied=True))
        open_table = self._next_of if node.type == "table_array_element" else self._opened
        self._read(node, open_table(table, node, words[-1]))

    def _next_of(self, table: _Spot, node: Node, word: Node) -> _Spot:
        """A further table of a list of tables."""
        group = table.named.setdefault(self._name(word), _Spot(node, word))
        group.listed.append(_Spot(node, word))
        return group.listed[-1]

    def _opened(self, table: _Spot, node: Node, word: Node) -> _Spot:
        """A table by its own heading, which may have been implied before but not written."""
        spot = table.named.get(self._name(word))
        if spot is not None and spot.implied:
            spot.node, spot.word, spot.implied = node, word, False
            return spot
        fresh = _Spot(node, word)
        self._new(table, word, fresh)
        return fresh

    def _enter(self, table: _Spot, word: Node, fresh: _Spot) -> _Spot:
        spot = table.named.setdefault(self._name(word), fresh)
        return spot.listed[-1] if spot.listed else spot

    def _new(self, table: _Spot, word: Node, spot: _Spot) -> bool:
        """Puts a spot under its word; False, and noted, where the word stood there already."""
        name = self._name(word)
        if name not in table.named:
            table.named[name] = spot
            return True
        if self.twice is None:
            self.twice = Twice(name, self._place(word))
        return False

    def _name(self, word: Node) -> str:
        """A word as the table has it: quotes taken off, escapes read."""
        raw = self._text(word)
        if word.type == "bare_key":
            return raw
        try:
            return str(tomllib.loads(f"word = {raw}")["word"])
        except tomllib.TOMLDecodeError:
            return raw


def _named(node: Node) -> list[Node]:
    return [child for child in node.children if child.is_named and child.type != "comment"]


def _words(node: Node | None) -> list[Node]:
    """The single words of a dotted one, in order; [] where the node is no word."""
    words: list[Node] = []
    while node is not None and node.type == "dotted_key":
        parts = _named(node)
        words.append(parts[-1])
        node = parts[0] if len(parts) > 1 else None
    if node is None or node.type not in ("bare_key", "quoted_key"):
        return []
    return [node, *reversed(words)]


def _offset_in_source(raw: str, count: int) -> int:
    """How far into a string as written (quotes included) its character number `count` (from 0) stands."""
    quotes = 3 if raw.startswith(('"""', "'''")) else 1
    at = quotes
    if quotes == 3:  # a line end right after the opening quotes is not part of the text
        at += raw.startswith("\n", 3)
    if raw.startswith("'"):
        return min(at + count, len(raw))
    while True:
        escape = _ESCAPE.match(raw, at)
        folded = escape is not None and escape.group()[-1].isspace()
        if count == 0 and not folded:
            return min(at, len(raw))
        at = at + 1 if escape is None else escape.end()
        count -= 0 if folded else 1
        if at >= len(raw):
            return len(raw)

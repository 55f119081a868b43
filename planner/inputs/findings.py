"""What is found wrong in a file, gathered by path through its table, placed by line and column at the end.

The checks know only paths (("exercise", 1, "tempo", "goal")); `faults` turns them into places in one go,
so the parser that knows positions is started only once something is wrong.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from planner.errors import Fault
from planner.inputs.places import Loc, Place, Places
from planner.inputs.text import MOST_FAULTS, plain, shown


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing wrong: the path of the value, what is wrong, what to do.

    `column` counts from 1 inside the string at `loc` (0: the value as a whole);
    `word` means that the word before the value is at fault, not the value.
    """

    loc: Loc
    message: str
    hint: str = ""
    column: int = 0
    word: bool = False


@dataclass(frozen=True, slots=True)
class Found:
    """Collects findings below one path; `under` gives the same collection a longer path."""

    base: Loc = ()
    findings: list[Finding] = field(default_factory=list)

    def under(self, *parts: str | int) -> Found:
        """The same collection, its paths beginning with `parts`."""
        return Found((*self.base, *parts), self.findings)

    def add(self, loc: Loc, message: str, hint: str = "", *, column: int = 0, word: bool = False) -> None:
        """Adds one finding at a path below the base."""
        self.findings.append(Finding((*self.base, *loc), message, hint, column, word))


def known_word(kind: str, word: object, allowed: Iterable[str]) -> tuple[str, str]:
    """Message and hint for a word that is not one of `allowed`: those words, and which was likely meant."""
    words = tuple(allowed)
    return f"{shown(word)} is not {kind}; allowed: {', '.join(words)}", did_you_mean(word, words)


def did_you_mean(word: object, allowed: Sequence[str]) -> str:
    """The hint "did you mean '...'?" with the nearest allowed word, "" where none is near."""
    if not isinstance(word, str) or len(word) > 60:
        return ""
    by_small = {one.lower(): one for one in allowed}
    near = difflib.get_close_matches(word.lower().replace("_", "-"), by_small, n=1)
    near = near or difflib.get_close_matches(word.lower(), by_small, n=1)
    return f"did you mean '{by_small[near[0]]}'?" if near else ""


def tables_of(name: str, value: object, found: Found, most: int) -> Sequence[object]:
    """The tables of a list of tables, at most `most`; () where it is left out or no list."""
    if value is None:
        return ()
    if not isinstance(value, list):
        found.add((), f"{name} should be a list of tables", f"write [[{name}]]")
        return ()
    if len(value) > most:
        found.add((most,), f"there are {len(value)} tables [[{name}]]; at most {most} fit")
    return value[:most]


def faults(findings: Sequence[Finding], text: str, file: str) -> tuple[Fault, ...]:
    """The findings as faults in the order of the file, each once, at most `MOST_FAULTS`."""
    places = Places(text)
    placed = {Fault(file, *_place(one, places), plain(one.message, 600), plain(one.hint)) for one in findings}
    ordered = sorted(placed, key=lambda one: (one.line, one.column, one.message))
    if len(ordered) <= MOST_FAULTS:
        return tuple(ordered)
    rest = Fault(file, 0, 0, "there are more faults after these")
    return (*ordered[:MOST_FAULTS], rest)


def _place(finding: Finding, places: Places) -> Place:
    if finding.column:
        return places.inside(finding.loc, finding.column)
    return places.of(finding.loc, word=finding.word)

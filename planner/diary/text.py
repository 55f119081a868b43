"""Text that comes into the diary or leaves it.

Nothing unseen is kept, and nothing that a spreadsheet would run is given out. Conventions: one stored
text is one line of characters that can be seen. Standard library only.
"""

from __future__ import annotations

import re

LONGEST = 200
"""Characters of a stored text; ids of curricula and players are far shorter."""

# Controls (C0, DEL, C1), lone surrogates, line and paragraph separators, and everything that turns the
# direction of the text around: a terminal or a page would act on them instead of showing them.
_UNSEEN = re.compile("[\x00-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ud800-\udfff]")

FORMULA = tuple("=+-@\t\r\n\uff1d\uff0b\uff0d\uff20")
"""What a cell begins with that spreadsheets run as a formula (the full-width forms by some)."""

# The apostrophe is among them so that a text that really begins with one comes back as it was.
_GUARDED = frozenset((*FORMULA, "'"))


def stripped(text: str) -> str:
    """The text without unseen characters and without white space at its ends."""
    return _UNSEEN.sub("", text).strip()


def shown(text: object, longest: int = 60) -> str:
    """Anything as a message may print it: one line, seen, at most `longest` characters."""
    seen = stripped(str(text))
    return seen if len(seen) <= longest else seen[: longest - 1] + "…"


def guarded(text: str) -> str:
    """A text cell that no spreadsheet runs: an apostrophe goes before a dangerous first character."""
    return "'" + text if text[:1] in _GUARDED else text


def unguarded(cell: str) -> str:
    """The text of a cell again: takes off the apostrophe that `guarded` put there, and no other."""
    return cell[1:] if cell[:1] == "'" and cell[1:2] in _GUARDED and len(cell) > 1 else cell

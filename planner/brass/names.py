"""How people write notes, keys and modes: closed tables of names, nothing guessed.

Conventions: a name without octave is a whole number on the line of fifths (C = 0, G = 1, F = -1, B flat = -2,
F sharp = 6). Three ways of naming: "english" (B, B flat), "german" (H, B, Fis, Es), "fixed-do" (si, sib).
Characters that only look like letters (Cyrillic, Greek, full width) are in no table and are refused by name.
"""

from __future__ import annotations

import re
from functools import cache
from itertools import product
from typing import Final, Literal

Naming = Literal["english", "german", "fixed-do"]
Mode = Literal["major", "natural minor", "harmonic minor", "melodic minor", "chromatic"]

NAMINGS: Final[tuple[Naming, ...]] = ("english", "german", "fixed-do")

_LETTER_FIFTHS: Final = {"F": -1, "C": 0, "G": 1, "D": 2, "A": 3, "E": 4, "B": 5}
_DO_FIFTHS: Final = {
    "fa": -1,
    "do": 0,
    "ut": 0,
    "sol": 1,
    "re": 2,
    "r\u00e9": 2,
    "la": 3,
    "mi": 4,
    "si": 5,
}
# A sharp is seven fifths up the line, a flat seven down.
_SIGNS: Final = {
    "": 0,
    "#": 7,
    "\u266f": 7,
    "b": -7,
    "\u266d": -7,
    "\u266e": 0,
    "##": 14,
    "\u266f\u266f": 14,
    "bb": -14,
    "\u266d\u266d": -14,
}
_ENGLISH_WORDS: Final = {"sharp": 7, "flat": -7, "natural": 0, "double sharp": 14, "double flat": -14}
# French, Italian, Spanish and Portuguese words for the same two signs.
_DO_WORDS: Final = {
    "di\u00e8se": 7,
    "diese": 7,
    "diesis": 7,
    "sostenido": 7,
    "sustenido": 7,
    "b\u00e9mol": -7,
    "bemol": -7,
    "bemolle": -7,
}
_MODES: Final[dict[str, Mode]] = {
    "major": "major",
    "minor": "natural minor",
    "natural minor": "natural minor",
    "harmonic minor": "harmonic minor",
    "melodic minor": "melodic minor",
    "chromatic": "chromatic",
    "dur": "major",
    "moll": "natural minor",
    "nat\u00fcrlich moll": "natural minor",
    "harmonisch moll": "harmonic minor",
    "melodisch moll": "melodic minor",
    "chromatisch": "chromatic",
    "majeur": "major",
    "mineur": "natural minor",
    "maggiore": "major",
    "minore": "natural minor",
    "mayor": "major",
    "menor": "natural minor",
}
_EXAMPLES: Final[dict[str, str]] = {
    "english": "C, F#, B\u266d or B-flat",
    "german": "C, Fis, B (B flat) or H (B natural)",
    "fixed-do": "do, fa#, si\u266d or si bemol",
}


class BadName(ValueError):
    """A note, key or mode that stands in no table; `hint` says what to write."""

    def __init__(self, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint


def note_fifths(text: str, naming: Naming = "english") -> int:
    """The place on the line of fifths of a note name without octave; BadName where no table has it.

    >>> note_fifths("B-flat"), note_fifths("H", "german"), note_fifths("si bemol", "fixed-do")
    (-2, 5, -2)
    """
    found = _table(naming).get(_normal(text, naming))
    if found is None:
        raise BadName(f'"{text}" is not the name of a note', _hint(text, naming))
    return found


def split_octave(text: str) -> tuple[str, int]:
    """Name and octave of "B flat 4", "Bb4" or "C-1"; octaves -1 to 9, C4 is middle C."""
    match = re.fullmatch(r"(.*?) ?(-?[0-9]{1,2})", text.strip(), flags=re.DOTALL)
    if match is None:
        raise BadName(f'"{text}" has no octave', "C4 is middle C")
    octave = int(match[2])
    if not -1 <= octave <= 9:
        raise BadName(f'"{text}" lies in no octave a brass player meets', "C4 is middle C")
    return match[1], octave


def split_mode(text: str) -> tuple[str, Mode | None]:
    """Tonic and mode of "g melodic minor" or "B-flat-major"; the mode is None where none is named.

    >>> split_mode("c-sharp-melodic-minor")
    ('c sharp', 'melodic minor')
    """
    words = re.split(r"[- ]+", text.strip())
    for count in (2, 1):
        mode = _MODES.get(" ".join(words[-count:]).lower())
        if mode is not None and len(words) > count:
            return " ".join(words[:-count]), mode
    return " ".join(words), None


@cache
def _table(naming: Naming) -> dict[str, int]:
    """Every accepted spelling of one way of naming, normalised, with its place on the line of fifths."""
    if naming == "german":
        return _german_table()
    if naming == "fixed-do":
        names, words = _DO_FIFTHS, _DO_WORDS
    else:
        names, words = _LETTER_FIFTHS, _ENGLISH_WORDS
    glued = {name + sign: names[name] + _SIGNS[sign] for name, sign in product(names, _SIGNS)}
    spoken = {f"{name} {word}": names[name] + words[word] for name, word in product(names, words)}
    return glued | spoken


def _german_table() -> dict[str, int]:
    """German names in small letters: h is B natural, b is B flat; -is raises, -es lowers (but as, es)."""
    plain = {("h" if letter == "B" else letter.lower()): fifths for letter, fifths in _LETTER_FIFTHS.items()}
    table = dict(plain)
    for name, fifths in plain.items():
        flat = name + ("s" if name in "ae" else "es")
        table |= {f"{name}is": fifths + 7, f"{name}isis": fifths + 14}
        table |= {flat: fifths - 7, flat + ("as" if name == "a" else "es"): fifths - 14}
    del table["hes"]  # the note is called B
    return table | {"b": -2}


def _normal(text: str, naming: Naming) -> str:
    """One spelling for lookup: single blanks for hyphens, small letters except where a capital matters."""
    name = re.sub(r"[- ]+", " ", text.strip())
    if naming != "english":
        return name.lower()
    # "BB" is nobody's B flat: only whole words may be written in capitals.
    rest = name[1:].lower() if len(name) > 3 else name[1:]
    return name[:1].upper() + rest


def _hint(text: str, naming: Naming) -> str:
    """What to write instead; names the first character that no table knows."""
    import unicodedata

    known = set("".join(_table(naming))) | set("".join(_table(naming)).upper()) | set("- ")
    for character in text:
        if character not in known and not character.isascii():
            return f"the character {character} is {unicodedata.name(character, 'unknown').lower()}"
    return f"write for example {_EXAMPLES[naming]}"

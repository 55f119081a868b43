"""For which instrument a part of a score is read where nobody says: by its name, else clef and transposition.

The names are those that notation programs and publishers print, in English, German and Italian (from memory);
several instruments of one name are told apart by clef and transposition. Standard library only.
"""

from __future__ import annotations

import re

from planner.brass.instruments import INSTRUMENTS, Instrument
from planner.inputs.score_reader import ReadPart

NAMES: tuple[tuple[str, tuple[str, ...]], ...] = (
    (r"bass trombone|bassposaune|trombone basso", ("bass-trombone",)),
    (r"trombone|posaune|tromboni", ("trombone", "trombone-treble")),
    (r"flugel|flügel|flicorno", ("flugelhorn",)),
    (r"soprano cornet", ("soprano-cornet",)),
    (r"cornet|kornett|cornetta", ("cornet",)),
    (r"(alto|tenor)\b.*\bhorn|althorn", ("alto-horn",)),
    (r"euphonium|eufonio", ("euphonium", "euphonium-treble")),
    (r"baritone|bariton", ("baritone", "baritone-treble")),
    (r"tuba|sousaphone|\bbass in\b|b[♭b] bass|e[♭b] bass", ()),
    (r"(trumpet|trompete|tromba) in (c|do)\b", ("trumpet-c",)),
    (r"trumpet|trompete|tromba|trombe", ("trumpet", "trumpet-c")),
    (r"horn|corno|corni", ("horn",)),
)
"""Words in the name of a part and the instruments they may mean, the usual one first; () is every tuba."""

BY_CLEF = {"treble": ("trumpet", "horn", "alto-horn", "euphonium-treble"), "bass": ("trombone",)}
OTHERWISE = "trumpet"


def instrument_of(part: ReadPart) -> tuple[Instrument, str]:
    """The instrument a part is read for, and by what it was told: its name, its clef, or nothing."""
    name = part.name.lower()
    exact = [one for one in INSTRUMENTS.values() if one.name.lower() == name.strip()]
    if exact:
        return exact[0], "by the name of the part"
    for words, ids in NAMES:
        if re.search(words, name):
            tubas = tuple(one.id for one in INSTRUMENTS.values() if one.family == "tuba")
            return _nearest(ids or tubas, part), "by the name of the part"
    if part.clef or part.transposition is not None:
        known = BY_CLEF[part.clef or "treble"]
        return _nearest(known, part), "by the clef of the part"
    return INSTRUMENTS[OTHERWISE], "as the part does not name one"


def _nearest(ids: tuple[str, ...], part: ReadPart) -> Instrument:
    """The one whose clef and transposition are those of the part; the first of several."""

    def agrees(one: Instrument) -> tuple[bool, bool]:
        return (
            part.clef in ("", one.clef),
            part.transposition in (None, one.transposition.chromatic),
        )

    return max((INSTRUMENTS[name] for name in ids), key=agrees)

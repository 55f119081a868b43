"""Which signs of a MusicXML part are not taken over into a figure: every one is counted, none lost silently.

An element is understood by `score_reader.py`, a matter of looks, a box that holds other signs, or it is
listed: in words where a player has a word for it, else by its name in the file.
"""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections import Counter
from collections.abc import Iterator

IN_WORDS = {
    "accidental-mark": "accidentals over other signs",
    "bend": "bends of a string",
    "caesura": "pauses of the whole bar",
    "coda": "codas",
    "dynamics": "dynamics",
    "ending": "first and second endings",
    "fermata": "fermatas",
    "figured-bass": "figures of a bass",
    "fingering": "fingerings, worked out anew for every instrument",
    "glissando": "slides",
    "harmony": "chord names",
    "inverted-mordent": "mordents",
    "inverted-turn": "turns",
    "lyric": "syllables of text",
    "metronome": "tempo marks",
    "mordent": "mordents",
    "notehead": "noteheads of another shape",
    "octave-shift": "octave lines",
    "rehearsal": "letters of a rehearsal",
    "repeat": "repeat signs",
    "segno": "segnos",
    "slide": "slides",
    "staccato": "staccato dots, an articulation of the exercise",
    "tenuto": "tenuto lines",
    "tremolo": "tremolos",
    "trill-mark": "trills",
    "turn": "turns",
    "wavy-line": "wavy lines",
    "wedge": "swells",
    "words": "words above or below",
}
UNDERSTOOD = frozenset(
    (
        *("accent", "backup", "beats", "beat-type", "brass-bend", "breath-mark", "chord", "cue", "divisions"),
        *("duration", "fifths", "forward", "grace", "mode", "pitch", "rest", "slur", "strong-accent", "tie"),
        *("tied", "time-modification", "tuplet", "unpitched", "voice"),
    )
)
LOOKS = frozenset(
    (
        *("accidental", "bar-style", "beam", "bookmark", "clef", "dot", "footnote", "grouping", "instrument"),
        *(
            "instruments",
            "level",
            "link",
            "listen",
            "offset",
            "part-symbol",
            "play",
            "print",
            "sound",
            "staff",
        ),
        *("staff-details", "staves", "stem", "transpose", "type"),
    )
)
BOXES = frozenset(
    (
        *(
            "articulations",
            "attributes",
            "barline",
            "direction",
            "direction-type",
            "key",
            "notations",
            "note",
        ),
        *("ornaments", "technical", "time"),
    )
)


def left_out(part: ET.Element) -> Counter[str]:
    """How many signs of each kind stand in a part and are not taken over."""
    found: Counter[str] = Counter()
    for measure in part.findall("measure"):
        found.update(IN_WORDS.get(tag, f"<{tag[:40]}>") for tag in _unknown(measure))
    return found


def _unknown(box: ET.Element) -> Iterator[str]:
    bent = box.tag == "note" and box.find("notations/technical/brass-bend") is not None
    for sign in box:
        if sign.tag in BOXES:
            yield from _unknown(sign)
        elif sign.tag not in UNDERSTOOD and sign.tag not in LOOKS and not (bent and sign.tag == "notehead"):
            yield sign.tag

"""A score as MEI: the one file format the engraver is given.

Fingerings are written as `harm`, whose texts stand in one line over the staff, clear of slurs and accents.
Every note has an id that follows from its place and the whole, so the same score is the same text.
"""

from __future__ import annotations

from hashlib import sha256
from typing import Final
from xml.etree import ElementTree as ET

from planner.engrave.score import ClefName, Printed, Score

NAMESPACE: Final = "http://www.music-encoding.org/ns/mei"
BEND_HEAD: Final = "x"
_ID: Final = "note-"
_CLEFS: Final[dict[ClefName, tuple[str, str]]] = {
    "treble": ("G", "2"),
    "bass": ("F", "4"),
    "tenor": ("C", "4"),
}
_ACCIDENTALS: Final = {-2: "ff", -1: "f", 0: "n", 1: "s", 2: "x"}
_SOUNDING: Final = _ACCIDENTALS | {2: "ss"}  # MEI has another word for a double sharp that is not printed


def mei_text(score: Score) -> str:
    """The MEI of a score, ending in a line feed."""
    root = ET.Element("mei", {"xmlns": NAMESPACE, "meiversion": "5.0"})
    description = ET.SubElement(ET.SubElement(root, "meiHead"), "fileDesc")
    ET.SubElement(ET.SubElement(description, "titleStmt"), "title")
    ET.SubElement(description, "pubStmt")
    part = root
    for name in ("music", "body", "mdiv", "score"):
        part = ET.SubElement(part, name)
    _definition(part, score)
    section = ET.SubElement(part, "section")
    ids = {}
    for number, bar in enumerate(score.bars):
        ids[number] = [f"{_ID}{number}-{index}" for index in range(len(bar))]
    for number in range(len(score.bars)):
        _measure(section, score, number, ids)
    return _with_own_ids(ET.tostring(root, encoding="unicode") + "\n")


def _with_own_ids(text: str) -> str:
    """The ids marked with a hash of the whole, so that no two scores on one page share one."""
    own = f"{_ID}{sha256(text.encode()).hexdigest()[:8]}-"
    return text.replace(f'"{_ID}', f'"{own}').replace(f'"#{_ID}', f'"#{own}')


def _definition(part: ET.Element, score: Score) -> None:
    """Clef, signature, meter and transposition of the one staff.

    The meter is the plain one whatever its grouping, which the beams show: an additive signature is read by
    few who learn.
    """
    group = ET.SubElement(ET.SubElement(part, "scoreDef"), "staffGrp")
    staff = ET.SubElement(group, "staffDef", {"n": "1", "lines": "5"})
    shift = score.instrument.transposition
    if shift.chromatic:
        staff.set("trans.diat", str(shift.diatonic))
        staff.set("trans.semi", str(shift.chromatic))
    shape, line = _CLEFS[score.clef]
    ET.SubElement(staff, "clef", {"shape": shape, "line": line})
    signs = score.key.signature
    ET.SubElement(staff, "keySig", {"sig": f"{abs(signs)}{'s' if signs > 0 else 'f'}" if signs else "0"})
    meter = {"count": str(score.meter.beats), "unit": str(score.meter.unit)}
    if not score.show_meter:
        meter["visible"] = "false"
    ET.SubElement(staff, "meterSig", meter)


def _measure(section: ET.Element, score: Score, number: int, ids: dict[int, list[str]]) -> None:
    """One bar: its notes, then everything that hangs on them."""
    bar, last = score.bars[number], number == len(score.bars) - 1
    attributes = {"n": str(number + 1)}
    if score.repeated and number == 0:
        attributes["left"] = "rptstart"
    if not score.bar_lines:
        attributes["right"] = "invis"
    elif last:
        attributes["right"] = "rptend" if score.repeated else "end"
    measure = ET.SubElement(section, "measure", attributes)
    layer = ET.SubElement(ET.SubElement(measure, "staff", {"n": "1"}), "layer", {"n": "1"})
    parent = layer
    for note, name in zip(bar, ids[number], strict=True):
        if note.beam == "start":
            parent = ET.SubElement(layer, "beam")
        _note(parent if note.beam else layer, note, name)
    for index, note in enumerate(bar):
        _marks(measure, score, (number, index), note, ids)


def _note(parent: ET.Element, note: Printed, name: str) -> None:
    """One note or rest."""
    length = {"xml:id": name, "dur": str(note.base)} | ({"dots": str(note.dots)} if note.dots else {})
    if note.pitch is None:
        ET.SubElement(parent, "rest", length)
        return
    found = {"pname": note.pitch.step.lower(), "oct": str(note.pitch.octave)}
    signs = (("acc", note.accent), ("stacc", note.staccato), ("ten", note.tenuto))
    articulation = " ".join(sign for sign, wanted in signs if wanted)
    if articulation:
        found["artic"] = articulation
    if note.bend:
        found["head.shape"] = BEND_HEAD
    if note.stemless:
        found["stem.visible"] = "false"
    element = ET.SubElement(parent, "note", length | found)
    _accidental(element, note)


def _accidental(element: ET.Element, note: Printed) -> None:
    """The accidental that is printed, or the one that the signature or the bar already gives."""
    assert note.pitch is not None
    sign = _ACCIDENTALS[note.pitch.alter]
    if note.sign == "shown":
        element.set("accid", sign)
    elif note.sign == "courtesy":
        ET.SubElement(element, "accid", {"accid": sign, "func": "caution", "enclose": "paren"})
    elif note.pitch.alter:
        element.set("accid.ges", _SOUNDING[note.pitch.alter])


def _marks(
    measure: ET.Element, score: Score, place: tuple[int, int], note: Printed, ids: dict[int, list[str]]
) -> None:
    """Fingering, bend, tie, slur and breath of one note."""
    number, index = place
    start = {"startid": f"#{ids[number][index]}"}
    if note.fingering:
        harm = ET.SubElement(measure, "harm", start | {"place": "above"})
        ET.SubElement(harm, "rend", {"fontweight": "bold", "fontsize": "80%"}).text = note.fingering
        if note.others:
            ET.SubElement(harm, "rend", {"fontsize": "70%"}).text = f" ({' '.join(note.others)})"
    if note.bend and not (index and score.bars[number][index - 1].bend):
        words = ET.SubElement(measure, "dir", start | {"place": "below"})
        ET.SubElement(words, "rend", {"fontsize": "75%"}).text = "bend"
    if note.tie:
        ET.SubElement(measure, "tie", start | {"endid": f"#{_next(ids, number, index)}"})
    if note.slur == "start":
        end = _slur_end(score, ids, number, index)
        ET.SubElement(measure, "slur", start | {"endid": f"#{end}", "curvedir": "above"})
    if note.breath:
        begun = sum(one.eighths for one in score.bars[number][: index + 1])
        stamp = 1 + float(begun) * score.meter.unit / 8 - 0.2
        ET.SubElement(measure, "breath", {"tstamp": f"{stamp:g}"})


def _next(ids: dict[int, list[str]], number: int, index: int) -> str:
    """The id of the note after this one."""
    return ids[number][index + 1] if index + 1 < len(ids[number]) else ids[number + 1][0]


def _slur_end(score: Score, ids: dict[int, list[str]], number: int, index: int) -> str:
    """The id of the note on which the slur that begins here ends."""
    at = index + 1
    while number < len(score.bars):
        for place in range(at, len(score.bars[number])):
            if score.bars[number][place].slur == "end":
                return ids[number][place]
        number, at = number + 1, 0
    raise AssertionError("a slur has no end")

"""Scores that nobody here wrote, read from the installed package music21 and never copied.

Every brass part of its corpus (24 Bach files with horns, trumpets, cornets), and the 145 files of an open
suite of MusicXML tests that it carries. What music21 itself reads is the other road.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections import Counter
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import music21
import pytest
from heavy import heavy_count

from planner.brass.figures import read_figure, write_degrees, write_partials
from planner.brass.instruments import INSTRUMENTS
from planner.errors import BadData, PlannerError
from planner.inputs.import_figure import Imported, figure_of
from planner.inputs.score_reader import Bar, ReadPart, read_score
from planner.inputs.score_signs import BOXES, IN_WORDS, LOOKS, UNDERSTOOD, left_out

PACKAGE = Path(music21.__file__).parent
SUITE = sorted((PACKAGE / "musicxml" / "lilypondTestSuite").glob("*.xml"))
BRASS = re.compile(r"trumpet|horn|cornet|trombone|tuba|tromba|corno", re.IGNORECASE)
TRUMPET = INSTRUMENTS["trumpet"]
pytestmark = pytest.mark.filterwarnings("ignore")  # music21 warns of its own old files


@dataclass(frozen=True)
class BrassPart:
    """A part: its file, its number there, its name."""

    path: Path
    number: int
    name: str


@cache
def brass_parts() -> tuple[BrassPart, ...]:
    """Every part of the corpus with the name of a brass instrument."""
    found = (PACKAGE / "corpus" / "bach").rglob("*")
    return tuple(one for path in sorted(found) if path.suffix in (".mxl", ".xml") for one in _brass(path))


def _brass(path: Path) -> Iterator[BrassPart]:
    root = ET.fromstring(_text(path))
    for number, part in enumerate(root.iter("score-part"), 1):
        name = part.findtext("part-name") or ""
        if BRASS.search(name) and "English" not in name:
            yield BrassPart(path, number, name)


def _text(path: Path) -> bytes:
    if path.suffix == ".xml":
        return path.read_bytes()
    with zipfile.ZipFile(io.BytesIO(path.read_bytes())) as file:
        names = [name for name in file.namelist() if name.endswith((".xml", ".musicxml"))]
        return file.read(next(name for name in names if not name.startswith("META-INF")))


@pytest.fixture(scope="module")
def parts(request: pytest.FixtureRequest) -> list[tuple[BrassPart, ReadPart]]:
    """All of them under -m full, else a few, evenly spread."""
    found = brass_parts()
    wanted = min(len(found), heavy_count(request.config, "brass parts of real scores"))
    some = [found[number * len(found) // wanted] for number in range(wanted)]
    return [(one, read_score(one.path, str(one.number))) for one in some]


def imported(bar: Bar) -> Imported | None:
    """The bar as a figure; None where it is none."""
    try:
        return figure_of((bar,), TRUMPET, "x")
    except BadData:
        return None


def again(found: Imported, bar: Bar) -> list[int | None]:
    """The written notes of a figure, written out where it stood."""
    figure = read_figure(found.notation, found.meter, found.kind)
    if found.position is not None:
        passage = write_partials(figure, TRUMPET, found.position)
    else:
        heights = [note.pitch.midi for note in bar.notes if note.pitch]
        passage = write_degrees(figure, TRUMPET, found.key, min(heights), max(heights))
    return [note.pitch and note.pitch.midi for note in passage.notes]


def test_there_are_24_files_with_brass_parts() -> None:
    # counted by part names over the whole corpus of music21 10.5
    assert len({one.path for one in brass_parts()}) == 24


@pytest.mark.heavy
def test_every_note_of_a_brass_part_is_the_one_that_music21_reads(
    parts: list[tuple[BrassPart, ReadPart]],
) -> None:
    wrong = []
    for one, read in parts:
        score: Any = music21.converter.parse(one.path)
        theirs = [
            (note.pitches[0].midi, Fraction(note.quarterLength) * 2)
            for measure in score.parts[one.number - 1].getElementsByClass("Measure")
            for note in measure.recurse().notes
            if not note.duration.isGrace
        ]
        ours = [(note.pitch.midi, note.eighths) for bar in read.bars for note in bar.notes if note.pitch]
        wrong += [] if ours == theirs else [(one.path.name, one.name)]
    assert wrong == []


@pytest.mark.heavy
def test_every_bar_that_is_a_figure_comes_back_note_for_note(
    parts: list[tuple[BrassPart, ReadPart]],
) -> None:
    wrong, count = [], 0
    for one, read in parts:
        for bar in read.bars:
            found = imported(bar)
            if found is None:
                continue
            count += 1
            if again(found, bar) != [note.pitch and note.pitch.midi for note in bar.notes]:
                wrong.append((one.path.name, one.name, bar.number, found.notation))
    assert count
    assert wrong == []


@pytest.mark.heavy
def test_a_bar_that_is_no_figure_is_empty_short_or_too_fast(
    parts: list[tuple[BrassPart, ReadPart]],
) -> None:
    """Three reasons and no other: bars of rests, pick-ups with their last bars, thirty-second notes."""
    reasons: Counter[str] = Counter()
    for _, read in parts:
        for bar in read.bars:
            try:
                figure_of((bar,), TRUMPET, "x")
            except BadData as trouble:
                reasons.update(re.sub(r"[0-9/]+", "N", fault.message) for fault in trouble.faults)
    assert set(reasons) <= {
        "these bars have no notes",
        "bar N holds N eighths of N eighths",
        "bar N holds N eighth of N eighths",
        "bar N: a note of N eighths has no sign in a figure",
    }


@pytest.mark.parametrize("path", SUITE, ids=lambda path: path.stem)
def test_every_score_of_the_suite_is_read_or_refused_in_words(path: Path) -> None:
    count = len(ET.fromstring(path.read_bytes()).findall("part"))
    for number in range(1, count + 1):
        try:
            read = read_score(path, str(number))
        except PlannerError:
            continue
        for bar in read.bars:
            with suppress(PlannerError):
                assert figure_of((bar,), TRUMPET, path.name).notation


def test_every_sign_of_the_suite_is_understood_or_listed() -> None:
    """Whatever stands on a note, over it or at a bar line is one of the three; what is none is counted."""
    for path in SUITE:
        for part in ET.fromstring(path.read_bytes()).findall("part"):
            named = [IN_WORDS.get(one.tag, f"<{one.tag}>") for one in _signs(part)]
            bends = sum("noteheads" in name for name in named)
            assert sum(left_out(part).values()) in (len(named), len(named) - bends)
            assert set(left_out(part)) <= set(named)


def _signs(part: ET.Element) -> Iterator[ET.Element]:
    """What stands in boxes and is neither understood nor a matter of looks."""
    for measure in part.findall("measure"):
        waiting = list(measure)
        while waiting:
            sign = waiting.pop()
            if sign.tag in BOXES:
                waiting += list(sign)
            elif sign.tag not in UNDERSTOOD | LOOKS:
                yield sign


@pytest.mark.parametrize(
    ("file", "told"),
    [
        # names of the suite's own files: what each was written to show
        ("22a-Noteheads.xml", "noteheads of another shape"),
        ("31c-MetronomeMarks.xml", "tempo marks"),
        ("61b-MultipleLyrics.xml", "syllables of text"),
        ("45a-SimpleRepeat.xml", "repeat signs"),
        ("24a-GraceNotes.xml", "grace notes"),
        ("32a-Notations.xml", "<staccatissimo>"),
    ],
)
def test_what_a_score_was_written_to_show_is_listed(file: str, told: str) -> None:
    (path,) = [one for one in SUITE if one.name == file]
    assert told in " ".join(read_score(path, "1").left_out)


# folk songs of the Essen collection in odd meters, found by their time signatures in music21's corpus
ODD = [
    ("essenFolksong/han2", 37, "5/8"),
    ("essenFolksong/han2", 185, "5/8"),
    ("essenFolksong/ballad30", 58, "5/8"),
    ("essenFolksong/ballad20", 100, "7/8"),
    ("essenFolksong/han1", 213, "7/8"),
    ("essenFolksong/ballad40", 203, "5/4"),
    ("essenFolksong/han2", 399, "7/8"),
    ("essenFolksong/lot", 499, "5/8"),
    ("essenFolksong/han1", 87, "11/8"),
    ("essenFolksong/variant0", 3, "11/8"),
]


@pytest.mark.parametrize(("work", "number", "meter"), ODD, ids=lambda value: str(value).rpartition("/")[2])
def test_every_full_bar_of_an_odd_song_becomes_a_figure(
    tmp_path: Path, work: str, number: int, meter: str
) -> None:
    song: Any = music21.corpus.parse(work, number=number)
    song.write("musicxml", tmp_path / "song.musicxml")
    read = read_score(tmp_path / "song.musicxml")
    reread: Any = music21.converter.parse(
        tmp_path / "song.musicxml"
    )  # its writer fills the last bar with rests
    measures = list(reread.parts[0].getElementsByClass("Measure"))
    theirs = [[note.pitch.midi if note.isNote else None for note in one.notesAndRests] for one in measures]
    beats, unit = (int(part) for part in meter.split("/"))
    full = [
        (bar, notes)
        for bar, notes in zip(read.bars, theirs, strict=True)
        if (bar.beats, bar.unit) == (str(beats), unit) and bar.eighths == Fraction(8 * beats, unit)
    ]
    found = [(figure_of((bar,), TRUMPET, work), bar, notes) for bar, notes in full]
    assert found
    assert [notes for one, bar, notes in found if again(one, bar) != notes] == []

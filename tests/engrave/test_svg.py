"""Drawings: the same bytes every time, ids of their own, no text that a printer would get wrong."""

from __future__ import annotations

import re
import subprocess
import sys
from xml.etree import ElementTree as ET

import pytest
from engrave.scores import degrees, partials
from structure.tree import ROOT

from planner.engrave import svg
from planner.engrave.score import Style

FIVES = partials("4e> 5e 6e> 5e 4e", "5/8", position=5)
TWO_OCTAVES = degrees(
    "1e 2 3 4 5 6 7 8 | 9 10 11 12 13 14 15 14 | 13 12 11 10 9 8 7 6 | 5 4 3 2 1h", "4/4", "tuba-eb", "Eb"
)
PRIVATE_USE = re.compile("[\ue000-\uf8ff]")
SCRIPT = """
import hashlib
from engrave.scores import partials
from planner.engrave.svg import engrave
print(hashlib.sha256(engrave(partials("4e> 5e 6e> 5e 4e", "5/8", position=5)).svg.encode()).hexdigest())
"""


def ids(text: str) -> set[str]:
    return set(re.findall(r'\bid="([^"]+)"', text))


def fresh() -> str:
    """The hash of one drawing made in a process of its own."""
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT],
        env={"PYTHONPATH": f"{ROOT}:{ROOT / 'tests'}", "PYTHONHASHSEED": "random"},
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout


def test_a_drawing_is_the_same_in_every_process() -> None:
    assert fresh() == fresh()


def test_a_drawing_is_the_same_whatever_was_drawn_before() -> None:
    first = svg.engrave_mei(svg.engrave(FIVES).mei)
    svg.engrave_mei(svg.engrave(TWO_OCTAVES).mei)
    assert svg.engrave_mei(svg.engrave(FIVES).mei) == first


def test_two_drawings_share_no_id() -> None:
    # the signs' own names (E050 and so on) carry the seed of the drawing as well
    assert not ids(svg.engrave(FIVES).svg) & ids(svg.engrave(TWO_OCTAVES).svg)


@pytest.mark.parametrize("score", [FIVES, TWO_OCTAVES], ids=["one bar", "four bars"])
def test_no_music_sign_stands_in_a_text(score: svg.Score) -> None:
    texts = list(ET.fromstring(svg.engrave(score).svg).itertext())
    assert not any(PRIVATE_USE.search(text) for text in texts)


def test_no_tempo_stands_in_a_drawing() -> None:
    assert "tempo" not in {one.get("class") for one in ET.fromstring(svg.engrave(FIVES).svg).iter()}


def test_a_long_figure_is_broken_into_lines_of_the_width() -> None:
    whole, broken = svg.engrave(TWO_OCTAVES), svg.engrave(TWO_OCTAVES, 15.0)
    assert whole.width > 15
    assert broken.width == pytest.approx(15, abs=0.1)
    assert broken.height > 2 * whole.height * 0.8


def test_a_short_figure_keeps_its_own_width() -> None:
    assert svg.engrave(FIVES, 26.0) == svg.engrave(FIVES)


def test_the_place_of_the_staff_is_measured() -> None:
    # the staff is four spaces high and lies inside the drawing
    high = svg.engrave(partials("8e 10 12 10 8 6 5 4", "4/4", style=Style("staccato")))
    assert 0 < high.top < high.height - 1


def test_what_is_no_music_is_refused() -> None:
    with pytest.raises(AssertionError, match="cannot read its MEI"):
        svg.engrave_mei("<mei")


def test_verovio_itself_hears_the_sounding_notes() -> None:
    """Its own MIDI: note-on bytes 0x90 with a pitch and a velocity above 0."""
    midi = svg.midi_bytes(svg.engrave(FIVES).mei)
    track = midi.partition(b"MTrk")[2].rpartition(b"MTrk")[2]
    heard = [track[at + 1] for at in range(len(track) - 2) if track[at] == 0x90 and track[at + 2]]
    # B flat trumpet, 2-3, partials 4 5 6 5 4: F sharp 4, A sharp 4, C sharp 5, worked by hand
    assert heard == [66, 70, 73, 70, 66]

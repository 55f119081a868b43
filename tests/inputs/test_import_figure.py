"""Bars of a score as figures: our own scores come back, real scores are read, bad files are told."""

from __future__ import annotations

import io
import re
import tempfile
import zipfile
from fractions import Fraction
from pathlib import Path
from xml.sax.saxutils import escape

import music21
import pytest
from cli.plan_player import Said, run_here
from exports.scored import piece, pieces
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from planner.brass.figures import read_figure, write_degrees
from planner.brass.instruments import INSTRUMENTS
from planner.brass.keys import Pitch
from planner.brass.tempo import parse_meter
from planner.errors import BadData
from planner.exports.musicxml import musicxml
from planner.exports.score import Piece
from planner.inputs.import_figure import figure_of
from planner.inputs.score_grouping import grouping_of
from planner.inputs.score_instrument import instrument_of
from planner.inputs.score_reader import Bar, ReadNote, ReadPart, read_score

TRUMPET = INSTRUMENTS["trumpet"]


def written(folder: Path, text: str | bytes, name: str = "score.musicxml") -> Path:
    """A file with this text."""
    path = folder / name
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return path


def imported(*words: str) -> Said:
    """What the program prints."""
    return run_here("import-figure", *words)


def pattern(said: Said) -> str:
    """The last line: the figure."""
    assert said.code == 0, said.err
    return said.out.splitlines()[-1]


@given(drawn=pieces())
@settings(
    max_examples=40,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
)
def test_a_score_of_ours_comes_back_note_for_note(tmp_path: Path, drawn: Piece) -> None:
    (passage,) = drawn.passages
    part = read_score(written(tmp_path, musicxml([drawn], "x")))
    found = figure_of(part.bars, drawn.instrument, "x")
    if found.kind == "partials":
        return  # the tube is tested below
    figure = read_figure(found.notation, found.meter, "degrees")
    low, high = passage.lowest, passage.highest
    again = write_degrees(figure, drawn.instrument, found.key, low, high)
    assert [n.eighths for n in again.notes] == [n.eighths for n in passage.notes]
    assert [n.pitch and n.pitch.midi for n in again.notes] == [
        n.pitch and n.pitch.midi for n in passage.notes
    ]
    assert [n.accent for n in again.notes] == [n.accent for n in passage.notes]


@pytest.mark.parametrize("name", ["trumpet", "horn", "trombone", "euphonium-treble", "tuba-bb"])
@pytest.mark.parametrize("place", [1, 4, 7])
def test_notes_of_one_tube_are_read_as_its_partials(tmp_path: Path, name: str, place: int) -> None:
    made = piece("(3e> 4e) 5e 6e> 5e", instrument=name, places=(place,))
    part = read_score(written(tmp_path, musicxml([made], "x")))
    found = figure_of(part.bars, INSTRUMENTS[name], "x")
    assert (found.kind, found.position) == ("partials", place)
    assert found.notation == "(3e> 4) 5 6> 5"


def test_the_exercise_stands_in_a_curriculum_as_printed(tmp_path: Path) -> None:
    score = written(tmp_path, musicxml([piece(places=(1,))], "x"))
    exercise = imported(str(score), "--id", "five").out
    head = '[curriculum]\nid = "mine"\ntitle = "Mine"\nweeks = 4\n\n'
    curriculum = written(tmp_path, head + exercise, "mine.toml")
    assert run_here("check", str(curriculum)).code == 0


# a hyphen that is the fortieth letter; a name that no file of Windows may have
@pytest.mark.parametrize("stem", [f"{'a' * 39} two", "con"])
def test_an_exercise_has_an_id_that_is_one_whatever_its_file_is_called(tmp_path: Path, stem: str) -> None:
    score = written(tmp_path, musicxml([piece(places=(1,))], "x"), f"{stem} .musicxml")
    found = imported(str(score)).out
    head = '[curriculum]\nid = "mine"\ntitle = "Mine"\nweeks = 4\n\n'
    assert run_here("check", str(written(tmp_path, head + found, "mine.toml"))).code == 0


@pytest.mark.parametrize(
    ("work", "number", "bars", "meter"),
    [
        # odd meters in the corpus that music21 ships (Essen folk songs), read from the installed package
        ("essenFolksong/han2", 37, "2-3", "5/8"),
        ("essenFolksong/ballad20", 100, "2-3", "7/8"),
        ("essenFolksong/han1", 213, "1-2", "7/8"),
        ("essenFolksong/ballad40", 203, "2-3", "5/4"),
    ],
)
def test_odd_meters_of_real_songs_are_read(
    tmp_path: Path, work: str, number: int, bars: str, meter: str
) -> None:
    song = music21.corpus.parse(work, number=number)
    path = tmp_path / "song.musicxml"
    song.write("musicxml", path)
    said = imported(str(path), "--bars", bars)
    assert f'meter = "{meter}"' in said.out
    notes = pattern(said).split('"')[1].replace("|", " ").split()
    first, last = (int(number) for number in bars.split("-"))
    measures = song.parts[0].getElementsByClass("Measure")[first - 1 : last]
    assert len(notes) == sum(len(measure.notesAndRests) for measure in measures)


@pytest.mark.parametrize("work", ["bach/bwv29.8", "bach/bwv1.6", "bach/bwv248.64-6"])
def test_brass_parts_of_real_scores_are_read(work: str) -> None:
    path = Path(str(music21.corpus.getWork(work)))
    score = music21.converter.parse(path)
    named = [p for p in score.parts if p.partName and p.partName.startswith(("Trumpet", "Horn"))]
    ours = read_score(path, str([p.partName for p in score.parts].index(named[0].partName) + 1))
    theirs = [n.pitch.midi for n in named[0].recurse().notes]
    assert [n.pitch.midi for bar in ours.bars for n in bar.notes if n.pitch is not None] == theirs


def test_a_compressed_score_is_read(tmp_path: Path) -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as file:
        file.writestr(
            "META-INF/container.xml",
            '<container><rootfiles><rootfile full-path="s.xml"/></rootfiles></container>',
        )
        file.writestr("s.xml", musicxml([piece(places=(1,))], "x"))
    part = read_score(written(tmp_path, out.getvalue(), "score.mxl"))
    assert len(part.bars) == 1


def test_a_damaged_compressed_score_is_told_in_one_line(tmp_path: Path) -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as file:
        file.writestr(
            "META-INF/container.xml",
            '<container><rootfiles><rootfile full-path="s.xml"/></rootfiles></container>',
        )
        file.writestr("s.xml", musicxml([piece(places=(1,))], "x"))
    data = out.getvalue()
    inside = data.index(b"s.xml", data.index(b"PK\x03\x04", 4)) + len("s.xml")
    damaged = data[:inside] + b"\xff" * 6 + data[inside + 6 :]
    said = imported(str(written(tmp_path, damaged, "score.mxl")))
    assert (said.code, said.err.count("\n"), "its container is broken" in said.err) == (65, 1, True)


def test_a_slur_from_the_last_note_of_another_is_counted_as_lost(tmp_path: Path) -> None:
    """The notation has one slur at a time: ( and ) stand at different notes."""
    text = musicxml([piece(places=(1,), passes=1)], "x")
    notes = re.findall(r"<note>.*?</note>", text, re.DOTALL)
    signs = (
        ('type="start" number="1"',),
        ('type="stop" number="1"', 'type="start" number="2"'),
        ('type="stop" number="2"',),
    )
    for note, slurs in zip(notes, signs, strict=False):
        bare = re.sub(r"<notations>.*?</notations>", "", note, flags=re.DOTALL)
        drawn = "".join(f"<slur {slur}/>" for slur in slurs)
        text = text.replace(note, bare.replace("</note>", f"<notations>{drawn}</notations></note>"), 1)
    part = read_score(written(tmp_path, text))
    assert figure_of(part.bars, TRUMPET, "x").slurs_lost == 1


def test_what_is_left_out_is_listed(tmp_path: Path) -> None:
    text = musicxml([piece(places=(1,), passes=1)], "x")
    chord = text.replace("<note>", "<note><chord/>", 2).replace("<note><chord/>", "<note>", 1)
    said = imported(str(written(tmp_path, chord.replace("</pitch>", "</pitch><!-- -->", 1))), "--id", "x")
    assert "holds 4 eighths of 5 eighths" in said.err


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "this is an empty file"),
        (
            "X:1\nT:Tune\nK:C\nCDEF|\n",
            "this is ABC notation, which cannot be read (a MusicXML file is wanted",
        ),
        (b"MThd\x00\x00\x00\x06", "score.musicxml:1:1: this is a MIDI file, which cannot be read"),
        ("<a>" * 100_000, "score.musicxml:1:601: this lies deeper than any sign of a score"),
        ('<?xml version="1.0" encoding="klingon"?><a/>', "its encoding is not known"),
        ("<html></html>", "<html> is no MusicXML score"),
        ("<score-timewise/>", "score-partwise"),
        ("<score-partwise/>", "the score has no part"),
        ("<score-partwise><part", "not well-formed XML"),
        ('<!DOCTYPE x [<!ENTITY a "aa">]><score-partwise/>', "declares entities"),
        (b"PK\x03\x04 broken", "its container is broken"),
        (b"\xff\xfe\x00", "not well-formed XML"),
    ],
)
def test_what_is_no_score_is_told_in_one_line(tmp_path: Path, text: str | bytes, told: str) -> None:
    said = imported(str(written(tmp_path, text)))
    assert said.code == 65
    assert told in said.err
    assert said.err.count("\n") == 1


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("<duration>4<", "<duration>x<", "<duration> is 'x', no number"),
        ("<step>E<", "<step>H<", "'H' is the name of no note"),
        ("<duration>4<", "<duration>5<", "has no sign in a figure"),
        ("<beats>5<", "<beats>6<", "holds 5 eighths of 6 eighths"),
        ("<divisions>8<", "<divisions>eight<", "<divisions> is 'eight', no number"),
    ],
)
def test_a_bar_that_is_no_figure_is_told(tmp_path: Path, old: str, new: str, told: str) -> None:
    text = musicxml([piece(places=(1,))], "x")
    assert old in text
    said = imported(str(written(tmp_path, text.replace(old, new))))
    assert (said.code, told in said.err) == (65, True), said.err


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("<divisions>8<", "<divisions>0<", "bar 1: <divisions> is '0', not 1 to 999999"),
        ("<divisions>8<", "<divisions>-8<", "bar 1: <divisions> is '-8', not 1 to 999999"),
        ("<duration>4<", "<duration>1e999999999<", "bar 1: <duration> is '1e999999999', no number"),
        ("<octave>5<", "<octave>99999999<", "bar 1: <pitch/octave> is '99999999', not 0 to 9"),
        ("<duration>4<", "<duration>5<", "bar 1: a note of 5/4 eighths"),
        ("<beats>5<", "<beats>6<", "bar 1 holds 5 eighths of 6 eighths"),
    ],
)
def test_a_fault_of_a_score_has_its_line_column_and_hint(
    tmp_path: Path, old: str, new: str, told: str
) -> None:
    lines = musicxml([piece(places=(1,))], "x").replace(old, new).splitlines(keepends=True)
    tag = old[: old.index(">") + 1] if "holds" not in told else "<measure"
    tag = "<note>" if "a note of" in told else tag
    line, text = next((n, text) for n, text in enumerate(lines, 1) if tag in text)
    said = imported(str(written(tmp_path, "".join(lines))))
    assert said.code == 65
    assert said.err.startswith(f"score.musicxml:{line}:{text.index(tag) + 1}: {told}")
    assert said.err.endswith(")\n")


NUMBERS = st.one_of(
    st.sampled_from(
        ["0", "-1", "", "1e9", "1/0", "nan", "9" * 5000, "0.5", "1.5", "+3", "2+0", "\u0663", "x"]
    ),
    st.integers(-300, 300).map(str),
    st.text(max_size=3),
)


@given(number=NUMBERS, place=st.integers(0, 10_000))
@settings(max_examples=150, deadline=None)
@pytest.mark.filterwarnings("error")
def test_no_number_of_a_score_stops_the_program(number: str, place: int) -> None:
    text = musicxml([piece(places=(1, 2))], "x")
    text = text.replace("<time>", "<transpose><chromatic>-2</chromatic></transpose><time>", 1)
    found = list(re.finditer(r">(-?\d+)<", text))
    here = found[place % len(found)]
    mutated = text[: here.start(1)] + escape(number) + text[here.end(1) :]
    with tempfile.TemporaryDirectory() as folder:
        said = imported(str(written(Path(folder), mutated.encode("utf-8", "surrogatepass"))))
    assert said.code in (0, 65), said.err
    assert "fault of its own" not in said.err


@pytest.mark.parametrize("name", ["Bad Id", "a--b", "-a", "nul", "\u00e9tude", "x" * 61])
def test_an_id_that_no_curriculum_may_hold_is_refused(tmp_path: Path, name: str) -> None:
    said = imported(str(written(tmp_path, musicxml([piece(places=(1,))], "x"))), f"--id={name}")
    assert (said.code, said.out) == (2, "")
    assert "is not made of a-z, 0-9 and single hyphens" in said.err


def test_a_score_that_is_not_there_is_told(tmp_path: Path) -> None:
    said = imported(str(tmp_path / "none.musicxml"))
    assert said.code == 66
    assert "cannot be read: No such file or directory" in said.err


@pytest.mark.parametrize("bars", ["0", "2-1", "1-99", "first", "1-"])
def test_bars_that_are_none_are_refused(tmp_path: Path, bars: str) -> None:
    score = written(tmp_path, musicxml([piece(places=(1, 2))], "x"))
    said = imported(str(score), "--bars", bars)
    assert said.code == 2
    assert "from 1 to 2" in said.err


def test_a_change_of_key_is_no_figure(tmp_path: Path) -> None:
    part = read_score(written(tmp_path, musicxml([piece(places=(1, 2))], "x")))
    with pytest.raises(BadData, match="bar 2: the key changes"):
        figure_of(part.bars, TRUMPET, "x")


def test_minor_keys_count_from_the_natural_minor(tmp_path: Path) -> None:
    # A minor: G sharp is the raised seventh
    text = musicxml([piece(places=(1,))], "x").replace("<mode>major<", "<mode>minor<")
    part = read_score(written(tmp_path, text))
    assert figure_of(part.bars, INSTRUMENTS["trombone"], "x").key.mode == "natural minor"


def test_a_figure_in_minor_is_proposed_in_every_minor_key(tmp_path: Path) -> None:
    text = musicxml([piece(places=(1,))], "x").replace("<mode>major<", "<mode>minor<")
    said = imported(str(written(tmp_path, text)), "--for", "trombone")
    assert 'keys = "all natural minor"    # it stood in A natural minor, written' in said.out.splitlines()


def test_lengths_are_in_eighths(tmp_path: Path) -> None:
    part = read_score(written(tmp_path, musicxml([piece("4q. 5e 6e", places=(1,))], "x")))
    assert [note.eighths for note in part.bars[0].notes] == [Fraction(3), Fraction(1), Fraction(1)]


def two_parts(folder: Path) -> Path:
    """A score for trumpet and trombone."""
    made = [piece(instrument=name, places=(1,)) for name in ("trumpet", "trombone")]
    return written(folder, musicxml(made, "x"))


def test_a_score_with_parts_asks_for_one(tmp_path: Path) -> None:
    said = imported(str(two_parts(tmp_path)))
    assert said.code == 2
    assert said.err.startswith("the score has 2 parts (choose one with --part: 1 Trumpet")


def test_a_part_that_is_not_there_is_refused(tmp_path: Path) -> None:
    said = imported(str(two_parts(tmp_path)), "--part", "flute")
    assert (said.code, "the score has no part 'flute'" in said.err) == (2, True)


def test_a_raised_two_is_no_number_of_a_part(tmp_path: Path) -> None:
    said = imported(str(two_parts(tmp_path)), "--part", "²")
    assert (said.code, "the score has no part '²'" in said.err) == (2, True)


def test_a_whole_piece_is_no_figure(tmp_path: Path) -> None:
    said = imported(str(written(tmp_path, musicxml([piece(places=(1,))] * 9, "x"))))
    assert (said.code, "has 9 bars (choose up to 8 of them: --bars 1-2)" in said.err) == (2, True)


def test_a_note_far_from_the_key_is_told(tmp_path: Path) -> None:
    text = musicxml([piece(places=(1,))], "x").replace("<octave>5<", "<octave>9<", 1)
    said = imported(str(written(tmp_path, text)))
    assert (said.code, "is too far from C major" in said.err) == (65, True), said.err


def test_a_bend_comes_back(tmp_path: Path) -> None:
    part = read_score(written(tmp_path, musicxml([piece("4ev 5e 6e 5ev> 4e", places=(1,))], "x")))
    assert figure_of(part.bars, TRUMPET, "x").notation == "4ev 5 6 5>v 4"
    assert "noteheads of another shape" not in " ".join(part.left_out)


def test_what_the_file_says_of_fingerings_and_tempo_is_listed(tmp_path: Path) -> None:
    said = imported(str(written(tmp_path, musicxml([piece(places=(1,))], "x"))))
    assert "fingerings, worked out anew for every instrument (1)" in said.err
    assert "tempo marks (1)" in said.err


def test_a_tie_beyond_the_bars_is_told(tmp_path: Path) -> None:
    tied = piece("4e 5e 6e 5e 4e~ | 4e 5e 6e 5e 4e", places=(1,))
    said = imported(str(written(tmp_path, musicxml([tied], "x"))), "--bars", "1")
    assert "not taken over: ties to a note of another name or beyond these bars (1)" in said.err


def test_a_tie_inside_the_bars_is_kept(tmp_path: Path) -> None:
    tied = piece("4e 5e 6e 5e 4e~ | 4e 5e 6e 5e 4e", places=(1,))
    said = imported(str(written(tmp_path, musicxml([tied], "x"))))
    assert "~" in pattern(said)
    assert "ties" not in said.err


def test_a_part_for_another_instrument_is_told(tmp_path: Path) -> None:
    # horn in F sounds a fifth lower, 7 semitones; trumpet in B flat 2
    score = written(tmp_path, musicxml([piece(instrument="horn", places=(1,))], "x"))
    said = imported(str(score), "--for", "trumpet")
    assert said.err.startswith("the part sounds -7 semitones from what is written, the Trumpet in B♭ -2")


@pytest.mark.parametrize("name", ["euphonium-treble", "tuba-eb-treble", "trombone"])
def test_a_part_for_the_same_instrument_is_not(tmp_path: Path, name: str) -> None:
    score = written(tmp_path, musicxml([piece(instrument=name, places=(1,))], "x"))
    assert "semitones from what is written" not in imported(str(score), "--for", name).err


def test_a_key_that_nobody_writes_is_told(tmp_path: Path) -> None:
    text = musicxml([piece(places=(1,))], "x").replace("<fifths>0<", "<fifths>-11<")
    said = imported(str(written(tmp_path, text)))
    assert (said.code, "bar 1: A♭♭ major would need more than seven accidentals" in said.err) == (65, True)


def test_additive_meters_come_back_with_their_groups(tmp_path: Path) -> None:
    said = imported(str(written(tmp_path, musicxml([piece(grouping=(3, 2), places=(1,))], "x"))))
    assert "grouping = [3, 2]" in said.out


FIVE = """<score-partwise>
<part-list><score-part id="P1"><part-name>{name}</part-name></score-part></part-list>
<part id="P1"><measure number="1"><attributes><divisions>2</divisions><key><fifths>-2</fifths></key>
<time><beats>5</beats><beat-type>8</beat-type></time>{clef}</attributes>{notes}</measure></part>
</score-partwise>"""
BASS_CLEF = "<clef><sign>F</sign><line>4</line></clef>"
TREBLE_CLEF = "<clef><sign>G</sign><line>2</line></clef>"


def five(
    folder: Path,
    *,
    accents: tuple[int, ...] = (),
    beams: tuple[str, ...] = (),
    name: str = "Trumpet",
    clef: str = "",
    steps: str = "F3 B3 D4 B3 F3",
) -> str:
    """A bar of five eighths with accents on these (counted from 1) and these beams: the file's name."""
    notes = []
    for number, (step, octave) in enumerate(steps.split(), 1):
        flat = "<alter>-1</alter>" if step == "B" else ""
        accent = (
            "<notations><articulations><accent/></articulations></notations>" if number in accents else ""
        )
        beam = f'<beam number="1">{beams[number - 1]}</beam>' if beams and beams[number - 1] else ""
        notes.append(
            f"<note><pitch><step>{step}</step>{flat}<octave>{octave}</octave></pitch><duration>1</duration>"
            f"<voice>1</voice><type>eighth</type>{beam}{accent}</note>"
        )
    text = FIVE.format(name=name, clef=clef, notes="".join(notes))
    return str(written(folder, text, "five.musicxml"))


def test_accents_say_how_a_bar_is_counted_where_there_are_no_beams(tmp_path: Path) -> None:
    # accents on eighths 1 and 4 of 5 make 3+2
    said = imported(five(tmp_path, accents=(1, 4)))
    assert "grouping = [3, 2]" in said.out
    assert "the grouping 3+2 of 5/8 is taken from the accents" in said.err


def test_beams_say_how_a_bar_is_counted_before_accents_do(tmp_path: Path) -> None:
    beams = ("begin", "end", "begin", "continue", "end")
    said = imported(five(tmp_path, accents=(1, 4), beams=beams))
    assert "grouping = [2, 3]" in said.out
    assert "the grouping 2+3 of 5/8 is taken from the beams" in said.err


def five_eighths(beams: str) -> Bar:
    """A bar of 5/8 under these beams (b begins, e ends, c goes on), accents as 2+3 whatever they say."""
    words = {"b": "begin", "c": "continue", "e": "end"}
    notes = (
        ReadNote(
            1, Pitch(0, 4), Fraction(1), False, False, False, place in (0, 2), False, False, beam=words[one]
        )
        for place, one in enumerate(beams)
    )
    return Bar(1, "5", 8, 0, "", tuple(notes))


def test_beams_that_contradict_each_other_leave_nothing_to_the_accents() -> None:
    bars = [five_eighths("bebce"), five_eighths("bcebe")]
    assert grouping_of(bars[:1], parse_meter("5/8")) == ((2, 3), "beams")
    assert grouping_of(bars, parse_meter("5/8")) == (None, "")


def test_a_grouping_that_nothing_shows_is_said_to_be_the_usual_one(tmp_path: Path) -> None:
    said = imported(five(tmp_path))
    assert "the grouping 2+3 of 5/8 is the usual one" in said.err
    assert "tempos, articulations, grouping and weeks are only proposed: change them" in said.err


def test_an_accent_off_the_groups_is_no_grouping(tmp_path: Path) -> None:
    assert "grouping = [2, 3]" in imported(five(tmp_path, accents=(2,))).out


def test_the_name_of_a_part_says_whose_tube_is_meant(tmp_path: Path) -> None:
    # F3 B flat 3 D4 are partials 3, 4, 5 of the trombone in first position
    said = imported(five(tmp_path, name="Trombone", clef=BASS_CLEF))
    assert pattern(said) == 'partials = "3e 4 5 4 3"'
    assert "read for the Trombone (--for trombone), by the name of the part" in said.err


def test_a_bass_clef_alone_is_read_for_the_trombone(tmp_path: Path) -> None:
    said = imported(five(tmp_path, name="Part 1", clef=BASS_CLEF))
    assert "read for the Trombone (--for trombone), by the clef of the part" in said.err


def test_a_trombone_in_treble_clef_is_told_apart_by_its_clef(tmp_path: Path) -> None:
    said = imported(five(tmp_path, name="Posaune", clef=TREBLE_CLEF, steps="G4 C5 E5 C5 G4"))
    assert "(--for trombone-treble)" in said.err


def test_the_instrument_that_is_said_is_the_one_it_is_read_for(tmp_path: Path) -> None:
    said = imported(five(tmp_path, name="Trombone", clef=BASS_CLEF), "--for", "euphonium")
    assert "position 1 of the Euphonium" in said.err
    assert "read for" not in said.err


@pytest.mark.parametrize("name", sorted(INSTRUMENTS))
def test_a_part_exported_here_is_read_for_its_own_instrument(tmp_path: Path, name: str) -> None:
    part = read_score(written(tmp_path, musicxml([piece(instrument=name, places=(1,))], "x")))
    found, _ = instrument_of(part)
    mine = INSTRUMENTS[name]
    assert found == mine


@pytest.mark.parametrize(
    ("name", "found"),
    [
        # names as publishers print them. from memory
        ("Tenor Horn", "alto-horn"),
        ("Trumpet in C", "trumpet-c"),
        ("1st Trombone", "trombone"),
        ("Bass Trombone", "bass-trombone"),
        ("Corno I in F", "horn"),
        ("Flügelhorn", "flugelhorn"),
        ("Solo Cornet", "cornet"),
        ("Flute", "trumpet"),
    ],
)
def test_names_of_parts_lead_to_instruments(name: str, found: str) -> None:
    assert instrument_of(ReadPart(name, (), ()))[0].id == found

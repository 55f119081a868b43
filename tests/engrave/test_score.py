"""Accidentals, fingerings, ties, slurs, articulation, clefs: what is printed of a passage."""

from __future__ import annotations

import pytest
from engrave.reading import as_printed, fingerings, lengths, measures, tree
from engrave.scores import degrees, partials

from planner.brass.instruments import INSTRUMENTS, instrument
from planner.brass.keys import parse_pitch
from planner.engrave.mei import mei_text
from planner.engrave.score import Score, Style, clef_of, signature_alter, single_notes

NS = "{http://www.music-encoding.org/ns/mei}"


def signs(score: Score) -> list[str]:
    """The printed accidental of every note, in brackets where it is a courtesy."""
    found = []
    for note in score.notes:
        name = "" if note.pitch is None else note.pitch.name.rstrip("0123456789")[1:] or "nat"
        found.append({"": "", "shown": name, "courtesy": f"({name})"}[note.sign])
    return found


def slurs(score: Score) -> str:
    letters = {"start": "(", "inside": "-", "end": ")", "": "."}
    return "".join(letters[note.slur] for note in score.notes)


def named(score: Score, tag: str) -> int:
    return sum(1 for _ in tree(mei_text(score)).iter(f"{NS}{tag}"))


# ---- accidentals: rules of any theory book ----------------------------------------


def test_notes_of_the_key_need_no_accidental() -> None:
    assert signs(degrees("1e 2 3 4 5 6 7 8", "4/4", key="Gb")) == [""] * 8


def test_a_raised_degree_has_its_sign() -> None:
    assert signs(degrees("1e #4 5 5", "2/4", key="Bb")) == ["", "nat", "", ""]


def test_an_accidental_holds_to_the_end_of_its_bar() -> None:
    assert signs(degrees("#4e 5 #4 5", "2/4")) == ["♯", "", "", ""]


def test_an_accidental_taken_back_in_its_bar_is_shown() -> None:
    assert signs(degrees("#4e 5 4 5", "2/4")) == ["♯", "", "nat", ""]


def test_an_accidental_is_taken_back_by_courtesy_in_the_next_bar() -> None:
    assert signs(degrees("#4q 5 | 4q 5", "2/4")) == ["♯", "", "(nat)", ""]


def test_a_courtesy_sign_stands_once() -> None:
    assert signs(degrees("#4q 5 | 4e 5 4 5", "2/4")) == ["♯", "", "(nat)", "", "", ""]


def test_an_accidental_does_not_reach_the_other_octave() -> None:
    # F sharp 4, then F 5: another octave, so the natural stands by courtesy
    assert signs(degrees("#4q 11", "2/4")) == ["♯", "(nat)"]


def test_a_tied_note_keeps_its_accidental_over_the_bar_line() -> None:
    assert signs(degrees("5q #4~ | #4q 5", "2/4")) == ["", "♯", "", ""]


def test_after_a_tie_over_the_bar_line_the_sign_is_needed_again() -> None:
    # D E F sharp tied over, F sharp played again: without a new sign it would read F
    assert signs(degrees("5q #4~ | #4e #4e 5q", "2/4"))[3] == "♯"


def test_a_tied_note_reads_back_as_the_same_pitch() -> None:
    assert as_printed(mei_text(degrees("5q #4~ | #4q 5", "2/4"))) == [[55, 54], [54, 55]]


@pytest.mark.parametrize(("signature", "raised"), [(1, "F"), (3, "FCG"), (7, "FCGDAEB")])
def test_sharps_stand_in_their_order(signature: int, raised: str) -> None:
    assert {step for step in "CDEFGAB" if signature_alter(step, signature)} == set(raised)


@pytest.mark.parametrize(("signature", "lowered"), [(-1, "B"), (-3, "BEA"), (-7, "BEADGCF")])
def test_flats_stand_in_their_order(signature: int, lowered: str) -> None:
    assert {step for step in "CDEFGAB" if signature_alter(step, signature) < 0} == set(lowered)


# ---- fingerings ----------------------------------------


def test_the_fingering_of_a_tube_stands_over_the_first_note_of_each_bar() -> None:
    found = fingerings(mei_text(partials("4e 5 6 5 4 | 4e 5 6 5 4", "5/8", position=5)))
    assert found == [["23", "", "", "", ""], ["23", "", "", "", ""]]


def test_a_fingering_stands_where_it_changes() -> None:
    # written C D E E D C on a trumpet: 0 13 12 12 13 0, the published chart of thewholehorn.com
    found = fingerings(mei_text(degrees("1e 2 3 3 2 1", "3/4")))
    assert found == [["0", "13", "12", "", "13", "0"]]


def test_a_tied_note_has_no_fingering_of_its_own() -> None:
    assert fingerings(mei_text(partials("3w~ | 3w", "4/4"))) == [["0"], [""]]


def test_a_rest_has_no_fingering() -> None:
    assert fingerings(mei_text(partials("rq 4 | r 5", "2/4"))) == [["", "0"], ["", "0"]]


def test_other_fingerings_stand_in_brackets_where_they_are_asked_for() -> None:
    # written E4 on a trumpet: 12, also 3: the published chart of thewholehorn.com has 12
    score = degrees("3q 1", "2/4", style=Style(alternates=True))
    assert [note.others for note in score.notes] == [("3",), ()]


def test_other_fingerings_stand_where_a_note_comes_first() -> None:
    # written E4, C4, E4: only the first E4 has its other way
    score = degrees("3q 1 3", "3/4", style=Style(alternates=True))
    assert [note.others for note in score.notes] == [("3",), (), ()]


def test_every_note_of_one_tube_has_its_own_other_ways() -> None:
    # a trumpet's open G4 is also 13, its open C5 also 23. common practice, no source
    notes = list(partials("3q 4", "2/4", style=Style(alternates=True)).notes)
    assert [(note.fingering, note.others) for note in notes] == [("0", ("13",)), ("0", ("23",))]


def test_the_two_shortest_of_many_other_ways_are_printed() -> None:
    # written C4 of a double horn, F side open: also T0, T13, F23 by lengths of tube
    score = partials("2q 3", "2/4", on="horn", style=Style(alternates=True))
    assert next(score.notes).others == ("T0", "T13")


# ---- slurs, articulation, bends ----------------------------------------


def test_a_figure_keeps_its_own_slurs() -> None:
    assert slurs(partials("(4e 5) 6 (5 4)", "5/8", style=Style("slurred"))) == "().()"


def test_slurred_draws_a_slur_over_the_figure() -> None:
    assert slurs(partials("4e 5 6 5 4", "5/8", style=Style("slurred"))) == "(---)"


def test_a_slur_ends_before_the_same_note_is_played_again() -> None:
    assert slurs(partials("4e 5 5 4", "2/4", style=Style("slurred"))) == "()()"


def test_a_slur_ends_at_a_rest_and_at_a_breath() -> None:
    assert slurs(partials("4e 5 r 5 4, 5 6 4", "4/4", style=Style("slurred"))) == "().()(-)"


def test_long_figures_are_slurred_bar_by_bar() -> None:
    assert slurs(partials("4q 5 | 6q 5 | 4q 3", "2/4", style=Style("slurred"))) == "()()()"


def test_tongued_draws_nothing() -> None:
    assert slurs(partials("4e 5 6 5 4", "5/8", style=Style("tongued"))) == "....."


def test_staccato_puts_a_dot_on_every_note_that_is_not_tied() -> None:
    score = partials("4q 5~ | 5q r", "2/4", style=Style("staccato"))
    assert [note.staccato for note in score.notes] == [True, False, False, False]


def test_legato_puts_a_line_on_every_note() -> None:
    assert all(note.tenuto for note in partials("4q 5", "2/4", style=Style("legato")).notes)


def test_a_bend_has_its_own_notehead_and_its_name() -> None:
    score = partials("3q 3hv 3q", "4/4")
    heads = [one.get("head.shape") for one in tree(mei_text(score)).iter(f"{NS}note")]
    assert (heads, named(score, "dir")) == ([None, "x", None], 1)


def test_bends_in_a_row_are_named_once() -> None:
    assert named(partials("3ev 4ev 5ev 5e", "2/4"), "dir") == 1


def test_ties_and_breaths_are_written() -> None:
    score = partials("4q 5~ | 5q 4,", "2/4")
    assert (named(score, "tie"), named(score, "breath")) == (1, 1)


def test_repeat_signs_stand_at_both_ends() -> None:
    bars = measures(mei_text(partials("4e 5 6 5 4 | 4e 5 6 5 4", "5/8", style=Style(repeated=True))))
    assert [(bar.get("left"), bar.get("right")) for bar in bars] == [("rptstart", None), (None, "rptend")]


def test_accents_are_written() -> None:
    found = [one.get("artic") for one in tree(mei_text(partials("4e> 5 6> 5 4", "5/8"))).iter(f"{NS}note")]
    assert found == ["acc", None, "acc", None, None]


# ---- meter, clef, length ----------------------------------------


@pytest.mark.parametrize(
    ("meter", "grouping", "count"),
    [
        ("5/8", None, "5"),
        ("5/8", (3, 2), "5"),
        ("7/8", (3, 2, 2), "7"),
        ("8/8", (3, 3, 2), "8"),
        ("6/8", None, "6"),
    ],
)
def test_the_time_signature_is_plain_whatever_the_grouping(
    meter: str, grouping: tuple[int, ...] | None, count: str
) -> None:
    figure = " ".join(["4e"] * int(meter[0]))
    sign = next(tree(mei_text(partials(figure, meter, grouping=grouping))).iter(f"{NS}meterSig"))
    assert sign.get("count") == count


@pytest.mark.parametrize(
    ("on", "tenor", "clef"),
    [
        ("trumpet", False, "treble"),
        ("horn", True, "treble"),
        ("trombone", False, "bass"),
        ("trombone", True, "tenor"),
        ("euphonium", True, "tenor"),
        ("euphonium-treble", True, "treble"),
        ("tuba-c", True, "bass"),
    ],
)
def test_the_clef_of_an_instrument(on: str, tenor: bool, clef: str) -> None:
    # tenor clef is read by trombone, euphonium and baritone players. common practice, no source
    assert clef_of(instrument(on), tenor=tenor) == clef


def test_every_dotted_length_is_written() -> None:
    score = partials("4h. 5q | 4q. 5e 4e. 5s 4q", "4/4")
    assert [(note.base, note.dots) for note in score.notes] == [
        (2, 1), (4, 0), (4, 1), (8, 0), (8, 1), (16, 0), (4, 0),
    ]  # fmt: skip


def test_bars_are_full() -> None:
    assert lengths(mei_text(partials("4h. 5q | 4q. 5e 4e. 5s 4q", "4/4"))) == [4, 4]


def test_notes_of_a_chart_stand_without_meter_and_bar_line() -> None:
    score = single_notes(INSTRUMENTS["trumpet"], (parse_pitch("F#4"), parse_pitch("Gb4")))
    bar = measures(mei_text(score))[0]
    assert (bar.get("right"), as_printed(mei_text(score))) == ("invis", [[66, 66]])

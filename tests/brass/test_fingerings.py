"""Fingerings and slide positions against published charts, and what an instrument does not have."""

from __future__ import annotations

import pytest

from planner.brass.instruments import (
    INSTRUMENTS,
    NotOnInstrumentError,
    fingerings,
    instrument,
    open_key,
    partial_semitones,
    position_of,
    positions,
    reachable,
    slide_place,
    sounding,
    tube_note,
    valves_of,
    written,
)
from planner.brass.keys import parse_pitch
from planner.errors import UsageError

# thewholehorn.com/fingering-charts/trumpet, 31 notes, written
PUBLISHED_TRUMPET = (
    "F#3 123, G3 13, Ab3 23, A3 12, Bb3 1, B3 2, C4 0, C#4 123, D4 13, Eb4 23, E4 12, F4 1, F#4 2, G4 0, "
    "Ab4 23, A4 12, Bb4 1, B4 2, C5 0, C#5 12, D5 1, Eb5 2, E5 0, F5 1, F#5 2, G5 0, Ab5 23, A5 12, "
    "Bb5 1, B5 2, C6 0"
)
# en.wikibooks.org/wiki/Trombone/Slide_Positions, the first table (the second is a stack of fifths and wrong)
PUBLISHED_TROMBONE = (
    "E2 7, F2 6, Gb2 5, G2 4, Ab2 3, A2 2, Bb2 1, B2 7, C3 6, Db3 5, D3 4, Eb3 3, E3 2, F3 1, Gb3 5, G3 4, "
    "Ab3 3, A3 2, Bb3 1, B3 4, C4 3, Db4 2, D4 1, Eb4 3, E4 2, F4 1"
)
# US double horn chart, scribd 570094472: F side to G4, A flat 4 to C5 the same valves on both sides, then T23
PUBLISHED_HORN = "G3 F0, A3 F12, C4 F0, F4 F1, G4 F0, Ab4 T23, A4 T12, Bb4 T1, B4 T2, C5 T0, Db5 T23"
# upper register of the B flat side. from memory
REMEMBERED_HORN = "D5 T12, Eb5 T1, E5 T2, F5 T0, Gb5 T2, G5 T0, Ab5 T23, A5 T12, Bb5 T1, B5 T2, C6 T0"


def chart(text: str) -> dict[str, str]:
    return dict(line.split() for line in text.split(", "))


def played(instrument_id: str, names: dict[str, str]) -> dict[str, str]:
    player = instrument(instrument_id)
    return {name: fingerings(player, parse_pitch(name).midi).standard for name in names}


def note(name: str) -> int:
    return parse_pitch(name).midi


def test_trumpet_chart_has_the_31_published_fingerings() -> None:
    published = chart(PUBLISHED_TRUMPET)
    assert len(published) == 31
    assert played("trumpet", published) == published


def test_trumpet_fingerings_by_a_second_road() -> None:
    # the smallest valve index over the partials in use, written out independently of the module
    offsets = {2: 12, 3: 19, 4: 24, 5: 28, 6: 31, 8: 36, 9: 38, 10: 40}
    names = ["0", "2", "1", "12", "23", "13", "123"]
    expected = {
        midi: names[min(48 + up - midi for up in offsets.values() if 0 <= 48 + up - midi <= 6)]
        for midi in range(54, 85)
    }
    assert {midi: fingerings(instrument("trumpet"), midi).standard for midi in expected} == expected


@pytest.mark.parametrize("same", ["cornet", "flugelhorn", "trumpet-c", "alto-horn", "baritone-treble"])
def test_treble_clef_brass_shares_the_trumpet_chart(same: str) -> None:
    # brass bands write so that all players read the same fingerings (jayessnewbigginbrassband.org.uk)
    published = chart(PUBLISHED_TRUMPET)
    assert played(same, published) == published


@pytest.mark.parametrize(
    ("name", "alternates"),
    # the same partial arithmetic: every other (partial, valves) pair, the 7th partial left out
    [
        ("C4", set()),
        ("E4", {"3"}),
        ("A4", {"3"}),
        ("C5", {"23"}),
        ("E5", {"12", "3"}),
        ("A5", {"3", "13"}),
        ("Bb5", {"23", "123"}),
        ("B5", {"12", "3", "13"}),
    ],
)
def test_alternate_fingerings_of_the_trumpet(name: str, alternates: set[str]) -> None:
    assert set(fingerings(instrument("trumpet"), note(name)).alternates) == alternates


@pytest.mark.parametrize(
    ("name", "flat"),
    [("E5", {"123"}), ("F5", {"13"}), ("G5", {"12", "3"}), ("Bb5", {"0"}), ("B5", set()), ("C5", set())],
)
def test_seventh_partial_stands_apart_from_the_alternates(name: str, flat: set[str]) -> None:
    # partial 7 of the open tube is written B flat 5, 31 cents flat; each valve lowers it
    found = fingerings(instrument("trumpet"), note(name))
    assert set(found.seventh_partial) == flat
    assert not flat & {found.standard, *found.alternates}


def test_valve_three_alone_is_an_alternate_of_one_and_two() -> None:
    # on every three-valve instrument: both are three semitones
    player = instrument("trumpet")
    entries = [fingerings(player, midi) for midi in range(54, 85)]
    assert all("3" in entry.alternates for entry in entries if entry.standard == "12")
    assert not any(entry.standard == "3" for entry in entries)


@pytest.mark.parametrize(("name", "usual"), [("F#4", "♯3"), ("G4", "♯2"), ("F4", "1"), ("Ab4", "3")])
@pytest.mark.parametrize("slide", ["trombone", "bass-trombone"])
def test_a_slide_draws_in_the_seventh_partial_where_it_is_nearer(slide: str, name: str, usual: str) -> None:
    # common practice, no source: F sharp 4 in raised third, G 4 in raised second position
    assert played(slide, {name: usual}) == {name: usual}


def test_trombone_table_has_the_published_positions() -> None:
    published = chart(PUBLISHED_TROMBONE)
    assert played("trombone", published) == published


@pytest.mark.parametrize(
    ("name", "alternates", "seventh"),
    # partial arithmetic; a 7th partial is drawn in, which first position does not allow
    [
        ("D4", {"4"}, {"7"}),
        ("F4", {"6"}, {"4"}),
        ("G4", {"4", "6"}, set()),
        ("Ab4", {"5", "7"}, set()),
        ("Bb3", {"5"}, set()),
        ("F3", {"6"}, set()),
    ],
)
def test_alternate_positions_of_the_trombone(name: str, alternates: set[str], seventh: set[str]) -> None:
    found = fingerings(instrument("trombone"), note(name))
    assert (set(found.alternates), set(found.seventh_partial)) == (alternates, seventh)


def test_trombone_pedals_go_down_the_slide() -> None:
    # Bb1 first position ... E1 seventh
    pedals = chart("Bb1 1, A1 2, Ab1 3, G1 4, Gb1 5, F1 6, E1 7")
    assert played("trombone", pedals) == pedals


@pytest.mark.parametrize("name", ["Eb2", "D2", "Db2", "C2", "B1"])
def test_trombone_without_attachment_has_a_gap(name: str) -> None:
    with pytest.raises(NotOnInstrumentError, match="Trombone has no written") as caught:
        fingerings(instrument("trombone"), note(name))
    assert caught.value.nearest == (note("Bb1"), note("E2"))


def test_f_attachment_fills_the_gap_but_for_b() -> None:
    # low B only with the F tuning slide drawn to E (pinocchiopedia)
    have = set(reachable(instrument("trombone-f")))
    assert {note(name) for name in ("Eb2", "D2", "Db2", "C2")} <= have
    assert note("B1") not in have


@pytest.mark.parametrize(
    ("name", "usual", "slide"), [("C3", "T1", "6"), ("F2", "T1", "6"), ("B2", "T2", "7"), ("E2", "T2", "7")]
)
def test_f_attachment_replaces_sixth_and_seventh_position(name: str, usual: str, slide: str) -> None:
    # en.wikibooks.org/wiki/Trombone: 6th-position notes in 1, 7th in 2 with the attachment
    found = fingerings(instrument("trombone-f"), note(name))
    assert found.standard == usual
    assert slide in found.alternates


def test_f_attachment_first_position_lengthens_like_the_sixth() -> None:
    assert position_of(instrument("trombone-f"), note("C3")) == 6


@pytest.mark.parametrize(
    ("fingering", "place"),
    # T at 1.00, 3.62, 4.90 and 7.40 in ordinary positions, see test_tubes.py; the others as they are named
    [("1", 1), ("7", 7), ("T1", 1), ("T3", 4), ("T4", 5), ("T6", 7), ("♯3", 3), ("", 0)],
)
def test_the_arm_goes_as_far_as_the_slide_stands(fingering: str, place: int) -> None:
    assert slide_place(fingering) == place


def test_partial_figures_stay_on_the_slide_with_attachment() -> None:
    player = instrument("trombone-f")
    assert [valves_of(player, place) for place in (5, 6, 7, 8)] == ["5", "6", "7", "T3"]


def test_double_horn_has_the_published_fingerings() -> None:
    published = chart(PUBLISHED_HORN)
    assert played("horn", published) == published


def test_double_horn_upper_register_as_players_know_it() -> None:
    known = chart(REMEMBERED_HORN)
    assert played("horn", known) == known


@pytest.mark.parametrize(
    ("name", "usual", "shortest"), [("Ab4", "T23", "T2"), ("A4", "T12", "T0"), ("A5", "T12", "T0")]
)
def test_horn_avoids_the_flat_fifth_and_tenth_partial(name: str, usual: str, shortest: str) -> None:
    # the shortest tube would be a 5th or 10th partial, 14 cents flat; the chart does not use it
    found = fingerings(instrument("horn"), note(name))
    assert found.standard == usual
    assert shortest in found.alternates


def test_f_side_open_is_the_b_flat_side_with_one_and_three() -> None:
    # T13 is five semitones below the B flat side: the F side open
    assert "T13" in fingerings(instrument("horn"), note("C4")).alternates


def test_single_horn_repeats_its_octave_above_c5() -> None:
    # from memory: C sharp 12, D 1, E flat 2, E open in both octaves
    known = chart("C#4 12, D4 1, Eb4 2, E4 0, F4 1, C#5 12, D5 1, Eb5 2, E5 0, F5 1")
    assert played("horn-f", known) == known


@pytest.mark.parametrize(
    ("name", "usual", "three"),
    [("F2", "4", "13"), ("E2", "24", "123"), ("C3", "4", "13"), ("B2", "24", "123")],
)
def test_fourth_valve_replaces_one_and_three(name: str, usual: str, three: str) -> None:
    # Funderburk, University of Northern Iowa, "4th valve": 4 for 1-3, 2-4 for 1-2-3
    found = fingerings(instrument("euphonium"), note(name))
    assert found.standard == usual
    assert three in found.alternates


def test_compensating_euphonium_is_chromatic_down_to_b() -> None:
    # 14, 124, 234, 134, 1234 below E2, each a semitone
    low = chart("Eb2 14, D2 124, Db2 234, C2 134, B1 1234")
    assert played("euphonium", low) == low


@pytest.mark.parametrize("player", ["euphonium-4", "euphonium-3", "baritone"])
def test_without_compensation_there_is_no_low_b(player: str) -> None:
    # the semitone above the fundamental is lost
    with pytest.raises(NotOnInstrumentError, match="has no written B1"):
        fingerings(instrument(player), note("B1"))


def test_non_compensating_low_notes_take_the_nearest_in_tune() -> None:
    # 124 is 79 cents sharp on D, 234 only 4; 234 is 104 sharp on D flat, 1234 is 25 flat
    low = chart("Eb2 14, D2 234, Db2 1234")
    assert played("euphonium-4", low) == low


def test_non_compensating_euphonium_has_no_low_c() -> None:
    # 1234 is 75 cents sharp of it
    assert note("C2") not in reachable(instrument("euphonium-4"))


def test_missing_note_names_the_nearest_ones() -> None:
    with pytest.raises(NotOnInstrumentError, match="Trumpet in B♭ has no written E3") as caught:
        fingerings(instrument("trumpet"), note("E3"))
    assert caught.value.hint == "nearest: F♯3"


@pytest.mark.parametrize(
    ("name", "semitones"),
    # octaves and transpositions by the usual names of the intervals
    [
        ("trumpet", -2),
        ("trumpet-c", 0),
        ("soprano-cornet", 3),
        ("horn", -7),
        ("alto-horn", -9),
        ("trombone", 0),
        ("euphonium-treble", -14),
        ("tuba-eb-treble", -21),
        ("tuba-bb-treble", -26),
        ("tuba-eb", 0),
    ],
)
def test_written_middle_c_sounds_so_many_semitones_off(name: str, semitones: int) -> None:
    player = instrument(name)
    assert sounding(player, 60) == 60 + semitones
    assert written(player, sounding(player, 60)) == 60


def test_one_b_flat_is_written_c_g_and_b_flat_in_a_band() -> None:
    # B flat cornet C = E flat horn G = bass trombone B flat (jayessnewbigginbrassband.org.uk), concert B flat
    concert = note("Bb3")
    names = {"cornet": "C4", "alto-horn": "G4", "bass-trombone": "Bb3"}
    assert {name: written(instrument(name), concert) for name in names} == {
        name: note(spelled) for name, spelled in names.items()
    }


@pytest.mark.parametrize(
    ("name", "midi"),
    # sounding fundamentals: B flat 2, F1, B flat 1, E flat 1, C1, B flat 0
    [("trumpet", 46), ("horn", 29), ("trombone", 34), ("tuba-eb", 27), ("tuba-c", 24), ("tuba-bb", 22)],
)
def test_fundamental_of_the_open_tube(name: str, midi: int) -> None:
    assert instrument(name).fundamental == midi


def test_tube_keys_of_a_trumpet_fall_by_semitones() -> None:
    player = instrument("trumpet")
    keys = [open_key(player, place).tonic_name for place in positions(player)]
    assert keys == ["C", "B", "B♭", "A", "A♭", "G", "F♯"]


def test_tube_keys_of_a_trombone_lean_to_flats() -> None:
    player = instrument("trombone")
    keys = [open_key(player, place).tonic_name for place in positions(player)]
    assert keys == ["B♭", "A", "A♭", "G", "G♭", "F", "E"]


def test_b_flat_side_of_the_horn_is_written_in_f() -> None:
    assert open_key(instrument("horn"), 1, "B flat").tonic_name == "F"


def test_tube_note_is_the_fundamental_raised_by_the_partial() -> None:
    # written C3 open; partial 5 is two octaves and a third: E5; with 1-2-3 six semitones lower: A sharp 4
    player = instrument("trumpet")
    assert tube_note(player, 1, 5) == note("E5")
    assert tube_note(player, 7, 5) == note("A#4")


def test_position_outside_the_instrument_is_refused() -> None:
    with pytest.raises(ValueError, match="Trombone has no position 8"):
        tube_note(instrument("trombone"), 8, 2)


def test_partial_outside_the_tube_is_refused() -> None:
    with pytest.raises(ValueError, match="a tube is used from 1"):
        tube_note(instrument("trumpet"), 1, 0)


def test_unknown_instrument_is_refused_with_a_near_name() -> None:
    with pytest.raises(UsageError, match='no instrument is called "trumpt"') as caught:
        instrument("trumpt")
    assert "trumpet" in caught.value.hint


@pytest.mark.parametrize("name", sorted(INSTRUMENTS))
def test_ranges_of_the_levels_lie_inside_each_other(name: str) -> None:
    player = instrument(name)
    inner, middle, outer = (player.range_at(level) for level in ("beginner", "intermediate", "advanced"))
    assert outer[0] <= middle[0] <= inner[0] < inner[1] <= middle[1] <= outer[1]


@pytest.mark.parametrize("name", sorted(INSTRUMENTS))
def test_range_up_to_intermediate_has_no_gap(name: str) -> None:
    player = instrument(name)
    low, high = player.range_at("intermediate")
    assert set(range(low, high + 1)) <= set(reachable(player))


def test_beginner_trumpet_range_is_the_published_one() -> None:
    # Reykjavik music school, learning objectives for trumpet, level 2: G3 to D5
    assert instrument("trumpet").range_at("beginner") == (note("G3"), note("D5"))


def test_low_end_of_three_valves_is_partial_two_on_the_longest_tube() -> None:
    # music21 gives Trumpet.lowestNote F sharp 3 and Trombone E2
    assert tube_note(instrument("trumpet"), 7, 2) == note("F#3")
    assert tube_note(instrument("trombone"), 7, 2) == note("E2")


@pytest.mark.parametrize(
    ("name", "seconds"), [("trumpet", 15), ("horn", 15), ("trombone", 11), ("tuba-bb", 7)]
)
def test_breath_of_an_advanced_player_by_instrument(name: str, seconds: float) -> None:
    # common practice, no source
    assert instrument(name).default_breath_seconds("advanced") == seconds


def test_breath_of_a_beginner_is_six_seconds() -> None:
    # common practice, no source
    assert instrument("trumpet").default_breath_seconds("beginner") == 6


def test_standard_fingerings_sound_the_note_they_stand_for() -> None:
    # back from the fingering: fundamental, partial and position give the written note again
    for name in ("trumpet", "trombone-f", "euphonium", "tuba-f"):
        player = instrument(name)
        for midi in reachable(player):
            found = fingerings(player, midi)
            down = found.position - 1
            assert (
                player.fundamental - player.transposition.chromatic + partial_semitones(found.partial) - down
                == midi
            )

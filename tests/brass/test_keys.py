"""Pitches, keys and their names. Sources beside each check."""

from __future__ import annotations

import pytest

from planner.brass.keys import (
    MAJOR_KEYS,
    BadName,
    Key,
    Pitch,
    Transposition,
    degree_pitch,
    parse_key,
    parse_pitch,
    respell,
    spell,
    transpose_key,
    transpose_pitch,
)

TONE_DOWN = Transposition(-1, -2)  # B flat trumpet: sounds a major second lower
FIFTH_DOWN = Transposition(-4, -7)  # horn in F: MusicXML transpose -4 / -7
SIXTH_DOWN = Transposition(-5, -9)  # E flat alto horn: -5 / -9


@pytest.mark.parametrize(
    ("name", "midi"),
    # MIDI specification: middle C = 60; piano keyboard A0 = 21 to C8 = 108
    [
        ("C4", 60),
        ("A4", 69),
        ("A0", 21),
        ("C8", 108),
        ("C-1", 0),
        ("B#4", 72),
        ("Cb5", 71),
        ("E#4", 65),
        ("Fb4", 64),
    ],
)
def test_midi_number_of_a_note_name(name: str, midi: int) -> None:
    assert parse_pitch(name).midi == midi


@pytest.mark.parametrize("text", ["B♭4", "Bb4", "B-flat4", "B-flat 4", "B flat 4", "bb4", "b♭4"])
def test_ways_of_writing_b_flat_are_one_note(text: str) -> None:
    assert parse_pitch(text) == Pitch(-2, 4)


@pytest.mark.parametrize("text", ["F#4", "F♯4", "F-sharp 4", "f sharp 4"])
def test_ways_of_writing_f_sharp_are_one_note(text: str) -> None:
    assert parse_pitch(text) == Pitch(6, 4)


def test_german_b_is_the_flat_and_h_the_natural() -> None:
    # German note names, Duden
    assert parse_pitch("B4", "german").midi == 70
    assert parse_pitch("H4", "german").midi == 71


@pytest.mark.parametrize(
    ("text", "midi"),
    # German note names: Fis F sharp, Es E flat, As A flat, Ces C flat, Heses B double flat
    [("Fis4", 66), ("Es4", 63), ("As4", 68), ("Ces5", 71), ("Heses4", 69), ("Asas4", 67)],
)
def test_german_names_raise_with_is_and_lower_with_es(text: str, midi: int) -> None:
    assert parse_pitch(text, "german").midi == midi


def test_german_double_flat_of_a_is_not_ases() -> None:
    # Duden: Asas
    with pytest.raises(BadName, match='"Ases" is not the name of a note'):
        parse_pitch("Ases4", "german")


@pytest.mark.parametrize(
    ("text", "midi"), [("si bémol4", 70), ("sib4", 70), ("fa#4", 66), ("sol4", 67), ("ré 4", 62)]
)
def test_fixed_do_names_are_the_french_and_italian_ones(text: str, midi: int) -> None:
    assert parse_pitch(text, "fixed-do").midi == midi


def test_german_names_are_not_english_names() -> None:
    with pytest.raises(BadName, match='"Fis" is not the name of a note'):
        parse_pitch("Fis4")


def test_cyrillic_letter_is_refused_by_its_name() -> None:
    with pytest.raises(BadName, match="not the name of a note") as caught:
        parse_pitch("\u0412b4")  # CYRILLIC CAPITAL LETTER VE looks like B
    assert "cyrillic capital letter ve" in caught.value.hint


@pytest.mark.parametrize("text", ["４", "C４", "Ｃ4"])
def test_full_width_characters_are_refused(text: str) -> None:
    with pytest.raises(BadName, match=r"octave|not the name"):
        parse_pitch(text)


def test_note_without_octave_is_refused_with_a_hint() -> None:
    with pytest.raises(BadName, match="has no octave") as caught:
        parse_pitch("Bb")
    assert caught.value.hint == "C4 is middle C"


def test_capital_b_does_not_stand_for_a_flat() -> None:
    with pytest.raises(BadName, match='"BB" is not the name of a note'):
        parse_pitch("BB4")


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Bb", "B-flat major"),
        ("B♭ major", "B-flat major"),
        ("B-flat-major", "B-flat major"),
        ("g melodic minor", "G melodic minor"),
        ("c-sharp-melodic-minor", "C-sharp melodic minor"),
        ("F# harmonic minor", "F-sharp harmonic minor"),
        ("e minor", "E natural minor"),
        ("G chromatic", "G chromatic"),
    ],
)
def test_key_is_read_as_people_write_it(text: str, name: str) -> None:
    assert parse_key(text).name == name


@pytest.mark.parametrize(
    ("text", "naming", "name"),
    [
        ("B-Dur", "german", "B-flat major"),
        ("h-Moll", "german", "B natural minor"),
        ("g melodisch Moll", "german", "G melodic minor"),
        ("si bémol majeur", "fixed-do", "B-flat major"),
        ("la minore", "fixed-do", "A natural minor"),
    ],
)
def test_key_is_read_in_the_declared_naming(text: str, naming: str, name: str) -> None:
    assert parse_key(text, naming).name == name  # type: ignore[arg-type]


def test_german_small_letter_alone_could_be_minor_so_is_refused() -> None:
    with pytest.raises(BadName, match="names no mode"):
        parse_key("a", "german")


def test_key_of_eight_sharps_is_refused_with_its_flat_name() -> None:
    with pytest.raises(BadName, match="more than seven accidentals") as caught:
        parse_key("G# major")
    assert caught.value.hint == "write A♭ major"


def test_id_and_name_of_a_key_read_back_as_the_same_key() -> None:
    keys = [Key(fifths, "harmonic minor") for fifths in range(-4, 11)] + list(MAJOR_KEYS)
    assert all(parse_key(key.id) == parse_key(key.name) == parse_key(key.pretty) == key for key in keys)


@pytest.mark.parametrize(
    ("concert", "written"),
    # B flat trumpets read a tone higher: C-D, F-G, B flat-C, E-F sharp, B-C sharp (better D flat)
    [("Bb", "C"), ("C", "D"), ("Eb", "F"), ("F", "G"), ("E", "F#"), ("B", "Db"), ("Gb", "Ab")],
)
def test_concert_keys_for_a_trumpet_in_b_flat(concert: str, written: str) -> None:
    assert transpose_key(parse_key(concert), TONE_DOWN) == parse_key(written)


@pytest.mark.parametrize(("concert", "written"), [("Bb", "F"), ("F", "C"), ("Eb", "Bb"), ("E", "B")])
def test_concert_keys_for_a_horn_in_f(concert: str, written: str) -> None:
    # the horn reads a fifth higher than it sounds
    assert transpose_key(parse_key(concert), FIFTH_DOWN) == parse_key(written)


@pytest.mark.parametrize(("concert", "written"), [("Bb", "G"), ("Eb", "C"), ("Ab", "F")])
def test_concert_keys_for_an_alto_horn_in_e_flat(concert: str, written: str) -> None:
    # E flat parts read a major sixth higher: concert B flat is their G
    assert transpose_key(parse_key(concert), SIXTH_DOWN) == parse_key(written)


def test_trumpet_c_sounds_b_flat() -> None:
    assert transpose_pitch(parse_pitch("C5"), TONE_DOWN).name == "B♭4"


def test_six_sharps_and_six_flats_both_stay() -> None:
    assert [respell(Key(6, "major")).fifths, respell(Key(-6, "major")).fifths] == [6, -6]


def test_seven_sharps_become_five_flats() -> None:
    assert respell(Key(7, "major")).name == "D-flat major"


@pytest.mark.parametrize(
    ("key", "notes"),
    # scales as in any theory book; harmonic minor: raised seventh, melodic minor: raised sixth and seventh
    [
        ("A-flat major", "A♭4 B♭4 C5 D♭5 E♭5 F5 G5 A♭5"),
        ("F# major", "F♯4 G♯4 A♯4 B4 C♯5 D♯5 E♯5 F♯5"),
        ("G natural minor", "G4 A4 B♭4 C5 D5 E♭5 F5 G5"),
        ("G harmonic minor", "G4 A4 B♭4 C5 D5 E♭5 F♯5 G5"),
        ("G melodic minor", "G4 A4 B♭4 C5 D5 E5 F♯5 G5"),
        ("G-sharp harmonic minor", "G♯4 A♯4 B4 C♯5 D♯5 E5 F♯♯5 G♯5"),
    ],
)
def test_degrees_one_to_eight_are_the_scale(key: str, notes: str) -> None:
    pitches = [degree_pitch(parse_key(key), degree, 0, 4) for degree in range(1, 9)]
    assert " ".join(pitch.name for pitch in pitches) == notes


def test_melodic_minor_comes_down_as_the_natural_minor() -> None:
    key = parse_key("G melodic minor")
    assert [degree_pitch(key, degree, 0, 4, descending=True).name for degree in (7, 6)] == ["F5", "E♭5"]


def test_degree_below_the_tonic_is_the_leading_note() -> None:
    assert degree_pitch(parse_key("C"), -1, 0, 4).name == "B3"


def test_degree_zero_does_not_exist() -> None:
    with pytest.raises(ValueError, match="there is no degree 0"):
        degree_pitch(parse_key("C"), 0, 0, 4)


@pytest.mark.parametrize(
    ("key", "midi", "name"),
    [("G", 66, "F♯4"), ("D-flat", 66, "G♭4"), ("B-flat", 71, "B4"), ("A natural minor", 68, "G♯4")],
)
def test_spelling_follows_the_key(key: str, midi: int, name: str) -> None:
    assert spell(midi, parse_key(key)).name == name


def test_spelling_keeps_the_note_in_every_key() -> None:
    keys = [Key(fifths, "major") for fifths in range(-7, 8)] + [
        Key(fifths, "melodic minor") for fifths in range(-4, 11)
    ]
    assert all(spell(midi, key).midi == midi for key in keys for midi in range(22, 90))


def test_spelling_in_a_key_keeps_its_scale() -> None:
    keys = [Key(fifths, "major") for fifths in range(-6, 7)]
    for key in keys:
        scale = [degree_pitch(key, degree, 0, 4) for degree in range(1, 9)]
        assert [spell(pitch.midi, key) for pitch in scale] == scale


def test_printed_and_plain_names_read_back_as_the_pitch() -> None:
    pitches = [Pitch(fifths, octave) for fifths in range(-14, 15) for octave in range(-1, 10)]
    assert all(parse_pitch(pitch.name) == parse_pitch(pitch.ascii) == pitch for pitch in pitches)

"""Fingering tables and figure sheets as text: what stands in them and that they fit the page."""

from __future__ import annotations

import pytest

from planner.brass.figures import read_figure
from planner.brass.instruments import INSTRUMENTS, instrument
from planner.brass.keys import parse_key, parse_pitch
from planner.brass.tempo import Beat, parse_meter
from planner.show.facts import (
    FigureRequest,
    chart_pitches,
    figure_text,
    fingerings_objects,
    fingerings_text,
)

FIVES = "4e> 5e 6e 5e 4e"
SCALE = "1e 2 3 4 5 6 7 8 | 8e 7 6 5 4 3 2 1"


def sheet(
    source: str,
    *names: str,
    meter: str = "4/4",
    starts: tuple[int, ...] = (),
    keys: str = "",
    concert: bool = False,
    tempo: int = 96,
    beat: Beat = "eighth",
    passes: int = 1,
    level: str = "intermediate",
    width: int = 80,
) -> str:
    """A figure written out; degrees where keys are named."""
    figure = read_figure(source, parse_meter(meter), "degrees" if keys else "partials")
    request = FigureRequest(
        source=source,
        figure=figure,
        instruments=tuple(instrument(name) for name in names),
        starts=starts,
        cycle=3,
        keys=tuple(parse_key(word) for word in keys.split(",") if word),
        concert=concert,
        tempo=tempo,
        beat=beat,
        passes=passes,
        octave=0,
        level=level,
        side="F",
    )
    return figure_text(request, width)


def lines_after(text: str, start: str) -> list[str]:
    """The lines from the first that begins so."""
    lines = text.splitlines()
    first = next(index for index, line in enumerate(lines) if line.startswith(start))
    return lines[first:]


def test_table_shows_sounding_usual_and_other_fingerings() -> None:
    # written E5 on a B flat trumpet sounds D5: open, also 1-2 and 3, flat on 1-2-3 (partial arithmetic)
    text = fingerings_text(instrument("trumpet"), [parse_pitch("E5")])
    row = next(line for line in text.splitlines() if line.startswith("E5"))
    assert row.split() == ["E5", "D5", "0", "12,", "3", "123"]


def test_table_keeps_the_name_the_player_wrote() -> None:
    text = fingerings_text(instrument("trumpet"), [parse_pitch("Gb4"), parse_pitch("F#4")])
    assert [line.split()[0] for line in text.splitlines()[3:5]] == ["G♭4", "F♯4"]


def test_slide_table_speaks_of_positions_and_not_of_valves() -> None:
    text = fingerings_text(instrument("trombone"), [parse_pitch("D4")])
    assert "slide positions" in text
    assert "valve" not in text


@pytest.mark.parametrize("name", sorted(INSTRUMENTS))
@pytest.mark.parametrize("width", [60, 80, 120])
def test_whole_chart_fits_the_width(name: str, width: int) -> None:
    player = INSTRUMENTS[name]
    text = fingerings_text(player, chart_pitches(player), width)
    assert max(len(line) for line in text.splitlines()) <= width


def test_json_object_has_the_six_named_fields() -> None:
    # the contract of the command, checked by hand
    assert fingerings_objects(instrument("horn"), [parse_pitch("Ab4")]) == [
        {
            "instrument": "horn",
            "written": "Ab4",
            "sounding": "Db4",
            "standard": "T23",
            "alternates": ["T2", "F23", "F123"],
            "seventh_partial": ["F1"],
        }
    ]


def test_sheet_of_positions_five_to_seven_reads_as_on_the_stand() -> None:
    # written by hand: A flat, G and F sharp major on 2-3, 1-3, 1-2-3; seconds from the worked example
    text = sheet(FIVES, "trumpet", meter="5/8", starts=(5,), passes=4)
    assert text == (
        "4e> 5e 6e 5e 4e\n"
        "5/8 · accents 2+3 · ♪ = 96\n"
        "\n"
        "Trumpet in B♭, written notes\n"
        "a pass is 3.1 s, 4 in a breath 12.5 s\n"
        "\n"
        "positions 5-6-7   23 → 13 → 123   37.5 s of playing, 81 s with rests\n"
        "            23\n"
        "  A♭ major  A♭4> C5   E♭5  C5   A♭4\n"
        "            13\n"
        "  G major   G4>  B4   D5   B4   G4\n"
        "            123\n"
        "  F♯ major  F♯4> A♯4  C♯5  A♯4  F♯4\n"
        "\n"
        "> accent\n"
    )


def test_scale_shows_a_fingering_only_where_it_changes() -> None:
    # D4 and A4 alternate on 13 and 12; both E4 and A4 are 12
    text = sheet("1q 2 2 1", "trumpet", keys="C", beat="quarter")
    assert lines_after(text, "C major")[1:3] == ["  0  13    0", "  C4 D4 D4 C4"]


def test_concert_key_is_named_beside_the_written_one() -> None:
    text = sheet(SCALE, "trumpet", "horn", "trombone", keys="Bb", concert=True)
    titles = [line.split("   ")[0] for line in text.splitlines() if line.startswith("concert")]
    assert titles == [
        "concert B♭ major, written C major",
        "concert B♭ major, written F major",
        "concert B♭ major, written B♭ major",
    ]


def test_breath_that_is_too_short_gets_fewer_passes_and_a_mark() -> None:
    # a trombone's 11 s: 4 * 5 * 60 / 11 = 109.1, next mark 112
    text = sheet(FIVES, "trombone", meter="5/8", starts=(5,), passes=4, width=120)
    assert "3 in a breath 9.4 s; a comfortable breath is about 11 s here, 4 fit from ♪ = 112" in text


def test_pass_longer_than_a_breath_is_to_be_divided() -> None:
    # 16 eighths at eighth = 96 are 10 s, a tuba's breath 7 s
    assert "a pass is 10 s: breathe inside it" in sheet(SCALE, "tuba-bb", keys="Bb")


def test_position_that_an_instrument_lacks_is_said() -> None:
    text = sheet(FIVES, "trombone", meter="5/8", starts=(7,))
    assert "positions 7-8-9: Trombone has no position 8" in text


def test_note_that_an_instrument_lacks_is_said() -> None:
    # bass trombone with one F attachment: B1 is missing between C2 and B flat 1
    text = sheet("1h 2h", "bass-trombone", keys="A", level="advanced")
    assert "not on this instrument: B1" in text
    assert lines_after(text, "A major")[1].split() == ["2", "none"]


def test_note_above_the_range_is_said_with_its_end() -> None:
    text = sheet("8w", "trumpet", level="beginner", beat="quarter")
    assert "above the beginner range, which ends at D5" in text


def test_without_starts_all_seven_positions_are_written() -> None:
    text = sheet(FIVES, "trumpet", meter="5/8")
    titles = [line.split("   ")[0] for line in text.splitlines() if line.startswith("position")]
    assert titles == [f"position {place}" for place in range(1, 8)]


def test_tempo_above_the_scale_shows_the_quarter_too() -> None:
    assert "♪ = 216 (♩ = 108)" in sheet(FIVES, "trumpet", meter="5/8", tempo=216)


def test_mixed_lengths_show_a_letter_where_they_change() -> None:
    text = sheet("1q. 2e 3e 4e 5q", "trumpet", keys="C")
    assert lines_after(text, "C major")[2].split() == ["C4q.", "D4e", "E4", "F4", "G4q"]


def test_bars_are_divided_by_a_line_and_folded_there() -> None:
    wide = lines_after(sheet(SCALE, "trumpet", keys="A", width=120), "A major")
    narrow = lines_after(sheet(SCALE, "trumpet", keys="A", width=60), "A major")
    assert "A4 | A4" in " ".join(wide[2].split())
    assert [line.split() for line in narrow if "A4" in line] == [
        ["A3", "B3", "C♯4", "D4", "E4", "F♯4", "G♯4", "A4"],
        ["A4", "G♯4", "F♯4", "E4", "D4", "C♯4", "B3", "A3"],
    ]


def test_legend_names_only_the_signs_that_occur() -> None:
    text = sheet("(4q 5qv) rq 4q,", "trumpet", starts=(1,), beat="quarter")
    assert text.splitlines()[-1] == "v bent a semitone down and back · , breathe · ( ) slurred · – rest"


@pytest.mark.parametrize("width", [60, 80, 120])
def test_no_line_of_a_sheet_is_wider_than_asked(width: int) -> None:
    everything = tuple(sorted(INSTRUMENTS))
    text = sheet(FIVES, *everything, meter="5/8", starts=(1, 3, 5), passes=4, width=width)
    text += sheet(SCALE, *everything, keys="Gb,F#,c# melodic minor", concert=True, passes=3, width=width)
    assert max(len(line) for line in text.splitlines()) <= width


def test_horn_sheet_names_the_side_in_its_fingerings() -> None:
    text = sheet(FIVES, "horn", meter="5/8", starts=(1,))
    assert "F0 → F2 → F1" in text


@pytest.mark.parametrize(
    ("name", "lowest"),
    [
        ("trumpet", "F♯3"),  # the published chart of thewholehorn.com begins there
        ("horn", "F♯2"),  # six semitones below C3, the second partial of the open F side
        ("trombone", "E1"),  # the pedal of the seventh position, six semitones below B♭1
    ],
)
def test_a_chart_begins_at_the_lowest_note_of_the_instrument(name: str, lowest: str) -> None:
    assert chart_pitches(INSTRUMENTS[name])[0].name == lowest


def test_the_chart_of_a_euphonium_has_the_notes_of_its_fourth_valve() -> None:
    # C♯3 is 1234 where the valves compensate, C3 the open pedal. common practice, no source
    played = INSTRUMENTS["euphonium-treble"]
    found = {one["written"]: one["standard"] for one in fingerings_objects(played, chart_pitches(played))}
    assert (found["C#3"], found["D3"], found["C3"]) == ("1234", "134", "0")

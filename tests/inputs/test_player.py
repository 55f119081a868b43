"""Player files: what a sound one says, and every fault with its line, column and way out."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from inputs.files import (
    MONDAY,
    PLAYER,
    cases,
    changed,
    player,
    player_of,
    said_of_player,
    said_of_player_text,
)

from planner.errors import NoInput
from planner.inputs.player import Limit, OtherPlaying, OwnMusic, OwnWarmUp, SpecialDate
from planner.inputs.player_file import stays_below
from planner.inputs.read import kind_of, read_player

ROOT = Path(__file__).resolve().parents[2]
LEVEL = 'level = "intermediate"'
FAULTS = cases(Path(__file__).with_name("player_faults.txt"))


def test_minutes_are_seven_numbers_from_monday() -> None:
    assert player().minutes == (40, 0, 25, 0, 0, 0, 0)


def test_a_range_is_read_as_written_midi_numbers() -> None:
    # MIDI: G3 = 55, G5 = 79 (C4 = 60)
    assert (player().low, player().high) == (55, 79)


def test_without_a_range_the_one_of_the_level_stands() -> None:
    # brass.md 1.7: trumpet, intermediate, F#3 to A5; MIDI 54 and 81
    read = player('range = ["G3", "G5"]\n', "")
    assert (read.low, read.high) == (54, 81)


def test_known_notes_bound_the_range_and_stand_in_order() -> None:
    read = player('range = ["G3", "G5"]', 'known_notes = ["E4", "C4", "G5"]')
    assert (read.known_notes, read.low, read.high) == ((60, 64, 79), 60, 79)


def test_the_breath_left_out_is_the_usual_one_of_the_instrument() -> None:
    # teaching-defaults.md: trumpet 15 s at mezzo-forte. common practice, no source
    assert player().breath_seconds == 15.0


def test_a_player_without_wishes_has_the_defaults() -> None:
    read = player()
    # the contract of player files: 6 blocks, 12 minutes a block, 3 families, 1.25 load a minute, usual 0.84
    assert (read.blocks_a_day, read.minutes_a_block, read.families_a_day) == (6, 12, 3)
    assert (read.load_per_minute, read.boldness, read.spans, read.history) == (1.25, 0.84, {}, "")


@pytest.mark.parametrize(
    ("word", "share"), [('"careful"', 0.92), ('"usual"', 0.84), ('"bold"', 0.75), ("0.6", 0.6)]
)
def test_boldness_is_a_word_or_a_share(word: str, share: float) -> None:
    assert player(LEVEL, f"{LEVEL}\nboldness = {word}").boldness == share


def test_a_concert_is_one_day() -> None:
    day = date(2026, 10, 3)
    assert player().dates == (SpecialDate("concert", day, day, "", None),)


def test_a_stretch_has_both_its_ends() -> None:
    read = player(
        'kind = "concert"\ndate = 2026-10-03',
        'kind = "short"\nfrom = 2026-10-03\nto = 2026-10-05\nminutes = 0',
    )
    assert read.dates == (SpecialDate("short", date(2026, 10, 3), date(2026, 10, 5), "", 0),)


def test_a_limit_may_cap_the_top_note() -> None:
    # MIDI: E5 = 76
    assert player().limits == (Limit("braces", date(2026, 9, 7), date(2026, 9, 20), 76, None, ()),)


def test_a_limit_of_no_minutes_at_all_is_kept() -> None:
    assert player('top_note = "E5"', "minutes = 0").limits[0].minutes == 0


def test_own_music_gets_its_id_from_its_title() -> None:
    assert player().music == (OwnMusic("slow-air", "Slow air", "", 10, (0,), (60, 66), None, 3),)


def test_music_whose_title_has_no_latin_letter_is_numbered() -> None:
    assert player('"Slow air"', '"夕焼け"').music[0].id == "piece-1"


def test_other_playing_left_open_has_the_usual_share_on_the_lip() -> None:
    # teaching-defaults.md: of 120 minutes about 66 on the lip, 0.55. common practice, no source
    assert player().playing == (OtherPlaying("town band", (1,), 90, 0.55, 3),)


def test_no_minute_on_the_lip_is_kept() -> None:
    assert player("minutes = 90", "minutes = 90\non_the_lip = -0.0").playing[0].on_the_lip == 0.0


def test_an_own_warm_up_has_a_title_and_minutes() -> None:
    read = player(LEVEL, f'{LEVEL}\nwarm_up = "mine"\nwarm_up_title = "Drones"\nwarm_up_minutes = 10')
    assert read.warm_up == OwnWarmUp("Drones", 10)


def test_an_own_warm_up_without_minutes_has_eight() -> None:
    # design.md section 5 of the contract: warm_up = "mine", minutes = 8
    assert player(LEVEL, f'{LEVEL}\nwarm_up = "mine"').warm_up == OwnWarmUp("My warm-up", 8)


def test_the_file_of_ratings_lies_beside_the_player_file(tmp_path: Path) -> None:
    path = tmp_path / "mina.toml"
    path.write_text(changed(PLAYER, LEVEL, f'{LEVEL}\nratings = "mina.csv"'), encoding="utf-8")
    assert read_player(path, MONDAY).history == str(tmp_path / "mina.csv")


def test_the_longest_position_of_a_slide_may_be_shorter() -> None:
    text = changed(PLAYER, 'instrument = "trumpet"', 'instrument = "trombone"\nlongest_position = 5')
    text = changed(text, 'range = ["G3", "G5"]\n', "")
    assert player_of(changed(text, 'top_note = "E5"', "minutes = 10")).longest_position == 5


def test_a_slide_has_no_eighth_position() -> None:
    text = changed(PLAYER, 'instrument = "trumpet"', 'instrument = "trombone"\nlongest_position = 8')
    text = changed(text, 'range = ["G3", "G5"]\n', "")
    assert said_of_player_text(changed(text, 'top_note = "E5"', "minutes = 10")) == [
        "mina.toml:4:20: a slide has 7 positions"
    ]


def test_the_side_of_a_double_horn_may_be_named() -> None:
    text = changed(PLAYER, 'instrument = "trumpet"', 'instrument = "horn"\nside = "B flat"')
    assert player_of(text).side == "B flat"


def test_german_note_names_are_read_where_declared() -> None:
    # German H4 is B natural 4, MIDI 71; B4 is B flat 4, MIDI 70
    text = changed(PLAYER, 'range = ["G3", "G5"]', 'naming = "german"\nknown_notes = ["H4", "B4"]')
    assert player_of(text).known_notes == (70, 71)


@pytest.mark.parametrize(
    ("words", "day"),
    [
        # counted from Monday 7 September 2026 on a calendar
        ("this week", date(2026, 9, 7)),
        ("in 2 weeks", date(2026, 9, 21)),
        ("3 weeks ago", date(2026, 8, 17)),
        ("in 14 days", date(2026, 9, 21)),
        ("7 days ago", date(2026, 8, 31)),
        ("in 1 week", date(2026, 9, 14)),
    ],
)
def test_a_relative_date_counts_from_the_monday_planned(words: str, day: date) -> None:
    assert player("starts = 2026-09-07", f'starts = "{words}"').starts == day


def test_relative_dates_are_read_wherever_a_date_stands() -> None:
    text = PLAYER.replace("2026-10-03", '"in 12 days"').replace("from = 2026-09-07", 'from = "9 days ago"')
    text = changed(text, "until = 2026-09-20", 'until = "in 2 weeks"')
    assert said_of_player_text(changed(text, "band = [60, 66]", 'until = "in 26 days"')) == []


@pytest.mark.parametrize(("old", "new", "said"), FAULTS.values(), ids=FAULTS)
def test_a_fault_is_told_with_its_place_and_a_way_out(old: str, new: str, said: str) -> None:
    assert said_of_player(old, new) == [f"mina.toml:{said}"]


def test_faults_of_all_tables_come_at_once_in_order() -> None:
    text = changed(PLAYER, "minutes = 90", "minutes = 900")
    text = changed(text, "until = 2026-09-20", "until = 2026-09-01")
    text = changed(text, '"intermediate"', '"middle"')
    assert [line.split(": ")[0] for line in said_of_player_text(text)] == [
        "mina.toml:4:9",
        "mina.toml:17:9",
        "mina.toml:29:11",
    ]


def test_a_player_is_known_by_its_content(tmp_path: Path) -> None:
    path = tmp_path / "anything.toml"
    path.write_text(PLAYER, encoding="utf-8")
    assert kind_of(path) == "player"


def test_a_player_that_is_not_there_is_no_input(tmp_path: Path) -> None:
    with pytest.raises(NoInput, match="there is no such file"):
        read_player(tmp_path / "mina.toml", MONDAY)


@pytest.mark.parametrize(
    "path", sorted((ROOT / "sample_profiles").glob("*.toml")), ids=lambda path: path.stem
)
def test_every_sample_player_is_without_a_fault(path: Path) -> None:
    assert read_player(path, MONDAY).id == path.stem


@pytest.mark.parametrize(
    "path",
    [
        "../x.csv",
        "a/../../x",
        "/etc/passwd",
        "C:\\x",
        "a\\b",
        "NUL",
        "con.toml",
        "aux .csv",
        "a//b",
        "",
        "a/",
    ],
)
def test_a_path_that_may_lead_elsewhere_does_not_stay_below(path: str) -> None:
    assert not stays_below(path)


@pytest.mark.parametrize("path", ["x.csv", "ratings/x.csv", "term", "..x", "connie.toml", "B♭.toml"])
def test_a_path_below_the_folder_stays_there(path: str) -> None:
    assert stays_below(path)

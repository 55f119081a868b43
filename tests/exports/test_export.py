"""`planner export` and `planner click` as somebody types them."""

from __future__ import annotations

import json
from pathlib import Path

import music21
import pytest
from cli.plan_player import MONDAY, AtHome, Said, at_home, run_here


@pytest.fixture(scope="module")
def jonah(tmp_path_factory: pytest.TempPathFactory) -> AtHome:
    """Jonah, whose week of 7 September is planned once."""
    found = at_home("jonah", tmp_path_factory.mktemp("jonah"))
    found.week(MONDAY)
    return found


def export(who: AtHome, what: str, to: Path, *words: str) -> Said:
    """Export something for a player on Monday."""
    place = ("--player", str(who.player), "--diary", str(who.data), "--date", MONDAY)
    return run_here("export", what, "--to", str(to), *place, *words)


@pytest.mark.parametrize("name", ["today.musicxml", "today.mid", "today.ics", "today.csv", "today.json"])
def test_today_becomes_each_kind_of_file(jonah: AtHome, tmp_path: Path, name: str) -> None:
    said = export(jonah, "today", tmp_path / name)
    assert (said.code, said.err) == (0, f"written: {tmp_path / name}\n")
    assert (tmp_path / name).stat().st_size > 100


def test_the_routine_has_the_notes_of_every_item(jonah: AtHome, tmp_path: Path) -> None:
    export(jonah, "today", tmp_path / "today.musicxml")
    export(jonah, "today", tmp_path / "today.json")
    day = json.loads((tmp_path / "today.json").read_text(encoding="utf-8"))["days"][0]
    bars = sum(
        item["bars"] * max(1, len(item["fingerings"]) if "-" in item["place"] else 1)
        for item in day["items"]
        if item["combination"] and item["go"] == 1 and item["kind"] == "play"
    )
    score = music21.converter.parse(tmp_path / "today.musicxml")
    assert len(score.parts[0].getElementsByClass("Measure")) == bars


@pytest.mark.parametrize("what", ["today.csv", "week.ics", "coverage.csv"])
def test_what_comes_of_a_plan_that_cannot_be_stored_is_written_and_ends_with_the_code_of_that(
    jonah: AtHome, tmp_path: Path, what: str
) -> None:
    (tmp_path / "data").write_text("no folder")
    place = ("--player", str(jonah.player), "--diary", str(tmp_path / "data"), "--date", MONDAY)
    said = run_here("export", what.partition(".")[0], "--to", str(tmp_path / what), *place)
    assert (said.code, "the plan is shown and not stored" in said.err) == (73, True)
    assert (tmp_path / what).stat().st_size > 100


def test_coverage_is_the_same_file_as_on_the_screen(jonah: AtHome, tmp_path: Path) -> None:
    for name in ("csv", "json"):
        to = tmp_path / f"coverage.{name}"
        said = export(jonah, "coverage", to)
        assert (said.code, said.err) == (0, f"written: {to}\n")
        shown = jonah.planner("coverage", "--date", MONDAY, f"--{name}")
        assert to.read_bytes().decode() == shown.out


def test_coverage_is_printed_in_one_way(jonah: AtHome) -> None:
    said = jonah.planner("coverage", "--date", MONDAY, "--csv", "--json")
    assert (said.code, said.err.startswith("--json and --csv are two ways")) == (2, True)


def test_coverage_is_no_calendar(jonah: AtHome, tmp_path: Path) -> None:
    said = export(jonah, "coverage", tmp_path / "coverage.ics")
    assert (said.code, "(end it in .csv or .json)" in said.err) == (2, True)


def test_a_week_has_no_score(jonah: AtHome, tmp_path: Path) -> None:
    said = export(jonah, "week", tmp_path / "week.mid")
    assert said.code == 2
    assert said.err == "week.mid is no file that a week can be written to (end it in .ics, .csv or .json)\n"


def test_an_unknown_combination_is_named_with_the_nearest(jonah: AtHome, tmp_path: Path) -> None:
    said = export(jonah, "dinner-bell/a/b-flat-mayor", tmp_path / "x.mid")
    assert said.code == 66
    assert "did you mean" in said.err
    assert not (tmp_path / "x.mid").exists()


@pytest.mark.parametrize("at", ["25:00", "5pm", "17.30", "1730"])
def test_a_time_that_is_none_is_refused(jonah: AtHome, tmp_path: Path, at: str) -> None:
    said = export(jonah, "week", tmp_path / "week.ics", "--at", at)
    assert (said.code, "write it like 17:30" in said.err) == (2, True)


def test_a_folder_that_cannot_be_made_is_said(jonah: AtHome, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    said = export(jonah, "week", tmp_path / "file" / "week.ics")
    assert said.code == 73


def test_the_same_plan_gives_the_same_bytes(jonah: AtHome, tmp_path: Path) -> None:
    for name in ("a", "b"):
        export(jonah, "today", tmp_path / f"{name}.musicxml")
        export(jonah, "week", tmp_path / f"{name}.ics")
    assert (tmp_path / "a.musicxml").read_bytes() == (tmp_path / "b.musicxml").read_bytes()
    assert (tmp_path / "a.ics").read_bytes() == (tmp_path / "b.ics").read_bytes()


def test_a_click_is_written(tmp_path: Path) -> None:
    to = tmp_path / "k.wav"
    said = run_here("click", "--meter", "7/8", "--grouping", "2+2+3", "--bars", "2", "--to", str(to))
    assert said.code == 0
    assert to.read_bytes()[:4] == b"RIFF"


def test_a_click_of_many_hours_is_refused(tmp_path: Path) -> None:
    # 2000 bars of eight eighths at 20 eighths a minute: 800 minutes
    said = run_here(
        "click", "--to", str(tmp_path / "k.wav"), "--bars", "2000", "--tempo", "20", "--beat", "eighth"
    )
    assert (said.code, said.err) == (2, "2000 bars last 800 minutes (at most 120: --bars)\n")


@pytest.mark.parametrize(
    "words",
    [
        ("click", "--to", f"{'a' * 300}.wav"),
        ("diary", "restore", "a" * 300),
        ("figure", "4e 5 6 5 4 5 6 5", "--svg", "--to", "a" * 300),
    ],
)
def test_a_name_that_no_file_can_have_is_one_line(words: tuple[str, ...]) -> None:
    said = run_here(*words)
    assert said.code in (66, 73)
    assert said.err.count("\n") == 1
    assert "fault of its own" not in said.err


def test_a_click_is_a_wav_file(tmp_path: Path) -> None:
    said = run_here("click", "--to", str(tmp_path / "k.mp3"))
    assert (said.code, said.err) == (2, "k.mp3 is no file that a click can be written to (end it in .wav)\n")


def test_an_articulation_that_is_not_asked_for_is_refused(jonah: AtHome, tmp_path: Path) -> None:
    day = jonah.today(MONDAY)
    name = next(item["combination"] for item in day["items"] if item["combination"])
    said = export(jonah, name, tmp_path / "x.mid", "--articulation", "triple")
    assert (said.code, f"{name} is not played triple" in said.err) == (2, True)


STAIRS = "clock-stairs/b/3-4-5"


@pytest.fixture(scope="module")
def tobias(tmp_path_factory: pytest.TempPathFactory) -> AtHome:
    """Tobias, in whose Monday the stairs stand tongued at 80 (worked by hand in DEVELOPERS.md)."""
    found = at_home("tobias", tmp_path_factory.mktemp("tobias"))
    found.week(MONDAY)
    return found


def tempo_of(path: Path) -> float:
    """The tempo mark of a score, as music21 reads it."""
    return float(music21.converter.parse(path).recurse().getElementsByClass("MetronomeMark").first().number)


def test_a_combination_of_the_day_has_tempo_and_articulation_of_its_plan(
    tobias: AtHome, tmp_path: Path
) -> None:
    said = export(tobias, STAIRS, tmp_path / "stairs.musicxml")
    assert tempo_of(tmp_path / "stairs.musicxml") == 80
    assert said.err.startswith(f"as planned for {MONDAY}: tongued ♩ = 80\n")


def test_a_tempo_that_is_typed_goes_before_the_plan(tobias: AtHome, tmp_path: Path) -> None:
    export(tobias, STAIRS, tmp_path / "stairs.musicxml", "--tempo", "84")
    assert tempo_of(tmp_path / "stairs.musicxml") == 84


@pytest.mark.parametrize("words", [("--articulation", "slurred"), ("--date", "2026-08-20")])
def test_what_the_plan_does_not_hold_has_its_first_tempo(
    tobias: AtHome, tmp_path: Path, words: tuple[str, str]
) -> None:
    # curricula/trumpet-cornet.toml: clock-stairs begins at a quarter of 66
    said = export(tobias, STAIRS, tmp_path / "stairs.musicxml", *words)
    assert said.err == f"written: {tmp_path / 'stairs.musicxml'}\n"
    assert tempo_of(tmp_path / "stairs.musicxml") == 66

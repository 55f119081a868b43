"""`planner figure CURRICULUM/EXERCISE`: an exercise in all its places without a player."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from cli.plan_player import Said, run_here
from structure.tree import ROOT

SPINDLE = ("figure", "trumpet-cornet/spindle")


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def printed(*words: str) -> str:
    said = run_here(*words)
    assert (said.code, said.err) == (0, "")
    return said.out


def refused(*words: str) -> Said:
    said = run_here(*words)
    assert said.out == ""
    assert said.err.count("\n") == 1
    return said


def test_every_pattern_stands_in_every_place() -> None:
    # the file: two patterns, cycles of three from positions 1, 3 and 5
    text = printed(*SPINDLE)
    heads = [line.split("   ")[0] for line in text.splitlines() if line.startswith("positions ")]
    assert heads == ["positions 1-2-3", "positions 3-4-5", "positions 5-6-7"] * 2


def test_the_fingerings_of_a_cycle_stand_in_its_head() -> None:
    # valves of positions 5, 6, 7: the published chart of thewholehorn.com
    assert "positions 5-6-7   23 → 13 → 123" in printed(*SPINDLE)


def test_a_horn_has_fingerings_of_its_own() -> None:
    # F side, same valves, partials twice as high: common practice, no source
    assert "positions 5-6-7   F23 → F13 → F123" in printed(*SPINDLE, "--for", "horn")


def test_meter_articulations_and_tempos_are_those_of_the_file() -> None:
    text = " ".join(printed(*SPINDLE).split())
    assert "5/8, accents 2+3 · slurred, then tongued · 4 in a breath ♪ = 108 to 192" in text


def test_keys_are_written_out_too() -> None:
    # the file: C, F, G, B flat, D, E flat, one pattern
    text = printed("figure", "trumpet-cornet/two-rows")
    places = [line.split()[0] for line in text.splitlines() if " major   " in line]
    assert places == ["C", "F", "G", "B♭", "D", "E♭"]


@pytest.mark.parametrize("width", ["60", "80", "120"])
def test_no_line_is_wider_than_the_screen(width: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", width)
    assert max(len(line) for line in printed(*SPINDLE, "--for", "trumpet,tuba-eb").splitlines()) <= int(width)


def test_a_sheet_is_that_of_planner_sheet() -> None:
    run_here(*SPINDLE, "--for", "trumpet,horn", "--pdf", "--to", "one")
    run_here(
        *("sheet", "--exercise", "spindle", "--curriculum", "trumpet-cornet", "--for", "trumpet,horn"),
        *("--to", "two"),
    )
    assert Path("one.pdf").read_bytes() == Path("two.pdf").read_bytes()


def test_a_sheet_has_the_name_of_the_exercise() -> None:
    assert run_here(*SPINDLE, "--pdf").err == "spindle.pdf: the sheet as PDF\n"


def test_other_fingerings_and_a_title_come_where_asked() -> None:
    run_here(*SPINDLE, "--html", "--alternates", "--title", "Monday", "--to", "x")
    text = Path("x.html").read_text(encoding="utf-8")
    assert "<h1>Monday</h1>" in text
    assert "In brackets: other ways to play the note, where it comes first." in text


def test_a_curriculum_may_be_a_file() -> None:
    shutil.copy(ROOT / "curricula" / "trumpet-cornet.toml", "mine.toml")
    assert printed("figure", "mine.toml/spindle") == printed(*SPINDLE)


def test_a_mistyped_exercise_gets_its_hint() -> None:
    said = refused("figure", "trumpet-cornet/spindel")
    assert (said.code, "(did you mean spindle?)" in said.err) == (2, True)


def test_a_mistyped_curriculum_gets_its_hint() -> None:
    said = refused("figure", "trumpet-cornett/spindle")
    assert (said.code, "did you mean trumpet-cornet?" in said.err) == (66, True)


def test_an_exercise_without_its_curriculum_is_found() -> None:
    said = refused("figure", "spindle")
    assert (said.code, "(did you mean trumpet-cornet/spindle?)" in said.err) == (2, True)


def test_a_figure_that_is_none_keeps_its_hint() -> None:
    assert 'for example "4e> 5e 6e 5e 4e"' in refused("figure", "fanfare").err


@pytest.mark.parametrize("word", ["trumpet-cornet/", "/spindle", "/"])
def test_half_a_name_is_refused(word: str) -> None:
    assert "write it like trumpet-cornet/spindle" in refused("figure", word).err


def test_what_an_exercise_brings_along_is_not_taken_from_the_command_line() -> None:
    said = refused(*SPINDLE, "--meter", "5/8", "--keys", "all")
    assert (said.code, said.err.startswith("--meter and --keys belong to a figure of your own")) == (2, True)

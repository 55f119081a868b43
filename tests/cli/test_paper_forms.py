"""What stands on a sheet to be filled in by hand is what `planner rate` takes; sheets of nothing are told."""

from __future__ import annotations

import html
import re
from pathlib import Path

import pytest
from cli.plan_player import MONDAY, AtHome, at_home, run_here

WEDNESDAY = "2026-09-09"
FORM = re.compile(r'<span class="form">([^<]*)<span class="blank">')
ANSWER = re.compile(r'<p class="answer">(.*?)</p>')
NAME = re.compile(r'<span class="name">([^<]*)</span>')
VALUE = re.compile(r"<[bi]>(\d+)</[bi]>")
SPINDLE_WORDS = [
    f"spindle/{pattern}/{place}/{articulation}"
    for pattern in "ab"
    for place in ("1-2-3", "3-4-5", "5-6-7")
    for articulation in ("slurred", "tongued")
]


@pytest.fixture(scope="module")
def homes(tmp_path_factory: pytest.TempPathFactory) -> dict[str, AtHome]:
    """Tobias and Jonah, each with a planned week of 7 September."""
    found = {name: at_home(name, tmp_path_factory.mktemp(name)) for name in ("tobias", "jonah")}
    for one in found.values():
        one.week(MONDAY)
    return found


def sheet(who: AtHome, to: Path, *words: str) -> str:
    """The HTML of a sheet."""
    said = who.planner("sheet", "--html", "--to", str(to), *words)
    assert said.code == 0, said.err
    return to.with_suffix(".html").read_text(encoding="utf-8")


def forms(text: str) -> list[str]:
    """The words before the blanks, in order."""
    return [html.unescape(lead).removesuffix(" =") for lead in FORM.findall(text)]


def test_every_articulation_of_a_place_has_its_own_line(homes: dict[str, AtHome], tmp_path: Path) -> None:
    # the file: patterns a and b, cycles from 1, 3 and 5, slurred and tongued
    assert forms(sheet(homes["tobias"], tmp_path / "x", "--exercise", "spindle")) == SPINDLE_WORDS


def test_the_words_of_the_lines_can_be_rated_as_they_stand(homes: dict[str, AtHome], tmp_path: Path) -> None:
    words = forms(sheet(homes["tobias"], tmp_path / "x", "--exercise", "spindle"))
    said = homes["tobias"].planner("rate", "--date", MONDAY, *(f"{word}=108" for word in words))
    assert said.code == 0, said.err
    homes["tobias"].undo()


def test_one_articulation_needs_no_name(homes: dict[str, AtHome], tmp_path: Path) -> None:
    # the file: seven with slurs is tongued alone, in C, F, G, B flat, D, E flat
    text = sheet(homes["tobias"], tmp_path / "x", "--exercise", "seven-with-slurs")
    places = ("c-major", "f-major", "g-major", "b-flat-major", "d-major", "e-flat-major")
    assert forms(text) == [f"seven-with-slurs/a/{place}" for place in places]


def test_a_page_without_a_pupil_has_nothing_to_fill_in(homes: dict[str, AtHome], tmp_path: Path) -> None:
    assert forms(sheet(homes["tobias"], tmp_path / "x", "--exercise", "spindle", "--for", "trumpet")) == []


@pytest.mark.parametrize("name", ["tobias", "jonah"])
def test_every_item_of_a_day_that_is_rated_has_its_answer(
    homes: dict[str, AtHome], tmp_path: Path, name: str
) -> None:
    items = homes[name].today(MONDAY)["items"]
    text = sheet(homes[name], tmp_path / "x", "--date", MONDAY)
    wanted = [item["combination"] for item in items if item["combination"] and item["go"] == 1]
    assert NAME.findall(text) == wanted != []
    assert text.count("☐ left out") == len(wanted)


def test_the_names_on_a_day_can_be_rated_as_they_stand(homes: dict[str, AtHome], tmp_path: Path) -> None:
    words = NAME.findall(sheet(homes["tobias"], tmp_path / "x", "--date", MONDAY))
    said = homes["tobias"].planner("rate", "--date", MONDAY, *(f"{word}=3" for word in words))
    assert said.code == 0, said.err
    homes["tobias"].undo()


def test_marks_around_todays_and_the_five_grades_are_there_to_circle(
    homes: dict[str, AtHome], tmp_path: Path
) -> None:
    # the marks of a metronome: 84 88 92 96 100 104 108 112 116 120 126 132
    items = homes["tobias"].today(MONDAY)["items"]
    first = next(item for item in items if item["tempo"] == 108)
    text = sheet(homes["tobias"], tmp_path / "x", "--date", MONDAY)
    answer = next(one for one in ANSWER.findall(text) if first["combination"] in one)
    assert VALUE.findall(answer) == [*["96", "100", "104", "108", "112", "116", "120", "126"], *"12345"]
    assert "<b>108</b>" in answer


def test_a_long_tone_has_its_seconds_to_circle_and_a_line(homes: dict[str, AtHome], tmp_path: Path) -> None:
    # Jonah's plan asks for 7 s: three below, three above, a line for any other
    text = sheet(homes["jonah"], tmp_path / "x", "--date", MONDAY)
    answer = next(one for one in ANSWER.findall(text) if "candle-tones" in one)
    assert (VALUE.findall(answer), '<span class="blank">' in answer) == ([*"456789", "10"], True)


def test_a_bend_is_answered_by_a_circle(homes: dict[str, AtHome], tmp_path: Path) -> None:
    # weather vane is measured by its bend: rated yes or no, not by a mark
    text = sheet(homes["tobias"], tmp_path / "x", "--exercise", "weather-vane")
    found = re.findall(r'<span class="form">([^<]*)</span>', text)
    assert found
    assert [one for one in found if not one.endswith("= yes · no")] == []
    assert "yes or no: the bend was reached and centred" in text


def test_the_foot_names_the_command_of_the_day(homes: dict[str, AtHome], tmp_path: Path) -> None:
    text = sheet(homes["tobias"], tmp_path / "x", "--date", MONDAY)
    assert f"Afterwards: planner rate --player tobias --date {MONDAY} B1=" in text


def test_a_day_without_practice_is_said(homes: dict[str, AtHome], tmp_path: Path) -> None:
    # Jonah's file gives no minutes on a Wednesday
    said = homes["jonah"].planner("sheet", "--date", WEDNESDAY, "--to", str(tmp_path / "x"))
    assert (said.code, said.err.splitlines()[0]) == (0, f"Jonah, {WEDNESDAY}: no practice")


def test_a_sheet_of_words_has_no_drawings(homes: dict[str, AtHome], tmp_path: Path) -> None:
    said = homes["jonah"].planner("sheet", "--date", WEDNESDAY, "--svg", "--to", str(tmp_path / "x"))
    assert (said.code, "has no drawings" in said.err) == (66, True)
    assert not (tmp_path / "x").exists()


def test_an_exercise_that_nobody_can_play_is_refused_with_the_reason(
    homes: dict[str, AtHome], tmp_path: Path
) -> None:
    # Jonah is a beginner, the octaves are for intermediate players
    words = ("--exercise", "church-octaves", "--curriculum", "trumpet-cornet", "--to", str(tmp_path / "x"))
    said = homes["jonah"].planner("sheet", *words)
    assert (said.code, "above the level: for intermediate players" in said.err) == (66, True)
    assert not (tmp_path / "x.pdf").exists()


def test_a_position_that_is_not_there_is_refused_as_a_sheet(tmp_path: Path) -> None:
    words = ("4e 5 6 5 4", "--meter", "5/8", "--starts", "9", "--pdf", "--to", str(tmp_path / "x"))
    said = run_here("figure", *words)
    assert (said.code, "has no position 9" in said.err) == (2, True)


def test_a_day_is_drawn_in_tenor_clef_where_asked(homes: dict[str, AtHome], tmp_path: Path) -> None:
    # SMuFL: the C clef is U+E05C, the F clef U+E062
    said = homes["jonah"].planner(
        "sheet", "--date", MONDAY, "--svg", "--tenor-clef", "--to", str(tmp_path / "x")
    )
    drawn = [path.read_text(encoding="utf-8") for path in (tmp_path / "x").iterdir()]
    assert said.code == 0
    assert [("E05C" in one, "E062" in one) for one in drawn] == [(True, False)] * len(drawn) != []


def test_a_day_has_other_fingerings_where_asked(homes: dict[str, AtHome], tmp_path: Path) -> None:
    said = "In brackets: other ways to play the note, where it comes first."
    assert said in sheet(homes["tobias"], tmp_path / "x", "--date", MONDAY, "--alternates")
    assert said not in sheet(homes["tobias"], tmp_path / "y", "--date", MONDAY)


def test_a_week_has_no_clef(homes: dict[str, AtHome]) -> None:
    said = homes["jonah"].planner("sheet", "--week", "--tenor-clef")
    assert (said.code, "are for sheets with figures" in said.err) == (2, True)

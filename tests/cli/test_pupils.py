"""A pupil of a class day by day: the same commands, the pupil named class/pupil."""

from __future__ import annotations

from pathlib import Path

import pytest
from cli.class_profile import CLASS, put
from cli.plan_player import Said, run_here

from planner.paths import shipped_curricula

DAY = "2026-09-08"
PUPIL = "first-years/cornets"


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("PLANNER_DATA", str(tmp_path / "data"))
    put(tmp_path / "first-years.toml")
    return tmp_path


def of_pupil(command: str, *words: str) -> Said:
    return run_here(command, "--player", PUPIL, "--date", DAY, *words)


@pytest.mark.usefixtures("here")
def test_a_pupil_has_a_day_a_week_and_a_coverage() -> None:
    heads = [of_pupil(command).out.split("  ")[0] for command in ("today", "week", "coverage")]
    assert all(head.startswith("First years, cornets") for head in heads)


@pytest.mark.usefixtures("here")
def test_what_is_said_next_names_the_pupil_again() -> None:
    assert "planner rate --player first-years/cornets --date 2026-09-08" in of_pupil("today").out


@pytest.mark.usefixtures("here")
def test_a_pupils_rating_is_no_other_pupils() -> None:
    assert (of_pupil("today").code, of_pupil("rate", "B1=4s").code) == (0, 0)
    assert run_here("undo", "--player", "first-years/trombones").out == "There is nothing to take back.\n"
    assert "Taken back: 1 rating of" in run_here("undo", "--player", PUPIL).out


def test_check_says_what_a_class_is(here: Path) -> None:
    said = run_here("check", "first-years.toml")
    assert said.out.splitlines()[:3] == [
        "first-years.toml: a class without a fault: 2 pupils",
        "   first-years/cornets: Cornet in B♭, 60 minutes on 4 days a week",
        "   first-years/trombones: Trombone, 60 minutes on 4 days a week",
    ]
    assert "7 exercises in 8 weeks" in said.out
    assert not (here / "data").exists()


def test_check_names_a_curriculum_of_one_pupil_at_its_line(here: Path) -> None:
    text = CLASS.replace('instrument = "cornet"', 'instrument = "cornet"\ncurriculum = "nix"')
    put(here / "first-years.toml", text)
    said = run_here("check", "first-years.toml")
    assert said.code == 65
    assert said.err.startswith("first-years.toml:11:14: there is no curriculum nix")


def test_a_sheet_has_a_page_for_each_pupil_of_the_class(here: Path) -> None:
    said = run_here("sheet", "--exercise", "dinner-bell", "--pupils", "first-years", "--html")
    assert said.code == 0
    page = (here / "dinner-bell.html").read_text(encoding="utf-8")
    assert "First years, cornets" in page
    assert "First years, trombones" in page


def test_a_pupils_sheet_is_named_after_class_and_pupil(here: Path) -> None:
    assert of_pupil("sheet", "--html").code == 0
    assert (here / "first-years-cornets-2026-09-08.html").is_file()


def test_two_classes_of_one_id_would_share_a_diary(here: Path) -> None:
    put(here / "copy.toml")
    said = of_pupil("today")
    assert said.code == 65
    assert "both would write into one diary" in said.err


def test_the_term_of_a_class_becomes_a_sheet(here: Path) -> None:
    made = run_here("term", "--class", "first-years", "--json")
    put(here / "club.json", made.out)
    said = run_here("sheet", "--term", "club.json", "--html")
    assert (said.code, said.err) == (0, "club-sheet.html: the sheet as one HTML file\n")
    page = (here / "club-sheet.html").read_text(encoding="utf-8")
    assert "New week by week" in page
    assert page.count("Week by week") == 2  # a page for each of the two pupils


DATES = """
[[date]]
kind = "holiday"
week = 2
title = "autumn break"

[[date]]
kind = "concert"
week = 3
days = ["friday"]
title = "Winter concert"
"""


def test_today_says_of_a_holiday_and_a_concert_what_the_term_says(here: Path) -> None:
    five = (shipped_curricula() / "first-year-five-notes.toml").read_text(encoding="utf-8")
    put(here / "five.toml", five.replace('id = "first-year-five-notes"', 'id = "five"') + DATES)
    put(here / "first-years.toml", CLASS.replace('"first-year-five-notes"', '"five"'))
    term = run_here("term", "--player", PUPIL, "--date", "2026-09-07", "--json").plan
    days = {day["date"]: day for week in term["weeks"] for day in week["days"]}
    for date, title in (("2026-09-15", "autumn break"), ("2026-09-25", "Winter concert")):
        today = run_here("today", "--player", PUPIL, "--date", date, "--json").plan["days"][0]
        told = today["title"] or today["notes"][0]
        assert (told, today["seconds_used"]) == (title, days[date]["seconds_used"])
        assert days[date]["title"] == title


def test_todays_routines_of_a_class_come_in_one_file(here: Path) -> None:
    said = run_here("sheet", "--pupils", "first-years", "--date", DAY, "--html")
    assert (said.code, said.err) == (0, f"pupils-{DAY}.html: the sheet as one HTML file\n")
    page = (here / f"pupils-{DAY}.html").read_text(encoding="utf-8")
    assert page.index("First years, cornets") < page.index("First years, trombones")


def test_a_sheet_for_nobody_is_refused() -> None:
    said = run_here("sheet", "--pupils", ",", "--date", DAY)
    assert (said.code, said.err) == (
        2,
        "--pupils names nobody (files, ids or a class, with commas between)\n",
    )

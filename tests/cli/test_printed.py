"""A sheet printed ahead stays true: the same day on every sheet, and its letters mean what it shows."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from cli.plan_player import MONDAY, TUESDAY, AtHome, at_home, run_here

TITLE = re.compile(r'<span class="letter">([A-Z])</span><h2>([^<]*)</h2>')
TOM = """\
id = "tom"
name = "Tom"
instrument = "trumpet"
level = "intermediate"
curriculum = "trumpet-cornet"
starts = 2026-09-07
[minutes]
monday = 20
tuesday = 20
wednesday = 20
"""
LINE = re.compile(r"<dt>([A-Z])</dt><dd>([^·<]*)")


@pytest.fixture(scope="module")
def planned(tmp_path_factory: pytest.TempPathFactory) -> AtHome:
    """Tobias, whose week of 7 September is planned."""
    found = at_home("tobias", tmp_path_factory.mktemp("tobias"))
    found.week(MONDAY)
    return found


@pytest.fixture
def tobias(planned: AtHome, tmp_path: Path) -> AtHome:
    """The same in a folder of his own, with nothing printed."""
    shutil.copytree(planned.folder, tmp_path / "home")
    return AtHome("tobias", tmp_path / "home")


def html(who: AtHome, *words: str) -> str:
    """The HTML of a sheet."""
    said = who.planner("sheet", *words, "--html", "--to", "-")
    assert said.code == 0, said.err
    return said.out


def titles(page: str) -> list[tuple[str, str]]:
    """Letters and titles of the blocks of a day's sheet."""
    return [(letter, title.strip()) for letter, title in TITLE.findall(page)]


def day_in_week(page: str, name: str) -> list[tuple[str, str]]:
    """Letters and titles of a day on the sheet of its week."""
    part = page.partition(f"<h2>{name}</h2>")[2].partition("<h2>")[0]
    return [(letter, title.strip()) for letter, title in LINE.findall(part)]


def first_item(page: str) -> str:
    """The head of B1 on a day's sheet, "B1  E♭ major  from E♭4"."""
    found = re.search(r"B1  [^<]*", page)
    assert found is not None
    return found[0]


def test_a_day_printed_ahead_is_the_day_of_the_printed_week(tobias: AtHome) -> None:
    # Monday has no rating when Tuesday is printed, and its day is over by the clock
    week = html(tobias, "--week", "--date", MONDAY)
    assert titles(html(tobias, "--date", TUESDAY)) == day_in_week(week, "Tuesday 8 September") != []


def test_a_day_printed_ahead_does_not_move_by_a_rating_before_it(tobias: AtHome) -> None:
    before = titles(html(tobias, "--date", MONDAY) and html(tobias, "--date", TUESDAY))
    tobias.rate(MONDAY, "B1=3")
    assert titles(html(tobias, "--date", TUESDAY)) == before


def test_an_edited_file_does_move_a_day_printed_ahead(tobias: AtHome) -> None:
    html(tobias, "--week", "--date", MONDAY)
    with tobias.player.open("a", encoding="utf-8") as file:
        file.write("\n# edited\n")
    html(tobias, "--date", TUESDAY)
    assert len(tobias.stored()) == 2


def test_a_letter_is_rated_as_it_was_printed(tobias: AtHome) -> None:
    html(tobias, "--week", "--date", MONDAY)
    printed = first_item(html(tobias, "--date", TUESDAY))
    tobias.planner("today", "--date", TUESDAY)  # Monday was not played: the plan is made anew
    said = tobias.planner("rate", "--date", TUESDAY, "B1=3")
    place = printed.replace("\u00a0", " ").split("  ")[1]
    assert f"  B1 Cat and mouse a, {place}, slurred: nearly (3)" in said.out


def test_that_the_plan_changed_since_is_said(tobias: AtHome) -> None:
    html(tobias, "--week", "--date", MONDAY)
    looked = tobias.planner("today", "--date", TUESDAY)
    assert "the sheet printed for 2026-09-08 shows another routine" in looked.err
    said = tobias.planner("rate", "--date", TUESDAY, "B1=3")
    assert (
        "The letters are those of the sheet printed for 2026-09-08; its plan has changed since." in said.out
    )


def test_a_plan_that_stands_needs_no_word_on_letters(tobias: AtHome) -> None:
    html(tobias, "--week", "--date", MONDAY)
    assert "letters" not in tobias.planner("rate", "--date", TUESDAY, "B1=3").out


def test_every_day_is_a_page_of_one_sheet(tobias: AtHome) -> None:
    page = html(tobias, "--every-day", "--date", MONDAY)
    free = [day["date"] for day in tobias.week()["days"] if not day["items"]]
    assert page.count("<section>") == 7 - len(free)
    assert titles(html(tobias, "--date", TUESDAY)) == titles(page.split("<section>")[2])


def test_every_day_with_its_week_begins_with_the_week(tobias: AtHome) -> None:
    page = html(tobias, "--week", "--every-day", "--date", MONDAY)
    assert day_in_week(page.split("<section>")[1], "Tuesday 8 September") == titles(
        page.split("<section>")[3]
    )


def test_a_day_of_twenty_minutes_with_new_items_is_one_page(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # two thirds of the minutes are new exercises in two goes: once these filled two pages a day
    monkeypatch.chdir(tmp_path)
    Path("tom.toml").write_text(TOM, encoding="utf-8")
    words = ("--every-day", "--date", MONDAY, "--player", "tom.toml", "--diary", "data", "--to", "tom.pdf")
    assert run_here("sheet", *words).code == 0
    assert len(re.findall(rb"/Type ?/Page\b", Path("tom.pdf").read_bytes())) == 3


def test_the_drawings_of_a_day_are_named_by_letter_and_combination(tobias: AtHome, tmp_path: Path) -> None:
    items = [item for item in tobias.week()["days"][0]["items"] if item["combination"] and item["go"] == 1]
    said = tobias.planner("sheet", "--date", MONDAY, "--svg", "--to", str(tmp_path / "drawn"))
    assert said.code == 0, said.err
    names = sorted(path.name for path in (tmp_path / "drawn").iterdir())
    wanted = {f"{item['id']}-{item['combination'].replace('/', '-')}" for item in items}
    assert {one for one in wanted if any(f"-{one}" in name for name in names)} == wanted


def test_a_printed_day_is_held_against_its_sheet(tobias: AtHome) -> None:
    # printed on Monday, then made anew: what was rated from the paper is all of Tuesday
    html(tobias, "--week", "--date", MONDAY)
    tobias.planner("today", "--date", TUESDAY)
    tobias.rate(MONDAY, "--rest-clean")
    tobias.rate(TUESDAY, "--rest-clean")
    assert "Not played as planned" not in tobias.planner("today", "--date", "2026-09-09").out

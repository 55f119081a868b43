"""The commands of the diary as people run them, on a small player with a stored routine."""

from __future__ import annotations

import io
import json
import sqlite3
from collections.abc import Callable
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from diary.a_day import ITEMS
from diary.some_ratings import MONDAY

from planner.cli import app
from planner.cli.run import run
from planner.diary.pins import Pin, change_pins, pins
from planner.diary.plans import save_plan
from planner.diary.rating import Rating
from planner.diary.store import Diary

CURRICULUM = """
[curriculum]
id = "two-exercises"
title = "Two exercises"
weeks = 4

[[exercise]]
id = "fives"
title = "Fives"
family = "flexibility"
measure = "tempo"
weeks = [1]
meter = "5/8"
tempo = { beat = "eighth", first = 88, goal = 160 }
articulations = ["slurred", "tongued"]

[[exercise.pattern]]
name = "a"
partials = "4e> 5e 6e> 5e 4e"

[[exercise]]
id = "still"
title = "Still"
family = "long tones"
measure = "tempo"
weeks = [1]
meter = "4/4"
tempo = { beat = "quarter", first = 60, goal = 88 }
articulations = ["slurred"]
keys = ["C"]

[[exercise.pattern]]
name = "p"
degrees = "1w"
"""
PLAYER = """
id = "anna"
name = "Anna"
instrument = "trumpet"
level = "intermediate"
curriculum = "two-exercises"
starts = 2026-09-07
minutes = { monday = 45, tuesday = 45 }
ratings = "earlier.csv"

[[limit]]
title = "new braces"
from = 2026-09-10
until = 2026-09-11
minutes = 10
"""
EARLIER = "day,combination,articulation,tempo,clean,grade,value\n-5,fives/a/1-2-3,slurred,96,,3,\n"
REST = [
    "    Up a: B1 C major",
    "    Up a: C1 C major",
    "    Up a: D1 C major",
    "    Up a: E1 C major",
    "    Up a: F1 C major",
    "    Harbour suite: G1",
]
DAY = ["--date", "2026-09-07"]
TODAY = datetime.now().astimezone().date()
EMPTY_FIELDS = {
    "title": "", "pattern": "a", "place": "c-major", "keys": ["C major"], "positions": [1],
    "fingerings": ["0"], "beat": "quarter", "tempo_first": 60,
}  # fmt: skip


@pytest.fixture
def data(own_data_folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Anna's folder, with a routine stored for Monday; the data folder is given back."""
    (tmp_path / "curricula").mkdir()
    (tmp_path / "curricula" / "two-exercises.toml").write_text(CURRICULUM)
    (tmp_path / "player.toml").write_text(PLAYER)
    (tmp_path / "earlier.csv").write_text(EARLIER)
    monkeypatch.chdir(tmp_path)
    items = [EMPTY_FIELDS | item for item in ITEMS]
    plan = {
        "first_day": "2026-09-07",
        "last_day": "2026-09-13",
        "days": [{"date": "2026-09-07", "items": items}],
    }
    save_plan(own_data_folder, "anna", plan)
    return own_data_folder


def stored(data: Path) -> dict[str, Rating]:
    """Anna's own ratings by combination."""
    with Diary.open(data) as diary:
        return {one.combination: one for one in diary.ratings("anna") if one.day >= MONDAY}


@pytest.fixture
def typed(monkeypatch: pytest.MonkeyPatch) -> Callable[[str], None]:
    """Lets standard input be what is typed at a terminal."""

    def at_a_terminal(text: str) -> None:
        keys = io.StringIO(text)
        monkeypatch.setattr(keys, "isatty", lambda: True)
        monkeypatch.setattr("sys.stdin", keys)

    return at_a_terminal


def test_words_on_the_command_line_rate_only_what_they_name(
    data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(app, ["rate", *DAY, "B2=112", "D=skip"]) == 0
    assert {name: one.clean for name, one in stored(data).items()} == {"up/a/d-major": 112}
    assert capsys.readouterr().out.splitlines() == [
        "Stored 1 rating for 2026-09-07:",
        "  B2 Up a, C major, tongued: clean at 112",
        "  D Up a, C major: left out",
        "Next: planner today",
    ]


def test_a_block_is_told_of_under_its_letter(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(app, ["rate", *DAY, "B=5", "D=skip"]) == 0
    said = capsys.readouterr().out
    assert "  B Up a, C major: comfortable (5)\n  D Up a, C major: left out\n" in said


def test_the_rest_can_be_rated_clean_along_with_words(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(app, ["rate", *DAY, "B2=3", "--rest-clean", "--player", "player.toml"]) == 0
    found = stored(data)
    assert (found["up/a/d-major"].grade, found["up/a/c-major"].grade, len(found)) == (3, 4, 7)
    assert capsys.readouterr().out.splitlines() == [
        "Stored 7 ratings for 2026-09-07:",
        "  B2 Up a, C major, tongued: nearly (3) at 108",
        "  6 clean as marked:",
        *REST,
        "Next: planner today --player player.toml",
    ]


def test_enter_rates_the_whole_routine_clean_as_marked(
    data: Path, typed: Callable[[str], None], capsys: pytest.CaptureFixture[str]
) -> None:
    typed("\n")
    assert run(app, ["rate", *DAY]) == 0
    found = stored(data)
    assert (len(found), found["up/a/c-major"].tempo, found["up/a/c-major"].grade) == (7, 96, 4)
    printed = capsys.readouterr().out
    assert "Stored 7 ratings for 2026-09-07:\n  7 clean as marked: B1, B2, C1, D1, E1, F1, G1\n" in printed
    assert printed.count("All clean as marked?") == 1


def test_the_question_comes_after_the_items_with_their_marks(
    data: Path, typed: Callable[[str], None], capsys: pytest.CaptureFixture[str]
) -> None:
    typed("no\n")
    assert run(app, ["rate", *DAY]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[1].split() == ["B1", "Up", "a", "C", "major", "slurred", "♩", "=", "96"]
    assert [line.split()[0] for line in lines[1:8]] == ["B1", "B2", "C1", "D1", "E1", "F1", "G1"]
    assert lines[-1].endswith("Nothing was stored.")
    assert stored(data) == {}


def test_exceptions_at_the_question_leave_the_rest_clean(data: Path, typed: Callable[[str], None]) -> None:
    typed("B2=116 C1=14s D=skip\n")
    assert run(app, ["rate", *DAY]) == 0
    found = stored(data)
    assert (found["up/a/d-major"].clean, found["still/p/c-major"].value) == (116, 14.0)
    assert (found["up/a/c-major"].grade, "peak/a/1-2-3" in found) == (4, False)


def test_a_wrong_word_at_the_question_is_asked_for_again(
    data: Path, typed: Callable[[str], None], capsys: pytest.CaptureFixture[str]
) -> None:
    typed("B2=17\nB2=3\n")
    assert run(app, ["rate", *DAY]) == 0
    assert "word 1, B2=17: 17 is neither a grade" in capsys.readouterr().err
    assert stored(data)["up/a/d-major"].grade == 3


def test_without_a_terminal_nothing_is_asked(
    data: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO("\n"))
    assert run(app, ["rate", *DAY]) == 2
    assert "there is no terminal to ask what was clean" in capsys.readouterr().err
    assert stored(data) == {}


def test_one_wrong_word_stores_nothing(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(app, ["rate", *DAY, "B1=108", "B2=110"]) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    assert printed.err == (
        "word 2, B2=110: 110 is no metronome mark; nearest: 108 and 112 (nothing was stored)\n"
    )
    assert not (data / "diary.sqlite").exists()


def test_a_day_without_a_routine_cannot_be_asked_about(
    data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(app, ["rate", "--date", "2026-09-20", "--rest-clean"]) == 66
    assert "no routine with anything to rate is stored for 2026-09-20" in capsys.readouterr().err


def test_a_wrong_date_is_a_word_not_understood(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(app, ["rate", "--date", "7.9.2026", "B1=4"]) == 2
    assert (
        capsys.readouterr().err
        == "'7.9.2026' is no date (write it like 2026-09-07, or yesterday, today or tomorrow)\n"
    )


def test_a_combination_never_planned_is_taken_from_the_curriculum(data: Path) -> None:
    assert run(app, ["rate", "--date", "2026-09-20", "fives/a/5-6-7/tongued=4@96"]) == 0
    one = stored(data)["fives/a/5-6-7"]
    assert (one.day, one.articulation, one.tempo, one.grade) == (date(2026, 9, 20), "tongued", 96, 4)


def test_a_combination_never_planned_needs_its_articulation(
    data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(app, ["rate", *DAY, "fives/a/5-6-7=4@96"]) == 2
    said = capsys.readouterr().err
    assert "how it was played, like fives/a/5-6-7/slurred=4@96 or fives/a/5-6-7/tongued=4@96" in said


def test_a_wrong_grade_of_a_combination_never_planned_is_named(
    data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(app, ["rate", *DAY, "fives/a/5-6-7=9"]) == 2
    said = capsys.readouterr().err
    assert "=9: 9 is neither a grade (1 to 5) nor a metronome mark (40 to 208); and it was not" in said


def test_a_combination_rated_before_keeps_its_articulation(data: Path) -> None:
    assert run(app, ["rate", *DAY, "fives/a/1-2-3=4@96"]) == 0  # slurred in the file of earlier ratings
    assert stored(data)["fives/a/1-2-3"].articulation == "slurred"


def test_an_articulation_the_exercise_does_not_have_is_refused(
    data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(app, ["rate", *DAY, "fives/a/5-6-7/triple=4@96"]) == 2
    assert "there is no combination 'fives/a/5-6-7/triple'" in capsys.readouterr().err


def test_a_combination_planned_before_keeps_its_articulation_and_mark(data: Path) -> None:
    assert run(app, ["rate", "--date", "2026-09-20", "up/a/d-major=3"]) == 0
    one = stored(data)["up/a/d-major"]
    assert (one.articulation, one.tempo, one.grade) == ("tongued", 108, 3)


def test_a_rating_inside_a_limit_is_marked_and_said(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(app, ["rate", "--date", "2026-09-10", "up/a/d-major=3"]) == 0
    assert stored(data)["up/a/d-major"].limited
    assert "inside a limit and lower no estimate" in capsys.readouterr().out


def test_a_whole_paper_sheet_is_typed_in_from_a_file(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    Path("sheet.txt").write_text("2026-09-07\nB2=3\nC1=9s\n2026-09-09 fives/a/1-2-3/slurred=104\n")
    assert run(app, ["rate", "--date", "2026-09-12", "--from", "sheet.txt"]) == 0
    assert sorted(stored(data)) == ["fives/a/1-2-3", "still/p/c-major", "up/a/d-major"]
    assert capsys.readouterr().out.splitlines() == [
        "Stored 3 ratings for 2026-09-07 to 2026-09-09:",
        "  2026-09-07  B2 Up a, C major, tongued: nearly (3) at 108",
        "  2026-09-07  C1 Up a, C major, slurred: held 9 s",
        "  2026-09-09  fives/a/1-2-3/slurred: clean at 104",
    ]


def test_a_paper_sheet_may_come_from_standard_input(data: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO("B2=3\n"))
    assert run(app, ["rate", *DAY, "--from", "-"]) == 0
    assert stored(data)["up/a/d-major"].grade == 3


def test_a_closed_standard_input_is_said_in_one_line(
    data: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("sys.stdin", None)
    assert run(app, ["rate", *DAY, "--from", "-"]) == 66
    assert capsys.readouterr().err == "there is no standard input to read from (name a file)\n"


def test_a_mark_of_byte_order_may_stand_before_standard_input(
    data: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(b"\xef\xbb\xbfB2=3\n")))
    assert run(app, ["rate", *DAY, "--from", "-"]) == 0
    assert stored(data)["up/a/d-major"].grade == 3


def test_standard_input_in_another_encoding_is_refused_with_its_line(
    data: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(b"B2=3\n\xe9\n")))
    assert run(app, ["rate", *DAY, "--from", "-"]) == 65
    assert capsys.readouterr().err.startswith("standard input:2: this is no UTF-8 text")


def test_a_faulty_paper_sheet_stores_nothing(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    Path("sheet.txt").write_text("B2=3\nB1=fine\n")
    assert run(app, ["rate", *DAY, "--from", "sheet.txt"]) == 65
    assert capsys.readouterr().err.startswith("sheet.txt:2:1: B1=fine: 'fine' is not understood")
    assert stored(data) == {}


def test_rating_a_day_again_says_what_is_replaced(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run(app, ["rate", *DAY, "B2=3", "C1=9s"])
    capsys.readouterr()
    assert run(app, ["rate", *DAY, "B2=4"]) == 0
    assert capsys.readouterr().out.splitlines()[2] == (
        "Monday 7 September was rated before: 1 earlier rating is replaced; planner undo brings it back."
    )


def test_undo_brings_back_what_a_second_rating_replaced(data: Path) -> None:
    run(app, ["rate", *DAY, "B2=3"])
    run(app, ["rate", *DAY, "B2=4"])
    run(app, ["undo"])
    assert stored(data)["up/a/d-major"].grade == 3


def test_another_item_of_a_rated_day_stands_beside(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run(app, ["rate", *DAY, "B2=3"])
    capsys.readouterr()
    run(app, ["rate", *DAY, "C1=9s"])
    assert capsys.readouterr().out.splitlines()[2] == (
        "Monday 7 September was rated before: these stand beside what was rated then."
    )


def test_a_fresh_day_says_nothing_of_earlier_ratings(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run(app, ["rate", *DAY, "B2=3"])
    assert "rated before" not in capsys.readouterr().out


def test_the_question_says_that_the_day_was_rated_before(
    data: Path, typed: Callable[[str], None], capsys: pytest.CaptureFixture[str]
) -> None:
    run(app, ["rate", *DAY, "B2=3"])
    typed("n\n")
    capsys.readouterr()
    run(app, ["rate", *DAY])
    assert "This day was rated before" in capsys.readouterr().out


def test_a_paper_sheet_says_which_of_its_days_were_rated_before(
    data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    run(app, ["rate", *DAY, "B2=3", "C1=9s"])
    Path("sheet.txt").write_text("2026-09-07\nB2=4\nC1=8s\n2026-09-09 fives/a/1-2-3/slurred=104\n")
    capsys.readouterr()
    run(app, ["rate", "--date", "2026-09-12", "--from", "sheet.txt"])
    said = capsys.readouterr().out.splitlines()[4]
    assert said.startswith("Monday 7 September was rated before: 2 earlier ratings are replaced;")


@pytest.mark.parametrize(("days", "code"), [(1, 0), (2, 2), (400, 2)])
def test_a_day_further_ahead_than_tomorrow_cannot_be_rated(data: Path, days: int, code: int) -> None:
    ahead = (TODAY + timedelta(days=days)).isoformat()
    assert run(app, ["rate", "--date", ahead, "fives/a/5-6-7/tongued=4@96"]) == code


def test_a_day_ahead_is_refused_with_the_day_of_today(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    ahead = TODAY + timedelta(days=9)
    run(app, ["rate", "--date", ahead.isoformat(), "B2=3"])
    assert capsys.readouterr().err == (
        f"{ahead} lies 9 days ahead: nothing can be rated there yet "
        f"(today is {TODAY}; name the day on which it was played with --date)\n"
    )


def test_undo_takes_back_one_rate_and_says_so(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run(app, ["rate", *DAY, "B2=3", "C1=9s"])
    capsys.readouterr()
    assert run(app, ["undo"]) == 0
    assert capsys.readouterr().out == "Taken back: 2 ratings of 2026-09-07 (rate).\n"
    assert stored(data) == {}


def test_undo_of_nothing_says_so(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(app, ["undo"]) == 0
    assert capsys.readouterr().out == "There is nothing to take back.\n"


def test_the_first_rating_brings_the_earlier_ones_in(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run(app, ["rate", *DAY, "B2=3"])
    capsys.readouterr()
    assert run(app, ["diary", "export"]) == 0
    # 5 days before Monday 7 September is Wednesday the 2nd
    assert capsys.readouterr().out.splitlines()[1:] == [
        "2026-09-02,fives/a/1-2-3,slurred,96,,3,,no,0",
        "2026-09-07,up/a/d-major,tongued,108,,3,,no,600",
    ]


@pytest.mark.parametrize("name", ["out.csv", "out.json"])
def test_an_export_comes_back_by_an_import(
    name: str, data: Path, own_data_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    run(app, ["rate", *DAY, "B2=3"])
    run(app, ["diary", "export", "--to", name])
    assert run(app, ["diary", "import", name, "--diary", "elsewhere", "--keep-unknown"]) == 0
    with Diary.open(Path("elsewhere")) as there, Diary.open(data) as here:
        assert there.ratings("anna") == here.ratings("anna") != ()
        if name == "out.json":
            assert there.anchor("anna") == here.anchor("anna") == MONDAY


def test_a_sheet_of_another_hand_comes_beside_the_earlier_ratings(data: Path) -> None:
    Path("old.csv").write_text(
        "day,combination,articulation,grade,tempo\n2026-09-08,still/p/c-major,slurred,5,60\n"
    )
    assert run(app, ["diary", "import", "old.csv"]) == 0
    with Diary.open(data) as diary:
        assert {one.combination for one in diary.ratings("anna")} == {"still/p/c-major", "fives/a/1-2-3"}


def test_an_import_of_what_is_there_stores_nothing(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run(app, ["rate", *DAY, "B2=3"])
    run(app, ["diary", "export", "--to", "out.csv"])
    capsys.readouterr()
    assert run(app, ["diary", "import", "out.csv"]) == 0
    assert capsys.readouterr().out == "0 ratings taken in, 2 were there already.\n"
    connection = sqlite3.connect(data / "diary.sqlite")
    assert connection.execute("SELECT count(*) FROM batch WHERE source LIKE 'import%'").fetchone() == (0,)
    connection.close()


def test_undo_takes_an_import_back(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run(app, ["rate", *DAY, "B2=3"])
    Path("old.csv").write_text(
        "day,combination,articulation,grade,tempo\n2026-09-08,fives/a/1-2-3,slurred,5,96\n"
    )
    run(app, ["diary", "import", "old.csv"])
    capsys.readouterr()
    assert run(app, ["undo"]) == 0
    assert capsys.readouterr().out == "Taken back: 1 rating of 2026-09-08 (import old.csv).\n"


def test_an_export_as_json_is_json(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run(app, ["rate", *DAY, "B2=3"])
    capsys.readouterr()
    assert run(app, ["diary", "export", "--format", "json"]) == 0
    content: dict[str, Any] = json.loads(capsys.readouterr().out)
    assert (content["player"], len(content["ratings"])) == ("anna", 2)


PIN = Pin(date(2026, 9, 8), "fives/a/1-2-3")


def test_a_json_export_brings_the_pins_along(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run(app, ["rate", *DAY, "B2=3"])
    change_pins(data, "anna", pinned=(PIN,))
    run(app, ["diary", "export", "--to", "out.json"])
    capsys.readouterr()
    assert run(app, ["diary", "import", "out.json", "--diary", "elsewhere", "--keep-unknown"]) == 0
    assert pins(Path("elsewhere"), "anna") == (PIN,)
    assert capsys.readouterr().out.splitlines() == [
        "2 ratings taken in, 0 were there already.",
        "1 pin taken in.",
        "planner undo takes back the pins, once more the ratings.",
    ]


def test_undo_after_such_an_import_takes_the_pins_and_then_the_ratings(
    data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    run(app, ["rate", *DAY, "B2=3"])
    change_pins(data, "anna", pinned=(PIN,))
    run(app, ["diary", "export", "--to", "out.json"])
    run(app, ["diary", "import", "out.json", "--diary", "elsewhere", "--keep-unknown"])
    capsys.readouterr()
    for _ in range(2):
        run(app, ["undo", "--diary", "elsewhere"])
    assert capsys.readouterr().out.splitlines() == [
        "Taken back: the pin of fives/a/1-2-3 on 2026-09-08.",
        "Taken back: 2 ratings of 2026-09-02 to 2026-09-07 (import out.json).",
    ]


def test_pins_that_stand_already_are_passed_over(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run(app, ["rate", *DAY, "B2=3"])
    change_pins(data, "anna", pinned=(PIN,))
    run(app, ["diary", "export", "--to", "out.json"])
    capsys.readouterr()
    run(app, ["diary", "import", "out.json"])
    assert capsys.readouterr().out == "0 ratings taken in, 2 were there already.\n"


def test_a_csv_export_says_that_pins_stay_behind(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    change_pins(data, "anna", pinned=(PIN,))
    run(app, ["diary", "export", "--to", "out.csv"])
    assert capsys.readouterr().err == (
        "pins do not go into a CSV file (planner diary export --format json has them)\n"
    )


@pytest.mark.parametrize(
    "wrong", ["7", '{"date": "2026-09-31", "combination": "a"}', '{"date": "2026-09-07"}']
)
def test_a_wrong_pin_in_a_file_stores_nothing(
    wrong: str, data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    Path("in.json").write_text(f'{{"format": "planner.diary/1", "ratings": [], "pins": [{wrong}]}}')
    assert run(app, ["diary", "import", "in.json"]) == 65
    assert capsys.readouterr().err.startswith("in.json: pin 1 is no pin (like ")


@pytest.mark.parametrize("monday", ["2026-02-30", "2026-09-08", "soon"])
def test_a_monday_that_is_none_stores_nothing(
    monday: str, data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    Path("in.json").write_text(f'{{"format": "planner.diary/1", "monday": "{monday}", "ratings": []}}')
    assert run(app, ["diary", "import", "in.json"]) == 65
    assert capsys.readouterr().err.startswith(f"in.json: the monday '{monday}' is no Monday (like ")


def test_a_restore_brings_the_pins_of_its_copy_back(data: Path) -> None:
    run(app, ["rate", *DAY, "B2=3"])
    change_pins(data, "anna", pinned=(PIN,))
    run(app, ["diary", "backup"])
    run(app, ["unpin", "fives/a/1-2-3", *DAY])
    (copy,) = (data / "backups").glob("*by-hand*.sqlite")
    run(app, ["diary", "restore", copy.stem])
    assert pins(data, "anna") == (PIN,)


def test_a_backup_comes_back_by_a_restore(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run(app, ["rate", *DAY, "B2=3"])
    run(app, ["diary", "backup"])
    run(app, ["rate", *DAY, "C1=9s"])
    capsys.readouterr()
    assert run(app, ["diary", "restore"]) == 0
    names = capsys.readouterr().out.splitlines()
    (by_hand,) = [name for name in names if "by-hand" in name]
    assert run(app, ["diary", "restore", by_hand]) == 0
    assert list(stored(data)) == ["up/a/d-major"]


def test_every_command_of_the_diary_has_help(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    below = [["diary", name] for name in ("export", "import", "backup", "restore")]
    for command in (["rate"], ["undo"], ["diary"], *below):
        assert run(app, [*command, "-h"]) == 0
        assert "Usage: planner" in capsys.readouterr().out

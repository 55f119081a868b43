"""The sheets of `planner figure` and `planner sheet`: which files they write, and what they refuse."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
import typer
from structure.tree import ROOT
from typer.testing import CliRunner

from planner.cli.facts import figure
from planner.cli.sheets import sheet
from planner.errors import BadData, CannotWrite, NoInput, UsageError

app = typer.Typer()
app.command()(figure)
app.command()(sheet)

FIVES = ("figure", "4e> 5e 6e> 5e 4e", "--meter", "5/8")
SPINDLE = ("sheet", "--exercise", "spindle", "--curriculum", "trumpet-cornet")


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def run(*words: str) -> str:
    """What a command that succeeds says on standard error."""
    result = CliRunner().invoke(app, list(words), catch_exceptions=False)
    assert result.exit_code == 0
    return result.stderr


def refusal(*words: str) -> Exception | BaseException | None:
    return CliRunner().invoke(app, list(words)).exception


def pages(file: str) -> int:
    """A page object for each page: PDF 1.7, 7.7.3.3."""
    return Path(file).read_bytes().count(b"/Type/Page/")


def test_the_first_minute_gives_a_page_for_each_instrument() -> None:
    band = ("--for", "trumpet,horn,trombone,euphonium-treble", "--starts", "1,3,5", "--pdf")
    assert run(*FIVES, *band) == "figure-5-8.pdf: the sheet as PDF\n"
    assert pages("figure-5-8.pdf") == 4


def test_degrees_in_all_keys_are_a_page_for_each_instrument() -> None:
    run(
        "figure",
        "--degrees",
        "1e 2 3 4 5 4 3 2 | 1w",
        "--keys",
        "all",
        "--concert",
        "--for",
        "trumpet,horn",
        "--pdf",
    )
    assert pages("figure-4-4.pdf") == 2


def test_a_sheet_goes_where_it_is_told_to() -> None:
    Path("band").mkdir()
    run(*FIVES, "--pdf", "--html", "--to", "band/fives.pdf")
    assert sorted(path.name for path in Path("band").iterdir()) == ["fives.html", "fives.pdf"]


def test_drawings_go_into_a_folder() -> None:
    assert run(*FIVES, "--starts", "5", "--svg") == "figure-5-8: 3 drawings\n"
    assert [path.name for path in sorted(Path("figure-5-8").iterdir())] == [
        "1-Trumpet-in-Bb-01-Ab-major.svg",
        "1-Trumpet-in-Bb-02-G-major.svg",
        "1-Trumpet-in-Bb-03-F-sharp-major.svg",
    ]


def test_without_a_file_the_figure_is_printed_as_before() -> None:
    result = CliRunner().invoke(app, list(FIVES))
    assert "positions" in result.stdout or "position 1" in result.stdout
    assert list(Path.cwd().iterdir()) == []


def test_a_sheet_can_be_read_by_others_as_the_system_is_set() -> None:
    mask = os.umask(0o022)
    try:
        run(*FIVES, "--pdf")
    finally:
        os.umask(mask)
    assert Path("figure-5-8.pdf").stat().st_mode & 0o777 == 0o644


def test_the_same_command_writes_the_same_bytes() -> None:
    run(*FIVES, "--pdf", "--to", "one")
    run(*FIVES, "--pdf", "--to", "two")
    assert Path("one.pdf").read_bytes() == Path("two.pdf").read_bytes()


def test_repeats_that_a_breath_does_not_carry_are_told() -> None:
    # seven eighths at eighth = 96 are 4.375 s; two passes are 8.75 s, more than the tuba's 7 s of this level
    run(
        "figure",
        "4e 5 6 5 4 5 4",
        "--meter",
        "7/8",
        "--for",
        "tuba-bb",
        "--passes",
        "2",
        "--html",
        "--to",
        "x",
    )
    said = "Repeat signs: 2 times in a breath; at this tempo a breath carries 1."
    assert said in Path("x.html").read_text(encoding="utf-8")


def test_the_title_and_the_paper_are_those_asked_for() -> None:
    run(*FIVES, "--html", "--title", "Rolling <b>fives", "--paper", "letter", "--to", "x")
    text = Path("x.html").read_text(encoding="utf-8")
    assert "<h1>Rolling &lt;b&gt;fives</h1>" in text
    assert "size: letter" in text


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((*FIVES, "--pdf", "--paper", "foolscap"), "--paper 'foolscap' is not known"),
        ((*FIVES, "--pdf", "--articulation", "loud"), '--articulation "loud" is not known'),
        (("sheet", "--chart", "trumpet", "--week"), "--week and --chart are different sheets"),
        (("sheet", "--for", "trumpet"), "belong to an exercise"),
        ((*SPINDLE[:2], "spindel", *SPINDLE[3:], "--for", "trumpet"), "has no exercise 'spindel'"),
        (("sheet", "--chart", "trumpett"), 'no instrument is called "trumpett"'),
    ],
)
def test_a_wrong_word_is_refused(words: tuple[str, ...], said: str) -> None:
    found = refusal(*words)
    assert isinstance(found, UsageError)
    assert said in found.message


def test_a_mistyped_exercise_gets_its_hint() -> None:
    found = refusal("sheet", "--exercise", "spindel", "--curriculum", "trumpet-cornet", "--for", "trumpet")
    assert isinstance(found, UsageError)
    assert found.hint == "did you mean spindle?"


def test_an_exercise_is_a_page_for_each_instrument() -> None:
    run(*SPINDLE, "--for", "trumpet,cornet,flugelhorn")
    assert pages("spindle.pdf") == 3


def test_an_exercise_is_a_page_for_each_pupil() -> None:
    run(*SPINDLE, "--pupils", "tobias,hester", "--html")
    text = Path("spindle.html").read_text(encoding="utf-8")
    assert "Tobias, Trumpet in B♭" in text
    assert "Hester, Flugelhorn in B♭" in text


def test_a_pupil_who_cannot_play_a_place_is_told_why() -> None:
    # Jonah's arm ends at the fifth position; B flat, C, D, E flat, F want the sixth for C
    run(
        "sheet",
        "--exercise",
        "five-steps",
        "--curriculum",
        "first-year-five-notes",
        "--pupils",
        "jonah",
        "--html",
    )
    assert "Left out: 2 places, position 6 beyond the longest slide position (5)." in Path(
        "five-steps.html"
    ).read_text(encoding="utf-8")


def test_the_chart_of_a_trumpet_holds_its_31_notes() -> None:
    # F sharp 3 to C6: the published chart of thewholehorn.com
    run("sheet", "--chart", "trumpet", "--html")
    assert Path("fingerings-trumpet.html").read_text(encoding="utf-8").count("<figure>") == 31


def test_the_chart_says_how_a_note_is_fingered() -> None:
    # E4 on a trumpet: 1-2 or 3: the published chart of thewholehorn.com
    run("sheet", "--chart", "trumpet", "--html")
    assert 'alt="E4: 12, also 3"' in Path("fingerings-trumpet.html").read_text(encoding="utf-8")


def test_a_term_that_is_none_is_refused(tmp_path: Path) -> None:
    (tmp_path / "term.json").write_text("[1]", encoding="utf-8")
    assert isinstance(refusal("sheet", "--term", "term.json"), BadData)


def test_a_term_that_is_no_json_is_refused(tmp_path: Path) -> None:
    (tmp_path / "term.json").write_text("{", encoding="utf-8")
    assert isinstance(refusal("sheet", "--term", "term.json"), BadData)


def test_a_term_that_is_not_there_is_refused() -> None:
    assert isinstance(refusal("sheet", "--term", "no.json"), NoInput)


def test_a_term_is_a_page_with_two_tables(tmp_path: Path) -> None:
    (tmp_path / "term.json").write_text(json.dumps(TERM), encoding="utf-8")
    run("sheet", "--term", "term.json", "--html", "--pdf")
    text = Path("term-sheet.html").read_text(encoding="utf-8")
    assert text.count("<table>") == 2
    assert "Rolling fives (2)" in text
    assert pages("term-sheet.pdf") == 1


def test_a_file_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    (tmp_path / "band").write_text("a file, no folder", encoding="utf-8")
    assert isinstance(refusal(*FIVES, "--pdf", "--to", "band/fives"), CannotWrite)


TERM = {
    "format": "planner.term/1", "player": "ada", "name": "Ada",
    "curriculum": "spring", "curriculum_title": "", "first_day": "2026-09-07", "last_day": "2026-09-13",
    "weeks": [{
        "week": 1, "first_day": "2026-09-07", "last_day": "2026-09-13", "returning": [], "seconds_used": 7200,
        "notes": ["autumn holiday"], "new": ["rolling-fives/a/1-2-3", "rolling-fives/a/3-4-5"],
    }],
    "exercises": [{
        "exercise": "rolling-fives", "title": "Rolling fives", "measure": "tempo", "beat": "eighth",
        "goal": 160,
        "steps": [{"week": 1, "planned": 88, "expected": None}],
    }],
}  # fmt: skip


def started(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "planner", *words],
        cwd=folder,
        env=os.environ | {"PYTHONPATH": str(ROOT), "PLANNER_DATA": str(folder / "data")},
        capture_output=True,
        encoding="utf-8",
        check=False,
    )


@pytest.fixture(scope="module")
def stand(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the sheets of a day, its week and a day without practice."""
    folder = tmp_path_factory.mktemp("stand")
    for words in (
        ("--date", "2026-09-08", "--html", "--pdf", "--to", "day"),
        ("--date", "2026-09-08", "--week", "--html", "--pdf", "--to", "week"),
        ("--date", "2026-09-09", "--html", "--pdf", "--to", "free"),
    ):
        done = started(folder, "sheet", "--player", "jonah", *words)
        assert done.returncode == 0, done.stderr
    return folder


def test_the_day_stands_on_paper_as_on_the_screen(stand: Path) -> None:
    routine = started(stand, "today", "--player", "jonah", "--date", "2026-09-08", "--json")
    items = json.loads(routine.stdout)["days"][0]["items"]
    text = (stand / "day.html").read_text(encoding="utf-8")
    titles = {item["title"] for item in items if item["kind"] == "play"}
    assert titles
    assert [title for title in titles if title not in text] == []


def test_every_item_of_the_day_has_its_figure(stand: Path) -> None:
    routine = started(stand, "today", "--player", "jonah", "--date", "2026-09-08", "--json")
    items = json.loads(routine.stdout)["days"][0]["items"]
    wanted = sum(
        len(item["positions"]) if item["place"][0].isdigit() else 1 for item in items if item["notation"]
    )
    assert wanted
    assert (stand / "day.html").read_text(encoding="utf-8").count("<figure>") == wanted


def test_a_day_without_practice_says_so(stand: Path) -> None:
    assert "No practice on this day." in (stand / "free.html").read_text(encoding="utf-8")


def test_a_week_is_one_page_with_its_days(stand: Path) -> None:
    text = (stand / "week.html").read_text(encoding="utf-8")
    assert [day for day in ("Tuesday 8 September", "Sunday 13 September") if day not in text] == []
    assert (stand / "week.pdf").read_bytes().count(b"/Type/Page/") == 1


def test_the_sheet_of_a_day_carries_the_caution(stand: Path) -> None:
    assert "Stop on pain" in (stand / "day.html").read_text(encoding="utf-8")

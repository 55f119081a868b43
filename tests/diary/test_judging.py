"""planner diary import: nonsense is refused with its place, nothing of the file is taken in."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

import pytest
from cli.plan_player import AtHome, Said, at_home

HEAD = "day,combination,articulation,tempo,clean,grade,value"
FIVES, HELD = "limping-horse/a/1-2-3", "long-acre/furrow/3-4-5"


@pytest.fixture(scope="module")
def hester(tmp_path_factory: pytest.TempPathFactory) -> AtHome:
    """Hester, whose curriculum has exercises with tempos and tones that are held."""
    return at_home("hester", tmp_path_factory.mktemp("hester"))


def taken(who: AtHome, text: str, *words: str, name: str = "in.csv") -> Said:
    """What an import of a text says, in an empty diary; the file's name is cut from its path."""
    file = who.folder / name
    file.write_text(text, encoding="utf-8")
    said = who.planner("diary", "import", str(file), *words)
    return Said(said.code, said.out, said.err.replace(f"{file}", name))


@pytest.mark.parametrize(
    ("row", "place", "words"),
    [
        ("2026-09-07,no/such/thing,slurred,96,,4,", "2:12", "has no combination 'no/such/thing'"),
        ("2099-11-24,limping-horse/a/1-2-3,slurred,96,,4,", "2:1", "the day 2099-11-24 is still to come"),
        ("2026-09-07,long-acre/furrow/3-4-5,slurred,,84,,", "2:44", f"{HELD} has no clean (seconds held"),
        ("2026-09-07,limping-horse/a/1-2-3,slurred,,,,12", "2:45", f"{FIVES} has no value (tempo, clean"),
        ("2026-09-07,long-acre/furrow/3-4-5,slurred,,,,500", "2:46", "the value 500 is more than"),
        ("2026-09-07,limping-horse/a/1-2-3,slurred,,,,", "2:12", f"nothing is filled in for {FIVES}"),
        ("2026-09-07,limping-horse/a/1-2-3,triple,96,,4,", "2:34", f"{FIVES} is not played triple"),
    ],
    ids=["nobody's", "to come", "seconds", "tempo", "too long", "empty", "articulation"],
)
def test_nonsense_is_refused_with_line_and_column(hester: AtHome, row: str, place: str, words: str) -> None:
    said = taken(hester, f"{HEAD}\n{row}\n")
    assert (said.code, said.out) == (65, "")
    assert said.err.startswith(f"in.csv:{place}: ")
    assert words in said.err


def test_every_row_with_a_fault_is_named_at_once(hester: AtHome) -> None:
    said = taken(hester, f"{HEAD}\n2026-09-07,a/b/c,slurred,,,4,\n2026-09-08,d/e/f,slurred,,,4,\n")
    assert [line.split(" ")[0] for line in said.err.splitlines()] == ["in.csv:2:12:", "in.csv:3:12:"]


def test_a_slip_of_the_pen_gets_the_nearest_combination(hester: AtHome) -> None:
    said = taken(hester, f"{HEAD}\n2026-09-07,limping-horse/a/1-2-4,slurred,96,,4,\n")
    assert "did you mean limping-horse/a/1-2-3?" in said.err


def test_ratings_of_another_curriculum_are_kept_where_that_is_wanted(hester: AtHome) -> None:
    said = taken(hester, f"{HEAD}\n2026-09-07,no/such/thing,slurred,96,,4,\n", "--keep-unknown")
    assert (said.code, said.out.splitlines()[0]) == (0, "1 rating taken in, 0 were there already.")


def test_a_day_to_come_is_not_kept_even_then(hester: AtHome) -> None:
    ahead = datetime.now().astimezone().date() + timedelta(days=2)
    said = taken(hester, f"{HEAD}\n{ahead},no/such/thing,slurred,96,,4,\n", "--keep-unknown")
    assert (said.code, "is still to come" in said.err) == (65, True)


def test_what_is_there_already_is_not_judged_again(hester: AtHome) -> None:
    text = f"{HEAD}\n2026-09-05,no/such/thing,slurred,96,,4,\n"
    taken(hester, text, "--keep-unknown")
    assert taken(hester, text).out == "0 ratings taken in, 1 was there already.\n"


def test_an_unknown_combination_is_named_once(hester: AtHome) -> None:
    said = taken(hester, f"{HEAD}\n2026-09-07,a/b/c,slurred,,,4,\n2026-09-08,a/b/c,slurred,,,4,\n")
    assert said.err.count("a/b/c") == 1


def test_what_was_played_and_not_rated_comes_back(hester: AtHome) -> None:
    said = taken(hester, f"{HEAD},limited,at\n2026-09-06,{FIVES},slurred,,,,,no,0\n")
    assert (said.code, "1 rating taken in" in said.out) == (0, True)


def test_a_rating_in_json_has_its_line_and_column(hester: AtHome) -> None:
    rating = '{"day": "2026-09-07", "combination": "no/such/thing", "articulation": "slurred", "grade": 4}'
    good = rating.replace("no/such/thing", FIVES).replace("}", ', "tempo": 96}')
    text = f'{{"format": "planner.diary/1", "player": "hester",\n "ratings": [{good},\n  {rating}]}}'
    said = taken(hester, text, name="in.json")
    assert (said.code, said.err.startswith("in.json:3:3: rating 2: ")) == (65, True)


@pytest.mark.parametrize("kind", ["csv", "json"])
@pytest.mark.parametrize("name", ["hester", "pia", "wilf"])
def test_what_was_given_out_comes_back(name: str, kind: str, tmp_path: Path) -> None:
    who = at_home(name, tmp_path)
    out = tmp_path / f"out.{kind}"
    who.planner("diary", "export", "--to", str(out))
    count = len(who.ratings.read_text(encoding="utf-8").splitlines()) - 1
    assert who.planner("diary", "import", str(out)).out.startswith(f"{count} ratings taken in")

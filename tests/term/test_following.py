"""A week that follows its term, on a small sample player run as people run the program."""

from __future__ import annotations

import json
from datetime import date, timedelta
from pathlib import Path

import pytest
from cli.plan_player import MONDAY, NEXT_MONDAY, AtHome, at_home, edit, run_here
from term.small_terms import small_term

from planner.diary.plans import load_term
from planner.horizon.follow import promise_of, still_open

STARTED = ("--date", MONDAY, "--starts", MONDAY, "--fresh")


@pytest.fixture
def jonah(tmp_path: Path) -> AtHome:
    """Jonah in the fourth of eight weeks, with nothing met yet."""
    found = at_home("jonah", tmp_path)
    edit(found.player, 'starts = "7 weeks ago"', 'starts = "3 weeks ago"')
    edit(found.player, 'ratings = "jonah-ratings.csv"\n', "")
    return found


def test_a_term_is_printed_and_stored(jonah: AtHome) -> None:
    said = jonah.planner("term", *STARTED)
    assert said.code == 0
    assert "Proven on every day laid out" in said.out
    assert load_term(jonah.data, "jonah") is not None


def test_a_term_that_cannot_be_stored_is_printed_and_ends_with_the_code_of_that(jonah: AtHome) -> None:
    jonah.data.write_text("no folder")
    said = jonah.planner("term", *STARTED)
    assert (said.code, "Proven on every day laid out" in said.out) == (73, True)
    assert "the plan is shown and not stored" in said.err


def test_a_stored_term_is_shown_again_byte_for_byte(jonah: AtHome) -> None:
    first = jonah.planner("term", *STARTED, "--json").out
    assert jonah.planner("term", "--date", MONDAY, "--json").out == first


def test_a_term_is_taken_back(jonah: AtHome) -> None:
    jonah.planner("term", *STARTED)
    assert jonah.planner("term", "--back").out == "The term is taken back.\n"
    assert load_term(jonah.data, "jonah") is None


def test_undo_takes_back_a_term_that_was_stored_last(jonah: AtHome) -> None:
    jonah.planner("term", *STARTED)
    assert jonah.planner("undo").out == "Taken back: the term stored last.\n"
    assert load_term(jonah.data, "jonah") is None


def test_undo_takes_back_a_term_before_the_refit_that_stood_when_it_was_made(jonah: AtHome) -> None:
    jonah.planner("refit", "--default")
    jonah.planner("term", *STARTED)
    assert jonah.planner("undo").out == "Taken back: the term stored last.\n"
    assert jonah.planner("undo").out.startswith("Taken back: the usual sizes of ")


def test_undo_takes_back_a_refit_before_the_term_that_was_made_before_it(jonah: AtHome) -> None:
    jonah.planner("term", *STARTED)
    jonah.planner("refit", "--default")
    assert jonah.planner("undo").out.startswith("Taken back: the usual sizes of ")
    assert jonah.planner("undo").out == "Taken back: the term stored last.\n"


def test_undo_takes_back_what_was_rated_after_a_term_before_the_term(jonah: AtHome) -> None:
    jonah.planner("term", *STARTED)
    jonah.planner("week", "--date", MONDAY)
    jonah.planner("rate", "--date", MONDAY, "--rest-clean")
    assert "the term" not in jonah.planner("undo").out
    assert load_term(jonah.data, "jonah") is not None
    assert jonah.planner("undo").out == "Taken back: the term stored last.\n"


def test_taking_back_without_a_term_is_refused_in_one_line(jonah: AtHome) -> None:
    said = jonah.planner("term", "--back")
    assert (said.code, said.err) == (66, "no term is stored for jonah (planner term makes one)\n")


def test_a_week_follows_the_term_and_names_its_promises(jonah: AtHome) -> None:
    jonah.planner("term", "--date", MONDAY)
    promised = json.loads(jonah.planner("term", "--date", MONDAY, "--json").out)["weeks"][0]["promised"]
    rule = jonah.week(MONDAY)["rules"]["term"]
    assert promised
    assert rule["parameters"]["turns"] == promised
    assert rule["broken"] == 0


def test_another_term_makes_the_week_anew(jonah: AtHome) -> None:
    jonah.week(MONDAY)
    jonah.planner("term", "--date", MONDAY)
    jonah.week(MONDAY)
    assert len([name for name in jonah.stored() if name.startswith("2026")]) == 2


def test_a_term_that_begins_on_another_monday_is_not_followed(jonah: AtHome) -> None:
    jonah.planner("term", *STARTED)
    assert "term" not in jonah.week(MONDAY)["rules"]


def test_today_says_what_the_term_promised(jonah: AtHome) -> None:
    jonah.planner("term", "--date", MONDAY)
    assert "promised this week" in jonah.planner("today", "--date", MONDAY).out


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("--week", "9"), "this term has no week 9 (its weeks are 1 to 8)"),
        (("--starts", "2026-09-08"), "2026-09-08 is no Monday (the Monday of that week is 2026-09-07)"),
        (
            ("--json", "--csv"),
            "--json, --csv and --ics are three ways of printing one term (ask for one of them)",
        ),
    ],
    ids=lambda one: " ".join(one) if isinstance(one, tuple) else "",
)
def test_what_cannot_be_asked_is_told_in_one_line(
    jonah: AtHome, words: tuple[str, ...], message: str
) -> None:
    given = STARTED if words[0] == "--week" else ("--date", MONDAY)
    said = jonah.planner("term", *given, *words)
    assert (said.code, said.err.splitlines()[-1]) == (2, message)


def test_a_term_after_its_last_week_is_refused(jonah: AtHome) -> None:
    edit(jonah.player, 'starts = "3 weeks ago"', "starts = 2026-07-20")
    said = jonah.planner("term", "--date", NEXT_MONDAY)
    assert said.code == 2
    assert "the 8 weeks of First year, five notes end before 2026-09-14" in said.err


def test_a_promise_counts_until_it_is_played() -> None:
    term = small_term()
    promise = promise_of(
        term, term["inputs"], term["made_with"]["planner"], date(2026, 11, 30), date(2026, 12, 2)
    )
    assert promise is not None
    played = [(date(2026, 11, 30), promise.turns[0])]
    assert still_open(promise, played, date(2026, 12, 1)) == promise.turns[1:]


def test_a_term_of_other_files_promises_nothing() -> None:
    term = small_term()
    other = [{"name": "player", "sha256": "1" * 64}]
    assert (
        promise_of(term, other, term["made_with"]["planner"], date(2026, 11, 30), date(2026, 12, 2)) is None
    )


def test_the_schema_of_a_term_is_printed() -> None:
    assert run_here("schema", "--of", "term").plan["title"] == "planner.term/1"


def test_a_curriculum_begun_anew_has_a_term_for_who_has_met_things_before(tmp_path: Path) -> None:
    jonah = at_home("jonah", tmp_path)  # with his earlier ratings, of exercises from all weeks
    said = jonah.planner("term", "--date", MONDAY, "--starts", MONDAY, "--json")
    assert said.code == 0, said.err
    term = json.loads(said.out)
    starts = date.fromisoformat(MONDAY)
    early = [
        one["combination"]
        for one in term["combinations"]
        if any(date.fromisoformat(turn) < starts + timedelta(weeks=one["week"] - 1) for turn in one["turns"])
    ]
    assert early == []  # what was met before waits for its week like all else
    before = [one for one in term["combinations"] if one["met_before"]]
    assert before
    assert all(one["turns"] for one in before)

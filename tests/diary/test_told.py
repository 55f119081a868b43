"""What is told of missed stretches: kept in a file beside the diary, whole or not at all, and taken back."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from need.shelf import player

from planner.diary import told as module
from planner.diary.files import write_whole
from planner.diary.plans import load_plan, save_plan
from planner.diary.told import (
    Stretch,
    Telling,
    described,
    digest_of_told,
    take_back,
    tell,
    tellings,
    told_file,
    with_told,
)
from planner.errors import BadData, CannotWrite

MONDAY, SUNDAY = date(2026, 10, 5), date(2026, 10, 11)
WEEK = Stretch("missed", MONDAY, SUNDAY)
HEAD = '{"format": "planner.missed/1", "told": [{"on": "2026-10-12", "after": 0, "stretches": '
TELLING = Telling(SUNDAY, 3, (WEEK,))

DAYS = some.dates(date(2026, 1, 1), date(2026, 12, 31))
STRETCHES = some.builds(
    lambda kind, ends, title, minutes, top, without, ease: Stretch(
        kind, min(ends), max(ends), title, minutes, top, without, *(ease if kind == "missed" else (None,))
    ),
    some.sampled_from(["missed", "short", "limit"]),
    some.tuples(DAYS, DAYS),
    some.text(some.characters(exclude_categories=["Cs"]), max_size=12),
    some.none() | some.integers(0, 600),
    some.none() | some.integers(30, 100),
    some.lists(some.sampled_from(["range", "scales"]), unique=True).map(tuple),
    some.just((None,))
    | some.tuples(
        some.lists(some.integers(10, 100), max_size=5).map(tuple),
        some.integers(0, 9),
        some.integers(0, 3),
        some.integers(0, 9),
    ),
)
TELLINGS = some.builds(Telling, DAYS, some.integers(0, 999), some.lists(STRETCHES, max_size=3).map(tuple))


@settings(max_examples=60, deadline=None)
@given(some.lists(TELLINGS, max_size=3))
def test_what_was_told_comes_back_as_it_was(several: list[Telling]) -> None:
    body = json.loads(module._text("anna", several))
    assert module._tellings(body) == tuple(several)


def test_tellings_stand_in_the_order_in_which_they_were_told(tmp_path: Path) -> None:
    later = Telling(date(2026, 10, 20), 5, (Stretch("short", SUNDAY, SUNDAY, "tired", 15),))
    tell(tmp_path, "anna", TELLING)
    tell(tmp_path, "anna", later)
    assert tellings(tmp_path, "anna") == (TELLING, later)


def test_the_file_is_named_after_the_player(tmp_path: Path) -> None:
    tell(tmp_path, "anna", TELLING)
    assert (tmp_path / "missed" / "anna.json").is_file()


def test_each_player_has_a_file_of_its_own(tmp_path: Path) -> None:
    tell(tmp_path, "anna", TELLING)
    assert tellings(tmp_path, "ben") == ()


def test_the_digest_is_that_of_the_file(tmp_path: Path) -> None:
    import hashlib

    tell(tmp_path, "anna", TELLING)
    content = told_file(tmp_path, "anna").read_bytes()
    assert digest_of_told("anna", (TELLING,)) == hashlib.sha256(content).hexdigest()


def test_taking_back_the_only_telling_leaves_no_file(tmp_path: Path) -> None:
    tell(tmp_path, "anna", TELLING)
    take_back(tmp_path, "anna")
    assert not told_file(tmp_path, "anna").exists()


def test_what_is_taken_back_is_kept_aside(tmp_path: Path) -> None:
    tell(tmp_path, "anna", TELLING)
    take_back(tmp_path, "anna")
    aside = json.loads((tmp_path / "missed" / "anna.taken-back.json").read_text(encoding="utf-8"))
    assert [one["stretches"][0]["from"] for one in aside["told"]] == ["2026-10-05"]


def test_taking_back_takes_the_plans_made_from_it_along(tmp_path: Path) -> None:
    before = {"first_day": "2026-10-12", "last_day": "2026-10-18", "inputs": []}
    made = before | {"inputs": [{"name": "missed", "sha256": digest_of_told("anna", (TELLING,))}]}
    save_plan(tmp_path, "anna", before)
    tell(tmp_path, "anna", TELLING)
    save_plan(tmp_path, "anna", made)
    take_back(tmp_path, "anna")
    assert load_plan(tmp_path, "anna", date(2026, 10, 12)) == before


def test_a_telling_that_cannot_be_kept_aside_takes_no_plan_away(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    tell(tmp_path, "anna", TELLING)
    digest = digest_of_told("anna", tellings(tmp_path, "anna"))
    plan = {"first_day": "2026-10-12", "last_day": "2026-10-18"}
    save_plan(tmp_path, "anna", plan | {"inputs": [{"name": "missed", "sha256": digest}]})

    def full(path: Path, content: str) -> None:
        raise CannotWrite(f"{path} cannot be written: no space left on device")

    monkeypatch.setattr(module, "write_whole", full)
    with pytest.raises(CannotWrite, match="no space left"):
        take_back(tmp_path, "anna")
    assert load_plan(tmp_path, "anna", date(2026, 10, 12)) is not None
    assert tellings(tmp_path, "anna") == (TELLING,)


def test_a_telling_that_cannot_be_written_leaves_the_old_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    tell(tmp_path, "anna", TELLING)

    def full(path: Path, text: str) -> None:
        write_whole(path.with_name("other"), text)
        raise CannotWrite(f"{path} cannot be written: no space left on device")

    monkeypatch.setattr(module, "write_whole", full)
    with pytest.raises(CannotWrite, match="no space left"):
        tell(tmp_path, "anna", TELLING)
    assert tellings(tmp_path, "anna") == (TELLING,)


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("{", "no JSON"),
        ('{"format": "planner.missed/9", "told": []}', "its format is 'planner.missed/9'"),
        ('{"format": "planner.missed/1"}', "'told' is missing"),
        (
            HEAD + '[{"kind": "sick", "from": "2026-10-05", "to": "2026-10-11"}]}]}',
            "there is no kind 'sick'",
        ),
        (
            HEAD + '[{"kind": "missed", "from": "2026-10-11", "to": "2026-10-05"}]}]}',
            "ends on 2026-10-05, before it begins on 2026-10-11",
        ),
        (
            HEAD + '[{"kind": "short", "from": "2026-10-05", "to": "2026-10-05", "minutes": "ten"}]}]}',
            "minutes 'ten' is no whole number",
        ),
    ],
)
def test_a_file_that_a_hand_has_spoiled_is_named_with_its_fault(tmp_path: Path, text: str, what: str) -> None:
    write_whole(told_file(tmp_path, "anna"), text)
    with pytest.raises(BadData, match=what):
        tellings(tmp_path, "anna")


def test_a_missed_stretch_makes_its_days_free() -> None:
    found = with_told(player(), [TELLING], ())
    assert [(one.kind, one.first, one.last) for one in found.dates] == [("free", MONDAY, SUNDAY)]


def test_a_day_with_ratings_was_not_missed() -> None:
    thursday = date(2026, 10, 8)
    found = with_told(player(), [TELLING], [thursday])
    assert [(one.first, one.last) for one in found.dates] == [
        (MONDAY, date(2026, 10, 7)),
        (date(2026, 10, 9), SUNDAY),
    ]


def test_the_days_played_are_told_with_the_stretch() -> None:
    thursday = date(2026, 10, 8)
    assert with_told(player(), [TELLING], [thursday, date(2026, 10, 20)]).missed[0].played == (thursday,)


def test_a_short_stretch_is_a_date_with_minutes() -> None:
    short = Telling(MONDAY, 0, (Stretch("short", MONDAY, SUNDAY, "short of time", 15),))
    assert [(one.kind, one.minutes) for one in with_told(player(), [short], ()).dates] == [("short", 15)]


def test_a_limit_stands_after_those_of_the_file() -> None:
    braces = Telling(MONDAY, 0, (Stretch("limit", MONDAY, SUNDAY, "braces", None, 76, ("range",)),))
    found = with_told(player(), [braces], ()).limits
    assert [(one.title, one.top_note, one.without) for one in found] == [("braces", 76, ("range",))]


def test_nothing_told_leaves_the_player_as_the_file_has_it() -> None:
    assert with_told(player(), [], [MONDAY]) == player()


@pytest.mark.parametrize(
    ("stretch", "words"),
    [
        (WEEK, "missed 2026-10-05 to 2026-10-11"),
        (Stretch("missed", MONDAY, MONDAY), "missed 2026-10-05"),
        (Stretch("limit", MONDAY, SUNDAY, "cap", 20), "cap 2026-10-05 to 2026-10-11, 20 minutes a day"),
    ],
)
def test_a_telling_is_described_in_words(stretch: Stretch, words: str) -> None:
    assert described(Telling(MONDAY, 0, (stretch,))) == words

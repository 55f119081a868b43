"""The shortfall taken apart: pieces that add up, and sentences that are gone with the ratings behind them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta

import pytest
from need.shelf import MONDAY, flexibility, limit, player, rated, scales, shelf
from need.test_clean_tempo import diary

from planner.brass.keys import Key
from planner.diary.rating import Rating
from planner.inputs.curriculum import Pattern
from planner.need.clean_tempo import estimate
from planner.need.combinations import Combination
from planner.need.shortfall import Piece, Shortfall, shortfall

SHELF = shelf()
F_SHARP, C_MAJOR = "scales/up/f-sharp-major", "scales/up/c-major"


def of(
    name: str, ratings: Sequence[Rating], days: int = 0, combinations: Sequence[Combination] = SHELF
) -> Shortfall:
    """The shortfall of a combination on MONDAY or so many days later."""
    one = next(each for each in combinations if each.id == name)
    estimates = estimate(combinations, ratings, MONDAY + timedelta(days=days), player())
    return shortfall(combinations, estimates, player(), one, one.articulations[0])


def pieces(found: Shortfall) -> dict[str, Piece]:
    return {piece.name: piece for piece in found.pieces}


def sentence(found: Shortfall, name: str) -> str:
    """The sentence of a piece, "" where there is none."""
    return pieces(found)[name].sentence if name in pieces(found) else ""


def weak_key() -> list[Rating]:
    """F sharp far behind the three other keys: three times 72, the others 120, the goal."""
    marks = {c.id: 72 if c.id == F_SHARP else 120 for c in SHELF if c.exercise.id == "scales"}
    return [rated(name, ago, clean=mark) for name, mark in marks.items() for ago in (1, 3, 5)]


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("days", [0, 40])
def test_the_pieces_add_up_to_the_shortfall(seed: int, days: int) -> None:
    for combination in SHELF:
        found = of(combination.id, diary(seed), days)
        assert sum(piece.notches for piece in found.pieces) == pytest.approx(found.notches, abs=1e-5)


def test_ratings_inside_a_limit_add_up_too() -> None:
    assert limit().title == "braces"
    inside = [replace(one, limited=True) for one in weak_key()]
    found = of(F_SHARP, [*inside, rated(C_MAJOR, grade=3, tempo=100)])
    assert sum(piece.notches for piece in found.pieces) == pytest.approx(found.notches, abs=1e-5)


def test_without_ratings_there_is_the_music_and_not_knowing() -> None:
    assert [piece.name for piece in of(F_SHARP, []).pieces] == ["music", "spread"]


def test_a_weak_key_is_told_with_its_ratings() -> None:
    words = sentence(of(F_SHARP, weak_key()), "key")
    assert words.startswith("written F♯ major is about ")
    assert words.endswith(" behind your other keys, on 3 ratings")


def test_a_key_that_is_well_ahead_is_told_as_ahead() -> None:
    ratings = [rated(C_MAJOR, ago, clean=126) for ago in (1, 3, 5)] + [
        rated(F_SHARP, ago, clean=60) for ago in (1, 3, 5)
    ]
    assert "written C major is about " in sentence(of(C_MAJOR, ratings), "key")
    assert " ahead of your other keys" in sentence(of(C_MAJOR, ratings), "key")


# --- every sentence is gone with the ratings behind it


def two_patterns() -> tuple[Combination, ...]:
    first = flexibility().patterns[0]
    return shelf(replace(flexibility(), patterns=(first, Pattern("b", first.figure, first.source))), scales())


BOTH = two_patterns()
LAST = "fives/b/5-6-7"


def everything_weak() -> list[Rating]:
    """Of two patterns on three cycles b, 5-6-7 and slurred lie behind; scales go well; all some weeks ago."""
    found = [rated(c.id, 40, grade=5, tempo=120) for c in BOTH if c.exercise.id == "scales"]
    for c in BOTH:
        if c.exercise.id == "fives":
            slow = 20 * (c.pattern.name == "b") + 24 * (c.place.id == "5-6-7")
            found += [
                rated(c.id, 40, articulation="slurred", grade=2, tempo=130 - slow),
                rated(c.id, 40, articulation="tongued", grade=4, tempo=130 - slow),
            ]
    return found


BEHIND = {
    "exercise": lambda c, a: c.exercise.id == "fives",
    "pattern": lambda c, a: (c.exercise.id, c.pattern.name) == ("fives", "b"),
    "positions": lambda c, a: c.place.id == "5-6-7",
    "articulation": lambda c, a: a == "slurred",
    "combination": lambda c, a: c.id == LAST,
}


@pytest.mark.parametrize("name", BEHIND)
def test_a_sentence_is_there_with_its_ratings(name: str) -> None:
    assert sentence(of(LAST, everything_weak(), 60, BOTH), name)


@pytest.mark.parametrize("name", BEHIND)
def test_a_sentence_is_gone_with_the_ratings_behind_it(name: str) -> None:
    known = {c.id: c for c in BOTH}
    left = [r for r in everything_weak() if not BEHIND[name](known[r.combination], r.articulation)]
    assert sentence(of(LAST, left, 60, BOTH), name) == ""


def all_well() -> list[Rating]:
    """Everything comfortable at its goal, three times some weeks ago."""
    goals = {"fives": 160, "scales": 120}
    return [
        rated(c.id, ago, articulation=c.articulations[0], grade=5, tempo=goals[c.exercise.id])
        for c in SHELF
        for ago in (40, 42, 44)
    ]


def test_a_level_above_the_music_is_told_and_gone_with_all_ratings() -> None:
    words = sentence(of(C_MAJOR, all_well()), "level")
    assert words.startswith("your level is about ")
    assert words.endswith(" above what the music alone suggests, on 21 ratings")
    assert sentence(of(C_MAJOR, []), "level") == ""


def test_silence_is_told_and_gone_with_the_combinations_own_ratings() -> None:
    assert sentence(of(C_MAJOR, all_well(), 200), "silence").endswith(
        "forgotten since it was last heard, on 3 ratings of its own"
    )
    others = [one for one in all_well() if one.combination != C_MAJOR]
    assert "it was last heard" not in sentence(of(C_MAJOR, others, 200), "silence")


def test_what_was_never_heard_loses_the_players_level_alone() -> None:
    others = [one for one in all_well() if one.combination != C_MAJOR]
    words = sentence(of(C_MAJOR, others, 400), "silence")
    assert words.endswith("forgotten since anything was last heard, on 18 ratings")


def test_what_practice_should_have_gained_is_gone_with_its_ratings() -> None:
    played = [rated(C_MAJOR, ago) for ago in range(1, 40)]
    assert pieces(of(C_MAJOR, [*all_well(), *played]))["practised"].notches < 0
    assert pieces(of(C_MAJOR, []))["music"].notches > 0
    assert "practised" not in pieces(of(C_MAJOR, []))


def test_the_key_sentence_is_gone_with_its_ratings() -> None:
    left = [one for one in weak_key() if one.combination != F_SHARP]
    assert sentence(of(F_SHARP, left), "key") == ""


def test_what_neighbours_say_is_gone_with_all_ratings() -> None:
    # Nothing of F sharp was heard, so what is known of it comes from its neighbours.
    left = [one for one in weak_key() if one.combination != F_SHARP]
    assert "neighbours" in pieces(of(F_SHARP, left))
    assert "neighbours" not in pieces(of(F_SHARP, []))


def test_silence_takes_more_the_longer_it_lasts() -> None:
    ratings = [rated(C_MAJOR, ago, grade=5, tempo=120) for ago in (1, 3, 5)]
    lost = [pieces(of(C_MAJOR, ratings, days))["silence"].notches for days in (0, 30, 120, 400)]
    assert lost == sorted(lost)
    assert lost[-1] > lost[0] + 1


def test_what_is_forgotten_is_what_it_was_less_what_it_is() -> None:
    # On the day of the last rating nothing is forgotten; from then on only the mean moves, by just so much.
    ratings = [rated(C_MAJOR, 0, grade=5, tempo=120)]
    then, now = (of(C_MAJOR, ratings, days) for days in (0, 200))
    assert pieces(then)["silence"].notches == pytest.approx(0, abs=1e-9)
    lasting = sum(
        pieces(now)[name].notches - pieces(then)[name].notches
        for name in ("exercise", "key", "positions", "pattern", "articulation", "level", "practised")
    )
    assert pieces(now)["silence"].notches == pytest.approx(then.mean - now.mean - lasting, abs=1e-4)


def test_measures_are_told_apart() -> None:
    # Long tones that go well say nothing about tempos: 0 ratings behind the level of the scales.
    tones = flexibility("tones", measure="seconds", hold=None)
    combinations = shelf(scales(), replace(tones, measure="bend"))
    ratings = [rated("tones/a/1-2-3", ago, articulation="slurred", value=1.0) for ago in (1, 2, 3)]
    assert [piece.name for piece in of(C_MAJOR, ratings, 0, combinations).pieces] == ["music", "spread"]


def test_a_lone_pattern_is_not_told_beside_its_exercise() -> None:
    assert sentence(of(F_SHARP, weak_key()), "pattern") == ""


def test_a_chromatic_exercise_has_no_key_to_lag() -> None:
    [one] = combinations = shelf(scales("one", keys=(Key(0, "chromatic"),)))
    found = of(one.id, [rated(one.id, grade=1, tempo=100)], 0, combinations)
    assert pieces(found)["key"].notches == 0.0
    assert sentence(found, "key") == ""

"""The sample players and their earlier ratings; levels in notches from the goal."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from pathlib import Path
from statistics import mean

import pytest

from planner.brass.tempo import notches
from planner.diary.history import read_history
from planner.diary.rating import Rating
from planner.inputs.curriculum import Curriculum
from planner.inputs.player import Player
from planner.need.combinations import drafts, scope
from planner.simulate.sample_players import PLAYERS
from planner.simulate.sample_ratings import SEED, ratings_text

MONDAY = date(2026, 9, 7)
ROOT = Path(__file__).resolve().parents[2]
NAMES = sorted(path.stem for path in (ROOT / "sample_profiles").glob("*.toml"))


def history(player: Player) -> tuple[Rating, ...]:
    return read_history(Path(player.history), MONDAY)


def heard_by_place(player: Player, curriculum: Curriculum) -> dict[str, list[float]]:
    """Roughly how clean each tempo was, place by place: a grade moves it by 2 notches a step from 4."""
    combinations = {combination.id: combination for combination in scope(curriculum, player, MONDAY).playable}
    heard: dict[str, list[float]] = {}
    for rating in history(player):
        combination = combinations[rating.combination]
        if rating.tempo is not None and combination.exercise.measure == "tempo":
            span = combination.exercise.tempos[rating.articulation]
            level = notches(rating.tempo, span.goal) + 2 * ((rating.grade or 4) - 4)
            heard.setdefault(combination.place.id, []).append(level)
    return heard


def test_there_are_at_least_six_players_on_different_instruments(players: Mapping[str, Player]) -> None:
    assert len({player.instrument for player in players.values()}) >= 6


@pytest.mark.parametrize("name", NAMES)
def test_the_id_of_a_player_is_the_name_of_the_file(name: str, players: Mapping[str, Player]) -> None:
    assert players[name].id == name


@pytest.mark.parametrize("name", NAMES)
def test_every_earlier_rating_is_of_the_players_curriculum(
    name: str, players: Mapping[str, Player], curricula: Mapping[str, Curriculum]
) -> None:
    exercises = curricula[players[name].curriculum].exercises
    known = {(draft.id, way) for each in exercises for draft in drafts(each) for way in draft.articulations}
    strange = [(r.combination, r.articulation) for r in history(players[name])]
    assert set(strange) <= known


@pytest.mark.parametrize("name", NAMES)
def test_earlier_ratings_go_back_three_to_eight_weeks(name: str, players: Mapping[str, Player]) -> None:
    days = {rating.day for rating in history(players[name])}
    assert timedelta(days=21) <= MONDAY - min(days) <= timedelta(days=56)
    assert max(days) < MONDAY


@pytest.mark.parametrize("name", NAMES)
def test_nobody_practises_on_a_day_without_minutes(name: str, players: Mapping[str, Player]) -> None:
    played = {rating.day.weekday() for rating in history(players[name])}
    assert played <= {day for day in range(7) if players[name].minutes[day]}


@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_rated_before_its_week_has_come(
    name: str, players: Mapping[str, Player], curricula: Mapping[str, Curriculum]
) -> None:
    player = players[name]
    exercises = curricula[player.curriculum].exercises
    week = {draft.id: draft.intro_week for each in exercises for draft in drafts(each)}
    early = [r for r in history(player) if (r.day - player.starts).days // 7 + 1 < week[r.combination]]
    assert early == []


def test_the_generator_writes_the_same_bytes_again() -> None:
    text = ratings_text(ROOT / "sample_profiles" / "wilf.toml", ROOT / "curricula")
    assert text.encode() == (ROOT / "sample_profiles" / "wilf-ratings.csv").read_bytes()


def test_another_monday_gives_the_same_earlier_ratings() -> None:
    folders = ROOT / "sample_profiles" / "pia.toml", ROOT / "curricula"
    assert ratings_text(*folders, date(2027, 3, 1)) == ratings_text(*folders, MONDAY)


def test_the_readme_of_the_samples_names_the_seed() -> None:
    assert f"seed {SEED}" in (ROOT / "sample_profiles" / "README.md").read_text(encoding="utf-8")


def test_every_sample_profile_has_a_simulated_player() -> None:
    assert sorted(PLAYERS) == NAMES


def test_the_sharp_keys_of_the_trumpet_player_are_weaker(
    players: Mapping[str, Player], curricula: Mapping[str, Curriculum]
) -> None:
    heard = heard_by_place(players["tobias"], curricula["trumpet-cornet"])
    easy = heard["c-major"] + heard["f-major"] + heard["g-major"]
    assert mean(easy) - mean(heard["a-major"] + heard["e-major"]) >= 3.0


def test_the_outer_slide_of_the_trombonist_is_weaker(
    players: Mapping[str, Player], curricula: Mapping[str, Curriculum]
) -> None:
    heard = heard_by_place(players["ruben"], curricula["low-brass-term"])
    assert mean(heard["1-2-3"]) - mean(heard["5-6-7"]) >= 1.5

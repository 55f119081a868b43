"""The estimate that stands for the planner's own in thousands of terms, held against it."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest
from simulate.both_estimates import MONDAY, Both, both
from simulate.shelf import SMALL

from planner.inputs.read import read_curriculum, read_player
from planner.need.combinations import scope
from planner.paths import find_curriculum, shipped_players
from planner.simulate.catalogue import grid
from planner.simulate.listening import FIRST_DAY, Listening, Told, drift

CASES = [("ingrid", 40, 0), ("tobias", 150, 0), ("nerys", 150, 30)]


@pytest.fixture(
    scope="module", params=CASES, ids=lambda case: f"{case[0]} {case[1]} ratings {case[2]} days on"
)
def compared(request: pytest.FixtureRequest) -> Both:
    """Ratings of chance on sixty combinations of a sample player, told to both estimates."""
    player_id, count, later = request.param
    path = shipped_players() / f"{player_id}.toml"
    player = read_player(path, MONDAY)
    curriculum = read_curriculum(find_curriculum(player.curriculum, path))
    whole = scope(curriculum, player, player.starts + timedelta(weeks=curriculum.weeks - 1))
    tempo = [one for one in whole.playable if one.exercise.measure == "tempo"][:60]
    return both(tempo, player, count, weeks=10, later=later, seed=7)


# The simulation's estimate leaves out what would take a minute a player (listening.py names it); these
# tolerances are what that costs on ratings as contradictory as grades of pure chance.
def test_it_orders_combinations_as_the_own_estimate_does(compared: Both) -> None:
    assert np.corrcoef(compared.mean, compared.own_mean)[0, 1] > 0.98


def test_its_means_lie_within_two_fifths_of_a_spread_of_the_own(compared: Both) -> None:
    apart = np.sqrt(np.mean((compared.mean - compared.own_mean) ** 2))
    assert apart < 0.4 * compared.own_sd.mean()


def test_its_spreads_are_the_own_or_up_to_a_fifth_smaller(compared: Both) -> None:
    ratio = compared.sd / compared.own_sd
    assert ratio.min() > 0.8
    assert ratio.max() < 1.02


def told(low: float, high: float) -> Told:
    return Told(np.array([low]), np.array([high]), np.array([20.0]), np.array([-8.0]))


def one_rating(low: float, high: float, day: int = 0) -> tuple[Listening, np.ndarray]:
    guesses = np.full((1, SMALL.size), -8.0)
    listening = Listening(guesses, SMALL, 100)
    listening.take(np.array([3]), day, told(low, high), np.ones(1, dtype=bool))
    listening.settle()
    return listening, guesses


def test_before_anything_is_heard_the_means_are_the_first_guesses() -> None:
    guesses = np.full((1, SMALL.size), -8.0)
    listening = Listening(guesses, SMALL, 100)
    assert (listening.estimates(0, guesses)[0] == guesses).all()


def test_a_rating_above_what_was_thought_lifts_that_combination_most() -> None:
    listening, guesses = one_rating(0.0, np.inf)
    lifted = listening.estimates(0, guesses)[0][0] + 8.0
    assert lifted.argmax() == 3
    assert lifted.min() > 0.0


def test_the_neighbours_in_key_and_position_learn_more_from_a_rating_than_the_others() -> None:
    listening, guesses = one_rating(0.0, np.inf)
    # 3 is position 4 in the first key, 10 the same position in the next key, 20 position 7 in the third
    lifted = listening.estimates(0, guesses)[0][0]
    assert lifted[10] > lifted[20]


def test_silence_lifts_no_combination_that_was_rated_low() -> None:
    listening, guesses = one_rating(-np.inf, -14.0)
    means = [listening.estimates(day, guesses)[0][0, 3] for day in (0, 30, 100)]
    assert means[1] <= means[0] + 1e-9
    assert means[2] <= means[1] + 1e-9


def test_silence_widens_every_spread() -> None:
    listening, guesses = one_rating(-9.0, -7.0)
    spreads = [listening.estimates(day, guesses)[1][0] for day in (0, 30, 100)]
    assert (spreads[0] <= spreads[1]).all()
    assert (spreads[1] <= spreads[2]).all()


def test_the_combinations_of_the_synthetic_shelf_all_vary_about_as_much() -> None:
    # the parts are normalised by each combination with itself, so that all vary alike but for what is common
    shelf = grid(84, 12)
    own = (shelf.roots**2).sum(axis=1)
    assert own == pytest.approx(own[0] * np.ones(84), rel=0.25)


def test_the_directions_in_time_stand_for_nearly_all_that_changes() -> None:
    found = drift(4.0, 84)
    assert len(found) == 84 - FIRST_DAY + 1
    # 4 notches for good and the square root of 12 lately (design section 6): 28 square notches on every day
    assert 0.8 * 28 < (found**2).sum(axis=1).mean() <= 28

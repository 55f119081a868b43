"""The shelves that simulated players practise."""

from __future__ import annotations

import numpy as np
import pytest
from need.shelf import flexibility, scales, shelf

from planner.need.covariance import features_of, lasting
from planner.simulate.catalogue import grid, roots_of
from planner.simulate.sample_shelves import shelf_of
from planner.simulate.studies import GRIDS, SAMPLES


def test_the_synthetic_shelf_has_every_key_on_every_position_once() -> None:
    synthetic = grid(84, 12)
    keys, positions = synthetic.keys.argmax(axis=1), synthetic.positions.argmax(axis=1)
    assert len(set(zip(keys.tolist(), positions.tolist(), strict=True))) == synthetic.size == 84


def test_400_combinations_are_five_exercises_the_last_of_64() -> None:
    # 4 x 84 = 336
    assert np.bincount(grid(400, 18).exercise).tolist() == [84, 84, 84, 84, 64]


def test_each_combination_of_the_synthetic_shelf_has_one_pair_with_a_key_and_one_with_a_position() -> None:
    synthetic = grid(400, 18)
    assert (synthetic.pairs.sum(axis=1) == 2).all()
    # 12 + 7 for each exercise; the last has ten keys
    assert synthetic.pairs.shape[1] == 4 * 19 + 10 + 7


@pytest.mark.parametrize("name", SAMPLES)
def test_the_shelf_of_a_sample_player_has_items_for_a_day_and_a_covariance_that_can_be_one(name: str) -> None:
    found = shelf_of(name)
    assert 1 <= found.items_a_day < found.size
    assert np.linalg.eigvalsh(found.roots @ found.roots.T).min() > -1e-8
    assert found.pairs.any(axis=0).all()


@pytest.mark.parametrize("name", GRIDS)
def test_the_items_of_a_day_are_those_of_the_study(name: str) -> None:
    assert (shelf_of(name).size, shelf_of(name).items_a_day) == (int(name), GRIDS[name])


def test_what_is_common_and_the_roots_together_are_the_lasting_covariance() -> None:
    features = features_of([(one, one.articulations[0]) for one in shelf(flexibility(), scales())])
    common, roots = roots_of(features)
    assert common**2 + roots @ roots.T == pytest.approx(lasting(features, features), abs=1e-8)

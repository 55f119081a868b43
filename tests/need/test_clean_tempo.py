from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from heavy import heavy_count
from need.shelf import MONDAY, flexibility, player, rated, scales, shelf
from scipy.stats import norm

from planner.diary.rating import Rating
from planner.inputs.curriculum import HoldSpan
from planner.need.clean_tempo import CleanTempo, Estimates, estimate, first_guess
from planner.need.limited import inverse_mills

SHELF = shelf(flexibility(), flexibility("sevens"), scales())
FIVES, FAR, SAME_PLACE = "fives/a/1-2-3", "fives/a/5-6-7", "sevens/a/1-2-3"
SCALE, SAME_KEY, OTHER_KEY = "scales/up/c-major", "scales/up/g-major", "scales/up/f-sharp-major"
MARKS = (40, 60, 88, 120, 160, 208)


def on(ratings: Sequence[Rating], days: int = 0) -> Estimates:
    return estimate(SHELF, ratings, MONDAY + timedelta(days=days), player())


def moved(ratings: Sequence[Rating], combination: str, articulation: str = "tongued") -> float:
    return on(ratings).gained(combination, articulation)


def diary(seed: int, most: int = 25) -> list[Rating]:
    """A random diary over 200 days with every grade, clean marks and limited ratings, from a fixed seed."""
    rng = random.Random(seed)
    rows = [(c.id, a) for c in SHELF for a in c.articulations]
    found = []
    for _ in range(rng.randint(1, most)):
        combination, articulation = rng.choice(rows)
        fields: dict[str, Any] = {"articulation": articulation, "limited": rng.random() < 0.1}
        if rng.random() < 0.7:
            fields |= {"grade": rng.randint(1, 5), "tempo": rng.choice(MARKS)}
        else:
            fields |= {"clean": rng.choice(MARKS)}
        found.append(rated(combination, rng.randint(1, 200), **fields))
    return found


def test_without_ratings_the_mean_is_the_first_guess() -> None:
    found = on([])
    assert found.at(FIVES, "slurred").mean == pytest.approx(
        first_guess(SHELF[0], "slurred", player()), abs=1e-6
    )


def test_without_ratings_the_spread_is_all_the_parts_together() -> None:
    # scales have one key: player 4, exercise 2, pattern 1, key, positions and articulation 1.5, own part 2.5
    variance = 4**2 + 2**2 + 1**2 + 3 * 1.5**2 + 2.5**2
    assert on([]).at(SCALE, "tongued").sd == pytest.approx(variance**0.5, abs=1e-6)


def test_the_first_guess_of_a_long_tone_is_its_first_hold() -> None:
    [tone] = shelf(scales(measure="seconds", hold=HoldSpan(8, 16), keys=scales().keys[:1]))
    assert first_guess(tone, "tongued", player()) == -16


@pytest.mark.parametrize(("mean", "sd", "at"), [(-8.9, 2.1, -11.8), (0.0, 0.5, 0.0), (-3.0, 6.0, 4.0)])
def test_success_is_the_normal_probability(mean: float, sd: float, at: float) -> None:
    # scipy.stats.norm as the outside reference; the noise of one hearing is 2 notches
    right = norm.cdf(mean - at, scale=(sd**2 + 4) ** 0.5)
    assert CleanTempo(mean, sd).success(at) == pytest.approx(right)


def test_comfortable_at_the_goal_lifts_the_estimate() -> None:
    assert moved([rated(FIVES, grade=5, tempo=160)], FIVES) > 1


def test_fell_apart_at_half_tempo_lowers_the_estimate() -> None:
    assert moved([rated(FIVES, grade=1, tempo=80)], FIVES) < -1


def test_clean_marks_bring_the_estimate_to_themselves() -> None:
    # ten days of "clean up to 112 of 160, next not": 16 log2(112/160) = -8.2 to 16 log2(116/160) = -7.4
    found = on([rated(FIVES, ago, clean=112) for ago in range(1, 11)]).at(FIVES, "tongued")
    assert -8.3 < found.mean < -7.3


@pytest.mark.parametrize("seed", range(12))
def test_a_five_never_lowers_its_combination(seed: int) -> None:
    rng = random.Random(f"five {seed}")
    ratings, row = diary(seed), rng.choice([(c.id, a) for c in SHELF for a in c.articulations])
    five = rated(row[0], rng.randint(1, 220), articulation=row[1], grade=5, tempo=rng.choice(MARKS))
    assert on([*ratings, five]).at(*row).mean >= on(ratings).at(*row).mean - 1e-5


@pytest.mark.parametrize("seed", range(12))
def test_a_one_never_raises_its_combination(seed: int) -> None:
    rng = random.Random(f"one {seed}")
    ratings, row = diary(seed), rng.choice([(c.id, a) for c in SHELF for a in c.articulations])
    one = rated(row[0], rng.randint(1, 220), articulation=row[1], grade=1, tempo=rng.choice(MARKS))
    assert on([*ratings, one]).at(*row).mean <= on(ratings).at(*row).mean + 1e-5


def test_a_one_after_a_long_silence_does_not_heal_a_weak_spot() -> None:
    weak = [rated(FIVES, 120, grade=1, tempo=80), rated(FIVES, 119, grade=2, tempo=72)]
    after = [*weak, rated(FIVES, 1, grade=1, tempo=208)]
    assert on(after).at(FIVES, "tongued").mean <= on(weak).at(FIVES, "tongued").mean + 1e-6


@pytest.mark.parametrize("seed", range(8))
def test_order_within_a_day_does_not_matter(seed: int) -> None:
    ratings = [replace(rating, at=place) for place, rating in enumerate(diary(seed))]
    shuffled = [replace(rating, at=-rating.at) for rating in reversed(ratings)]
    assert on(ratings).estimates == on(shuffled).estimates


@pytest.mark.parametrize("seed", range(8))
def test_silence_lifts_neither_mean_nor_lower_bound(seed: int) -> None:
    ratings = diary(seed)
    days = [on(ratings, days) for days in (0, 1, 2, 9, 30, 31, 120, 500, 3000)]
    for earlier, found in pairwise(days):
        for row, clean in found.estimates.items():
            before = earlier.at(*row)
            assert clean.mean <= before.mean + 2e-6
            assert clean.mean - clean.sd <= before.mean - before.sd + 3e-6


@pytest.mark.parametrize("seed", range(8))
def test_the_spread_never_shrinks_with_silence(seed: int) -> None:
    ratings = diary(seed)
    near, far = on(ratings), on(ratings, 90)
    assert all(far.at(*row).sd >= clean.sd - 2e-6 for row, clean in near.estimates.items())


def test_the_spread_grows_with_silence() -> None:
    ratings = [rated(FIVES, ago, grade=3, tempo=120) for ago in (1, 2, 3)]
    assert on(ratings, 60).at(FIVES, "tongued").sd > on(ratings).at(FIVES, "tongued").sd + 0.1


def test_a_gain_fades_with_silence() -> None:
    ratings = [rated(FIVES, ago, grade=5, tempo=160) for ago in (1, 2, 3)]
    assert on(ratings, 198).at(FIVES, "tongued").mean < on(ratings).at(FIVES, "tongued").mean - 0.3


def test_a_weak_spot_stays_weak_in_silence() -> None:
    ratings = [rated(FIVES, ago, grade=1, tempo=100) for ago in (1, 2, 3)]
    assert on(ratings, 198).at(FIVES, "tongued").mean == on(ratings).at(FIVES, "tongued").mean


@pytest.mark.parametrize("neighbour", [FAR, SAME_PLACE], ids=["same exercise", "same positions"])
def test_a_rating_moves_a_neighbour_less_than_itself(neighbour: str) -> None:
    ratings = [rated(FIVES, grade=5, tempo=160)]
    assert 0 < moved(ratings, neighbour) < moved(ratings, FIVES)


def test_a_rating_moves_a_near_key_more_than_a_far_one() -> None:
    ratings = [rated(SCALE, grade=5, tempo=120)]
    assert moved(ratings, SCALE) > moved(ratings, SAME_KEY) > moved(ratings, OTHER_KEY) > 0


def test_a_rating_moves_near_positions_more_than_far_ones() -> None:
    ratings = [rated(FIVES, grade=5, tempo=160)]
    assert moved(ratings, "fives/a/3-4-5") > moved(ratings, FAR)


def test_a_rating_moves_the_other_articulation_less() -> None:
    ratings = [rated(FIVES, grade=5, tempo=160, articulation="tongued")]
    assert 0 < moved(ratings, FIVES, "slurred") < moved(ratings, FIVES, "tongued")


def test_deleting_every_rating_restores_the_first_guess() -> None:
    assert on([]).estimates == estimate(SHELF, (), MONDAY, player()).estimates != on(diary(1)).estimates


def test_a_rating_narrows_the_spread() -> None:
    assert on([rated(FIVES, grade=3, tempo=120)]).at(FIVES, "tongued").sd < on([]).at(FIVES, "tongued").sd - 1


@pytest.mark.parametrize("grade", [1, 2, 3, 4, 5])
def test_a_limited_rating_lowers_nothing(grade: int) -> None:
    ratings = diary(3)
    limited = rated(FIVES, 2, grade=grade, tempo=60, limited=True)
    before, after = on(ratings), on([*ratings, limited])
    assert all(after.at(*row).mean >= clean.mean for row, clean in before.estimates.items())


def test_a_limited_rating_may_lift_its_combination() -> None:
    limited = rated(FIVES, 2, grade=5, tempo=160, limited=True)
    assert moved([limited], FIVES) > 0.5


def test_the_lift_of_a_limited_rating_is_the_normal_one() -> None:
    # scipy.stats.norm: density over probability, down to where both are all but nothing
    z = np.array([-29.0, -8.0, -1.0, 0.0, 3.0])
    right = np.exp(norm.logpdf(z) - norm.logcdf(z))
    assert [inverse_mills(float(one)) for one in z] == pytest.approx(list(right), rel=1e-9)


def test_the_lift_goes_on_where_the_probability_is_nothing() -> None:
    assert inverse_mills(-40.0) == pytest.approx(np.exp(norm.logpdf(-40.0) - norm.logcdf(-40.0)), rel=1e-5)


@pytest.mark.heavy
@pytest.mark.timeout(3600)
def test_random_diaries_give_sound_estimates(request: pytest.FixtureRequest) -> None:
    for seed in range(heavy_count(request.config, "diaries of chance")):
        found = on(diary(seed), days=seed % 40).estimates.values()
        assert all(np.isfinite(clean.mean) and 0 < clean.sd < 7 for clean in found)


def test_ratings_far_out_give_sound_estimates() -> None:
    ratings = [rated(FIVES, 1, grade=grade, tempo=tempo) for grade, tempo in ((1, 40), (5, 208), (1, 41))]
    assert np.isfinite(on(ratings).at(FIVES, "tongued").mean)


def test_ratings_of_a_combination_that_is_gone_are_left_out() -> None:
    assert on([rated("old/a/1-2-3", grade=1, tempo=40)]).estimates == on([]).estimates


def test_every_row_counts_its_own_ratings() -> None:
    found = on([rated(FIVES, grade=3, tempo=120), rated(FIVES, 5, clean=112)])
    assert (found.rated[FIVES, "tongued"], found.rated[FIVES, "slurred"]) == (2, 0)

"""A whole term: what is the same for every policy, and what is measured at its end."""

from __future__ import annotations

from dataclasses import asdict, replace

import numpy as np
import pytest
from simulate.shelf import SEEDS, SMALL, outcome, term

from planner.simulate.named import POLICIES
from planner.simulate.policies import Ours, round_robin
from planner.simulate.studies import EVERY
from planner.simulate.term import Outcome, score, weakest


def equal(one: Outcome, other: Outcome) -> bool:
    return all(
        np.array_equal(mine, theirs)
        for mine, theirs in zip(asdict(one).values(), asdict(other).values(), strict=True)
    )


def test_the_score_is_one_at_the_goal_and_nothing_at_half_its_tempo() -> None:
    assert score(np.array([3.0, 0.0, -8.0, -16.0, -32.0])).tolist() == [1.0, 1.0, 0.5, 0.0, -1.0]


def test_the_weakest_tenth_of_84_is_the_nine_lowest() -> None:
    assert weakest(np.arange(84.0)[None])[0] == 4.0


def test_the_same_seeds_give_the_same_term() -> None:
    assert equal(outcome(Ours()), outcome(Ours()))


def test_a_player_fares_the_same_alone_and_beside_others() -> None:
    alone, among = outcome(Ours(), seeds=SEEDS[:1]), outcome(Ours())
    assert alone.weakest_later[0] == pytest.approx(among.weakest_later[0], abs=1e-9)


def test_every_policy_spends_the_same_minutes() -> None:
    # six weeks of six days, five items of five minutes
    minutes = {name: outcome(POLICIES[name](), seeds=SEEDS[:1], weeks=2).minutes[0] for name in EVERY}
    assert set(minutes.values()) == {2 * 6 * 5 * 5}


def test_a_missed_week_takes_its_minutes() -> None:
    assert outcome(round_robin, missed_week=2).minutes[0] == 5 * 6 * 5 * 5


def test_round_robin_meets_28_combinations_at_five_a_day_on_the_sixth_day() -> None:
    assert outcome(round_robin).covered_on.tolist() == [6] * 3


def test_what_is_never_covered_has_no_day() -> None:
    assert outcome(POLICIES["blocked"](), weeks=2).covered_on.tolist() == [0] * 3


def test_two_weeks_later_some_of_it_is_forgotten() -> None:
    found = outcome(round_robin)
    assert (found.mean_later < found.mean_end).all()


def test_learner_c_forgets_less_in_two_weeks_than_learner_b() -> None:
    kept = [outcome(round_robin, learner=kind) for kind in ("B", "C")]
    lost = [float((one.mean_end - one.mean_later).mean()) for one in kept]
    assert lost[1] < lost[0] / 3


def test_so_many_turns_are_rated_as_the_setting_says() -> None:
    for count in (10, 36, None):
        one = term(ratings=count, first_hearing=False)
        one.run(round_robin)
        assert one.listening.count.reshape(3, -1).sum(axis=1).tolist() == [count or 6 * 6 * 5] * 3


def test_a_first_hearing_rates_every_combination_once_more() -> None:
    one = term(ratings=10)
    one.run(round_robin)
    assert one.listening.count.sum() == 3 * (10 + SMALL.size)


def test_a_first_hearing_makes_the_estimate_of_the_first_week_better() -> None:
    with_it, without = (
        outcome(round_robin, ratings=10, first_hearing=hearing, weeks=1) for hearing in (True, False)
    )
    assert with_it.missed_by.mean() < without.missed_by.mean()


def test_only_a_tempo_that_counts_makes_a_turn_worth_less() -> None:
    neutral, counts = (outcome(round_robin, neutral=neutral) for neutral in (True, False))
    assert (counts.mean_end < neutral.mean_end).all()


def test_a_longer_gap_is_measured_in_spans() -> None:
    found = outcome(round_robin)
    # from at most 14 days before the term to the sixth day, of a span of four weeks
    assert 0.1 < found.longest_gap.max() < 1.0


def test_combinations_of_a_later_week_are_not_played_before_it() -> None:
    shelf = replace(SMALL, weeks=np.where(np.arange(SMALL.size) < 10, 4, 1))
    one = term(shelf, weeks=3)
    one.run(round_robin)
    assert not one.log.met[:, :10].any()
    assert one.log.met[:, 10:].all()

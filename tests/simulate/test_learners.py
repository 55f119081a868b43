"""The simulated learners reproduce what is published, before anything is concluded from them."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import pairwise

import numpy as np
import pytest
from pyactup import Memory

from planner.simulate.learners import (
    SLOW_TO_FORGET,
    TWO_STATES,
    Activation,
    ActivationModel,
    Learner,
    States,
)

ONE, FULL = np.array([0]), np.ones(1)
DAY = 86400.0
# Constant decay 0.5 and days as the unit of time: the plain base-level equation.
PLAIN = ActivationModel(a=0.5, c=0.0, between_sessions=1 / DAY)
# Pavlik & Anderson 2005, its decay depending on activation, time counted alike in and between sessions.
SPACED = ActivationModel(between_sessions=1.0)
TURNS = 8


def remembered(days: Sequence[float], test: float, model: ActivationModel) -> float:
    """Activation at `test` after turns on these days."""
    learner = Activation(np.zeros((1, 1)), model)
    learner.remember(np.array([[[day - test for day in days]]]))
    return float(learner.activation()[0, 0])


def level_after(learner: Learner, gap_days: int, wait_days: int) -> float:
    """Level so many days after eight turns, so many days apart (0: all on one day)."""
    for turn in range(TURNS):
        learner.practise(ONE, FULL)
        if gap_days and turn < TURNS - 1:
            learner.sleep(gap_days)
    learner.sleep(wait_days)
    return float(learner.level()[0, 0])


def best_gap(wait_days: int) -> int:
    """The gap after which learner A has kept most."""
    gaps = (0, 1, 2, 3, 5, 7, 14)
    return max(gaps, key=lambda gap: level_after(Activation(np.zeros((1, 1))), gap, wait_days))


def practised(learner: Learner, order: Sequence[int]) -> float:
    """Mean level during practice in this order, the first meeting of each left out."""
    met: set[int] = set()
    levels = []
    for one in order:
        chosen = np.array([one])
        if one in met:
            levels.append(float(learner.level_of(chosen)[0]))
        met.add(one)
        learner.practise(chosen, FULL)
    return float(np.mean(levels))


BLOCKED, INTERLEAVED = [0] * 8 + [1] * 8 + [2] * 8, [0, 1, 2] * 8
THREE = np.zeros((1, 3))


@pytest.mark.parametrize(
    ("days", "test"), [((0,), 7), ((0, 1, 2, 3, 4), 5), ((10, 11, 12, 13), 14), ((0, 4, 6, 7), 8)]
)
def test_activation_without_spacing_is_that_of_pyactup(days: tuple[int, ...], test: int) -> None:
    memory = Memory(noise=0, decay=0.5, temperature=1)
    for day in days:
        if day > memory.time:
            memory.advance(day - memory.time)
        memory.learn({"combination": "x"})
    memory.advance(test - memory.time)
    memory.activation_history = []
    memory.retrieve({"combination": "x"})
    theirs = memory.activation_history[-1]["base_level_activation"]
    assert remembered(days, test, PLAIN) == pytest.approx(theirs, abs=1e-6)


@pytest.mark.parametrize(
    ("seconds", "decays", "activation"),
    [
        # worked from m = ln sum t^-d, d = 0.217 e^m + 0.177 (Pavlik & Anderson, Cognitive Science 29, 2005)
        ((0, 100, 200), (0.177, 0.273042, 0.323666), -0.893543),
        ((0, 1000, 2000), (0.177, 0.240894, 0.274611), -0.790297),
    ],
)
def test_decays_and_activation_are_the_worked_ones(
    seconds: tuple[int, ...], decays: tuple[float, ...], activation: float
) -> None:
    test = seconds[-1] + 3600
    learner = Activation(np.zeros((1, 1)), SPACED)
    learner.remember(np.array([[[(second - test) / DAY for second in seconds]]]))
    assert learner.decay[0, 0, :3] == pytest.approx(decays, abs=1e-5)
    assert float(learner.activation()[0, 0]) == pytest.approx(activation, abs=1e-5)


def test_daily_and_weekly_turns_are_kept_as_worked() -> None:
    # the same equations with h = 0.025 between sessions, turns on four days: -1.154458 and -1.071777 (worked)
    model = ActivationModel()
    assert remembered((0, 1, 2, 3), 31, model) == pytest.approx(-1.154458, abs=1e-5)
    assert remembered((0, 7, 14, 21), 49, model) == pytest.approx(-1.071777, abs=1e-5)


def test_the_best_gap_grows_with_the_time_until_it_is_needed() -> None:
    # Cepeda et al., Psychological Bulletin 132 (2006), 317 experiments: the best gap grows with the interval
    gaps = [best_gap(wait) for wait in (1, 7, 30, 90)]
    assert all(a < b for a, b in pairwise(gaps))


def test_a_day_later_what_was_massed_is_best() -> None:
    assert best_gap(1) == 0


def test_interleaving_is_worse_while_practising() -> None:
    # contextual interference: Shea & Morgan 1979 (from memory); Abushanab & Bishara 2013 for pianists
    blocked, interleaved = Activation(THREE), Activation(THREE)
    assert practised(blocked, BLOCKED) > practised(interleaved, INTERLEAVED)


def test_interleaving_is_better_a_week_later() -> None:
    # Stambaugh, JRME 58 (2011), 24 hours later; the same here after a week
    blocked, interleaved = Activation(THREE), Activation(THREE)
    for learner, order in ((blocked, BLOCKED), (interleaved, INTERLEAVED)):
        practised(learner, order)
        learner.sleep(7)
    assert interleaved.level().mean() > blocked.level().mean()


def test_with_two_states_the_order_hardly_matters() -> None:
    # Czyż et al., Scientific Reports 14:15974 (2024): outside the laboratory almost negligible
    blocked, interleaved = States(THREE), States(THREE)
    for learner, order in ((blocked, BLOCKED), (interleaved, INTERLEAVED)):
        practised(learner, order)
        learner.sleep(7)
    assert interleaved.level().mean() == pytest.approx(blocked.level().mean(), abs=0.05)


def two_rate_error(targets: Sequence[float], order: Sequence[int]) -> tuple[float, float]:
    """Mean error in practice, and afterwards, of a fast and three slow states with targets of their own."""
    model, fast, slow = TWO_STATES, 0.0, np.zeros(3)
    errors = []
    for one in order:
        error = targets[one] - fast - slow[one]
        errors.append(abs(error))
        fast = model.fast_kept * fast + model.fast_gain * error
        slow *= model.slow_kept
        slow[one] += model.slow_gain * error
    return float(np.mean(errors)), float(np.mean(np.abs(np.array(targets) - slow)))


def test_the_two_rates_interfere_where_targets_differ() -> None:
    # Lee & Schweighofer, Journal of Neuroscience 29 (2009): one fast, many slow states; rates of Smith et al.
    targets = (1.0, -1.0, 0.5)
    blocked = two_rate_error(targets, [0] * 40 + [1] * 40 + [2] * 40)
    shuffled = np.random.default_rng(7).permutation([0, 1, 2] * 40).tolist()
    interleaved = two_rate_error(targets, shuffled)
    assert blocked[0] < interleaved[0]
    assert interleaved[1] < blocked[1]


def test_a_night_takes_two_parts_in_a_hundred_of_a_slow_state() -> None:
    learner = States(np.zeros((1, 1)))
    learner.practise(ONE, FULL)
    before = float(learner.slow[0, 0])
    learner.sleep(1)
    assert float(learner.slow[0, 0]) == pytest.approx(0.98 * before)


def test_the_slow_learner_forgets_a_tenth_as_fast() -> None:
    assert SLOW_TO_FORGET.night_slow**10 == pytest.approx(TWO_STATES.night_slow)


def test_the_turns_of_a_two_state_learner_are_its_trials_one_by_one() -> None:
    model, fast, slow = TWO_STATES, 0.0, 0.0
    for _ in range(model.trials):
        error = model.reach - fast - slow
        fast = model.fast_kept * fast + model.fast_gain * error
        slow = model.slow_kept * slow + model.slow_gain * error
    learner = States(np.zeros((1, 1)))
    learner.practise(ONE, FULL)
    assert float(learner.slow[0, 0]) == pytest.approx(slow)
    assert float(learner.fast[0]) == pytest.approx(fast * model.fast_kept**model.rest_trials)


MAKERS: dict[str, Callable[[], Learner]] = {
    "A": lambda: Activation(np.array([[0.0, 2.0]])),
    "B": lambda: States(np.array([[0.0, 2.0]])),
    "C": lambda: States(np.array([[0.0, 2.0]]), SLOW_TO_FORGET),
}


@pytest.mark.parametrize("kind", MAKERS)
def test_looking_ahead_is_what_then_comes(kind: str) -> None:
    learner = MAKERS[kind]()
    learner.practise(ONE, FULL)
    learner.sleep(3)
    foreseen = learner.ahead(14)[0]
    learner.sleep(14)
    assert learner.level() == pytest.approx(foreseen)


@pytest.mark.parametrize("kind", MAKERS)
def test_what_costs_two_notches_lies_two_notches_lower(kind: str) -> None:
    learner = MAKERS[kind]()
    assert float(learner.level()[0, 0] - learner.level()[0, 1]) == pytest.approx(2.0)


def predicted(days: Sequence[int], test: int) -> float:
    """Performance by the Predictive Performance Equation (Walsh et al., Cognitive Science 42, 2018)."""
    c, x, b, m, tau, s = 0.1, 0.6, 0.04, 0.08, 0.9, 0.04
    ages = [test - day for day in days]
    weights = [age**-x for age in ages]
    mean_age = sum(w * age for w, age in zip(weights, ages, strict=True)) / sum(weights)
    lags = [1 / math.log(later - day + math.e) for day, later in pairwise(days)]
    decay = b + m * (sum(lags) / len(lags) if lags else 0.0)
    return 1 / (1 + math.exp((tau - len(days) ** c * mean_age**-decay) / s))


@pytest.mark.parametrize(
    ("days", "test", "performance"),
    [((0,), 7, 0.652012), ((0, 1, 2, 3), 10, 0.660169), ((0, 7, 14, 21), 28, 0.715647)],
)
def test_the_other_law_gives_its_worked_values(days: tuple[int, ...], test: int, performance: float) -> None:
    # worked from the equation with the constants of its public code
    assert predicted(days, test) == pytest.approx(performance, abs=1e-5)


@pytest.mark.parametrize(("near", "far"), [((0, 1, 2, 3), (0, 7, 14, 21))])
@pytest.mark.parametrize("wait", [30, 60, 90])
def test_both_laws_keep_more_of_what_was_spread_out(
    near: tuple[int, ...], far: tuple[int, ...], wait: int
) -> None:
    model = ActivationModel()
    ours = [remembered(days, days[-1] + wait, model) for days in (near, far)]
    theirs = [predicted(days, days[-1] + wait) for days in (near, far)]
    assert ours[0] < ours[1]
    assert theirs[0] < theirs[1]

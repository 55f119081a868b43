"""The simulated learners against published formulas, their worked values, and a reference library."""

from __future__ import annotations

import warnings
from collections.abc import Sequence

import numpy as np
import pytest
from simulate.published import predicted_performance

from planner.need.covariance import fresh_in_time
from planner.simulate.activation import DAY_SECONDS, Activation, ActivationModel
from planner.simulate.states import BY_STATES, SLOW_TO_FORGET, States

EVERY_DAY = (0.0, 1.0, 2.0, 3.0)
EVERY_WEEK = (0.0, 7.0, 14.0, 21.0)


def remembered(days: Sequence[float], test: float, model: ActivationModel) -> Activation:
    """Learner A on the day of the test, with turns on these days behind."""
    learner = Activation(np.zeros((1, 1)), model)
    learner.remember(np.array([[[day - test for day in days]]]))
    return learner


def pyactup_activation(days: Sequence[float], test: float, decay: float) -> float:
    """The base-level activation that pyactup gives, time in days."""
    from pyactup import Memory

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        memory = Memory(noise=0, decay=decay)
    for day in days:
        if day > memory.time:
            memory.advance(day - memory.time)
        memory.learn({"combination": "x"})
    memory.advance(test - memory.time)
    memory.activation_history = []
    memory.retrieve({"combination": "x"})
    return float(memory.activation_history[-1]["base_level_activation"])


@pytest.mark.parametrize("decay", [0.3, 0.5])
@pytest.mark.parametrize(
    ("days", "test"),
    [
        ((0,), 1),
        ((0,), 7),
        ((0, 1, 2, 3, 4), 5),
        ((0, 1, 2, 3, 4), 14),
        ((10, 11, 12, 13), 14),
        ((0, 4, 6, 7), 8),
    ],
)
def test_activation_without_the_spacing_term_is_that_of_pyactup(
    days: tuple[float, ...], test: float, decay: float
) -> None:
    plain = ActivationModel(a=decay, c=0.0, between_sessions=1 / DAY_SECONDS)  # so that a day is the unit
    ours = remembered(days, test, plain).activation()[0, 0]
    assert ours == pytest.approx(pyactup_activation(days, test, decay), abs=1e-9)


# Pavlik & Anderson, Cognitive Science 29 (2005), with their a = .177, c = .217 and h = .025 between sessions;
# worked by hand from the formulas of the paper.
@pytest.mark.parametrize(
    ("days", "test", "decays", "activation"),
    [
        (EVERY_DAY, 31.0, (0.177, 0.23275, 0.26265, 0.28271), -1.154458),
        (EVERY_WEEK, 49.0, (0.177, 0.21651, 0.23896, 0.25454), -1.071777),
    ],
)
def test_activation_over_days_has_the_worked_values_of_pavlik_and_anderson(
    days: tuple[float, ...], test: float, decays: tuple[float, ...], activation: float
) -> None:
    learner = remembered(days, test, ActivationModel())
    assert learner.decay[0, 0, : len(days)] == pytest.approx(decays, abs=1e-5)
    assert learner.activation()[0, 0] == pytest.approx(activation, abs=1e-6)


# The same paper and hand: turns at these seconds, tested 3,600 s after the last.
@pytest.mark.parametrize(
    ("seconds", "activation"), [((0, 100, 200), -0.893543), ((0, 1000, 2000), -0.790297)]
)
def test_activation_within_a_session_has_the_worked_values_of_pavlik_and_anderson(
    seconds: tuple[float, ...], activation: float
) -> None:
    days = tuple(second / DAY_SECONDS for second in seconds)
    learner = remembered(days, (seconds[-1] + 3600) / DAY_SECONDS, ActivationModel(between_sessions=1.0))
    assert learner.activation()[0, 0] == pytest.approx(activation, abs=1e-6)


def test_turns_taken_one_by_one_leave_what_the_same_turns_remembered_leave() -> None:
    played, told = Activation(np.zeros((1, 1))), Activation(np.zeros((1, 1)))
    for _ in range(3):
        played.practise(np.array([0]), np.ones(1))
        played.sleep(2)
    # a session's 300 s and two nights at .025: 4,620 of the model's seconds, or 2.13889 of its days
    told.remember(4620 / 2160 * np.array([[[-3.0, -2.0, -1.0]]]))
    assert played.level() == pytest.approx(told.level(), abs=1e-9)


# Walsh et al., Cognitive Science 42 S3 (2018), constants of a public implementation, worked by hand.
@pytest.mark.parametrize(
    ("days", "test", "memory", "chance"),
    [
        ((0.0,), 7.0, 0.925116, 0.652012),
        (EVERY_DAY, 10.0, 0.926562, 0.660169),
        (EVERY_WEEK, 28.0, 0.936919, 0.715647),
        (EVERY_DAY, 33.0, 0.811025, 0.097582),
    ],
)
def test_the_predictive_performance_equation_has_its_worked_values(
    days: tuple[float, ...], test: float, memory: float, chance: float
) -> None:
    assert predicted_performance(days, test) == pytest.approx((memory, chance), abs=2e-6)


@pytest.mark.parametrize("rest", [10.0, 30.0, 60.0])
def test_learner_a_orders_daily_and_weekly_turns_as_the_predictive_performance_equation_does(
    rest: float,
) -> None:
    levels = [
        remembered(days, days[-1] + rest, ActivationModel()).level()[0, 0] for days in (EVERY_DAY, EVERY_WEEK)
    ]
    told = [predicted_performance(days, days[-1] + rest)[0] for days in (EVERY_DAY, EVERY_WEEK)]
    assert (levels[1] > levels[0]) == (told[1] > told[0])


# Wickelgren's power form (1 + b t)^-1/2, b = 1/66 a day: Wixted & Carpenter, Psychological Science 18
# (2007); half after 198 days: Tatel & Ackerman, Psychological Bulletin (2025), accuracy. Worked by hand.
@pytest.mark.parametrize(
    ("days", "kept"), [(7, 0.9508), (14, 0.9083), (30, 0.8292), (90, 0.6504), (198, 0.5)]
)
def test_what_the_estimate_expects_to_be_kept_has_the_worked_values_of_wickelgren(
    days: int, kept: float
) -> None:
    assert float(fresh_in_time(np.array(days))) == pytest.approx(kept, abs=5e-5)


def days_to_half(learner: States) -> int:
    """Days of rest after which half of what eight daily turns left is gone."""
    for _ in range(8):
        learner.practise(np.array([0]), np.ones(1))
        learner.sleep(1)
    bottom = learner.model.bottom
    start = learner.ahead(0)[0][0, 0] - bottom
    return next(day for day in range(2000) if learner.ahead(day)[0][0, 0] - bottom < start / 2)


def test_the_slow_forgetting_learner_loses_half_between_the_published_half_lives() -> None:
    # Tatel & Ackerman (2025): half of the gain gone after 6.5 months (accuracy) to 13 months (speed)
    slow = States(np.zeros((1, 1)), SLOW_TO_FORGET)
    assert 198 <= days_to_half(slow) <= 396


def test_the_other_states_learner_forgets_far_faster_than_the_slow_one() -> None:
    fast, slow = States(np.zeros((1, 1)), BY_STATES), States(np.zeros((1, 1)), SLOW_TO_FORGET)
    assert days_to_half(fast) * 5 < days_to_half(slow)


def test_the_rates_of_the_states_are_those_of_smith() -> None:
    # Smith, Ghazizadeh & Shadmehr, PLoS Biology 4 (2006); from memory
    model = BY_STATES
    rates = (model.fast_kept, model.fast_gain, model.middle_kept, model.middle_gain)
    assert rates == (0.59, 0.21, 0.992, 0.02)

from __future__ import annotations

import numpy as np
import pytest
from scipy import optimize
from scipy.stats import norm

from planner.need.laplace import NOISE, Statements, fit, log_probability

LEVELS = np.array([-9.0, -3.0, -0.5, 0.0, 1.5, 7.0])
BOUNDS = [(-np.inf, -4.0), (-4.0, -2.0), (-2.0, 0.0), (0.0, 2.0), (2.0, np.inf)]


def parts(level: float, low: float, high: float) -> tuple[float, float, float]:
    found = log_probability(np.array([level]), np.array([low]), np.array([high]))
    return float(found[0][0]), float(found[1][0]), float(found[2][0])


@pytest.mark.parametrize("bounds", BOUNDS, ids=["1", "2", "3", "4", "5"])
def test_a_grade_has_the_probability_of_its_interval(bounds: tuple[float, float]) -> None:
    low, high = bounds
    right = norm.cdf((high - LEVELS) / NOISE) - norm.cdf((low - LEVELS) / NOISE)
    found = log_probability(LEVELS, np.full(6, low), np.full(6, high))[0]
    assert np.allclose(np.exp(found), right, rtol=1e-9)


def test_the_five_grades_are_all_that_can_happen() -> None:
    total = sum(np.exp(log_probability(LEVELS, np.full(6, low), np.full(6, high))[0]) for low, high in BOUNDS)
    assert np.allclose(total, 1)


@pytest.mark.parametrize("bounds", BOUNDS, ids=["1", "2", "3", "4", "5"])
@pytest.mark.parametrize("level", LEVELS)
def test_the_slope_is_that_of_the_log_probability(bounds: tuple[float, float], level: float) -> None:
    step = 1e-5
    rise = (parts(level + step, *bounds)[0] - parts(level - step, *bounds)[0]) / (2 * step)
    assert parts(level, *bounds)[1] == pytest.approx(rise, abs=1e-6)


@pytest.mark.parametrize("bounds", BOUNDS, ids=["1", "2", "3", "4", "5"])
@pytest.mark.parametrize("level", LEVELS)
def test_the_curvature_is_that_of_the_log_probability(bounds: tuple[float, float], level: float) -> None:
    step = 1e-5
    fall = (parts(level - step, *bounds)[1] - parts(level + step, *bounds)[1]) / (2 * step)
    assert parts(level, *bounds)[2] == pytest.approx(fall, abs=1e-5)


@pytest.mark.parametrize("level", [-300.0, -80.0, 80.0, 300.0])
@pytest.mark.parametrize("bounds", BOUNDS, ids=["1", "2", "3", "4", "5"])
def test_the_far_tails_stay_finite(bounds: tuple[float, float], level: float) -> None:
    assert np.isfinite(parts(level, *bounds)).all()


def test_a_far_tail_agrees_with_the_normal_tail() -> None:
    # scipy.stats.norm.logsf as the outside reference
    assert parts(-60.0, 2.0, np.inf)[0] == pytest.approx(norm.logsf(31.0), rel=1e-9)


def test_one_statement_moves_the_level_to_the_best_one() -> None:
    # prior normal with mean -6 and variance 30, clean between -2 and 0; the best level by scipy.optimize
    def badness(level: float) -> float:
        inside = norm.cdf(-level / NOISE) - norm.cdf((-2 - level) / NOISE)
        return float(-np.log(inside) + (level + 6) ** 2 / 60)

    right = optimize.minimize_scalar(badness, bounds=(-10, 5), method="bounded", options={"xatol": 1e-9}).x
    said = Statements(np.array([0]), np.array([-2.0]), np.array([0.0]))
    found = fit(np.array([[30.0]]), np.array([-6.0]), said)
    assert -6 + 30 * found.pull[0] == pytest.approx(right, abs=1e-4)


def test_many_narrow_statements_come_near_a_plain_mean() -> None:
    # Gaussian limit: 50 hearings between 2.9 and 3.1 with noise 2 weigh 50/4 against a prior of 1/30 at 0
    said = Statements(np.zeros(50, dtype=np.int64), np.full(50, 2.9), np.full(50, 3.1))
    found = fit(np.array([[30.0]]), np.array([0.0]), said)
    assert 30 * found.pull[0] == pytest.approx(3 * (50 / 4) / (50 / 4 + 1 / 30), abs=1e-3)


def test_many_narrow_statements_leave_the_spread_of_a_plain_mean() -> None:
    said = Statements(np.zeros(50, dtype=np.int64), np.full(50, 2.9), np.full(50, 3.1))
    found = fit(np.array([[30.0]]), np.array([0.0]), said)
    variance = 30 - 30 * found.inverse[0, 0] * 30
    assert variance == pytest.approx(1 / (50 / 4 + 1 / 30), rel=2e-3)

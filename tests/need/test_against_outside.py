"""The estimate against libraries that know nothing of it: scikit-learn and statsmodels."""

from __future__ import annotations

import random
import warnings
from datetime import timedelta
from typing import Any

import numpy as np
import pytest
from need.shelf import MONDAY, flexibility, scales, shelf
from scipy import optimize
from sklearn.gaussian_process import GaussianProcessRegressor
from sklearn.gaussian_process.kernels import Kernel
from statsmodels.miscmodels.ordinal_model import OrderedModel

from planner.brass.keys import Key
from planner.need import laplace
from planner.need.combinations import Combination
from planner.need.covariance import scale_notes
from planner.need.evidence import GRADE_CUTS, Evidence
from planner.need.gain import gains
from planner.need.heard import Heard, hear, shelf_of
from planner.need.laplace import Statements, fit, log_probability
from planner.need.parts import DEFAULT

KEYS = tuple(Key(fifths, "major") for fifths in (-3, 0, 1, 6))
SHELF = shelf(flexibility(), flexibility("sevens", starts=(1, 4)), scales(keys=KEYS))
ROWS = [(c, a) for c in SHELF for a in c.articulations]
NARROW = 0.02
"""Half the width of a statement that is as good as a number."""


def positions(one: Combination, two: Combination) -> float:
    """Mean of 0.7^|difference| over both, each normalised with itself."""

    def mean(a: Combination, b: Combination) -> float:
        ours, theirs = (x.place.positions or x.positions for x in (a, b))
        return sum(0.7 ** abs(p - q) for p in ours for q in theirs) / (len(ours) * len(theirs))

    return mean(one, two) / (mean(one, one) * mean(two, two)) ** 0.5


def keys(one: Combination, two: Combination) -> float:
    """Mean over the keys of both of shared notes, seven of twelve, without the common part."""
    alike = [
        (len(scale_notes(a) & scale_notes(b)) / 7 - 7 / 12) / (5 / 12) for a in one.keys for b in two.keys
    ]
    return sum(alike) / len(alike)


def kernel(one: tuple[int, float], two: tuple[int, float]) -> float:
    """The covariance of two rows on two days, written down from the description of the model."""
    (a, word), (b, other), days = ROWS[int(one[0])], ROWS[int(two[0])], abs(one[1] - two[1])
    lasting = 2**2 + 1.5**2 * keys(a, b) + 1.5**2 * positions(a, b) + 1.5**2 * (word == other)
    lasting += 2**2 * (a.exercise.id == b.exercise.id)
    lasting += 1**2 * ((a.exercise.id, a.pattern.name) == (b.exercise.id, b.pattern.name))
    lately, fresh = 12 * (1 + days / FORM_DAYS) ** -0.5, 2.5**2 * (a.id == b.id) * (1 + days / 66) ** -0.5
    return lasting * 2.0 ** (-days / (3 * 365)) + lately + fresh


FORM_DAYS = 10.0


class ByHand(Kernel):
    """The same as a kernel of scikit-learn: rows of (row number, day)."""

    def __init__(self) -> None:
        """Nothing to set; scikit-learn asks for the signature."""

    def __call__(self, X: Any, Y: Any = None, eval_gradient: bool = False) -> Any:  # noqa: N803
        other = X if Y is None else Y
        found = np.array([[kernel(one, two) for two in other] for one in X])
        return (found, np.empty((len(X), len(X), 0))) if eval_gradient else found

    def diag(self, X: Any) -> Any:  # noqa: N803
        return np.array([kernel(one, one) for one in X])

    def is_stationary(self) -> bool:
        return False


def heard_numbers(seed: int, many: int) -> tuple[Heard, np.ndarray, np.ndarray, np.ndarray]:
    """What was heard as narrow statements; where (row, day), the numbers, and the first guesses."""
    rng = random.Random(seed)
    guess = np.array([rng.uniform(-9, 1) for _ in ROWS])
    places = rng.sample([(row, day) for row in range(len(ROWS)) for day in (0, 2, 9, 40, 41, 150)], many)
    numbers = np.array([guess[row] + rng.gauss(0, 4) for row, _ in places])
    evidence = [
        Evidence(MONDAY + timedelta(day), ROWS[row][0].id, ROWS[row][1], y - NARROW, y + NARROW, True, False)
        for (row, day), y in zip(places, numbers, strict=True)
    ]
    ours = shelf_of(ROWS, guess.tolist(), DEFAULT)
    nothing = gains((), ours.number, ours.rows.combination, ours.guess)
    return hear(ours, evidence, nothing), np.array(places, dtype=float), numbers, guess


@pytest.mark.parametrize("seed", range(3))
def test_in_the_gaussian_limit_it_is_the_regression_of_scikit_learn(seed: int) -> None:
    heard, places, numbers, guess = heard_numbers(seed, 30)
    prior = guess[places[:, 0].astype(int)]
    other = GaussianProcessRegressor(ByHand(), alpha=laplace.NOISE**2, optimizer=None)
    other.fit(places, numbers - prior)
    sites = np.column_stack([heard.sites.row, heard.sites.day - MONDAY.toordinal()])
    mean, sd = other.predict(sites, return_std=True)
    ours = heard.between @ heard.posterior.pull
    variance = laplace.variance_at_sites(heard.between, heard.posterior.curvature, heard.posterior.inverse)
    assert ours == pytest.approx(mean, abs=2e-3)
    assert np.sqrt(variance) == pytest.approx(sd, abs=2e-3)


def levels(shift: float) -> np.ndarray:
    """The four cut points of the grades as statsmodels wants them: the first, then logs of the steps."""
    cuts = (np.array(GRADE_CUTS[1:-1]) - shift) / laplace.NOISE
    return np.concatenate([[cuts[0]], np.log(np.diff(cuts))])


@pytest.fixture(scope="module")
def graded() -> tuple[np.ndarray, np.ndarray, Any]:
    """Grades of one combination at many tempos, and the ordered probit of statsmodels over them."""
    rng = np.random.default_rng(3)
    at = rng.uniform(-8, 4, 60)
    heard = -2.5 - at + rng.normal(0, 2, 60)
    grades = np.searchsorted(GRADE_CUTS[1:-1], heard)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return at, grades, OrderedModel(grades, at[:, None], distr="probit")


def bounds(at: np.ndarray, grades: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    cuts = np.array(GRADE_CUTS)
    return at + cuts[grades], at + cuts[grades + 1]


@pytest.mark.parametrize("level", [-7.0, -2.5, 0.0, 3.0])
def test_grades_are_the_ordered_probit_of_statsmodels(level: float, graded: Any) -> None:
    # one level f: clean tempo - x between the cuts is a latent -x/2 between (cut - f)/2 with noise 1
    at, grades, model = graded
    right = model.loglike(np.concatenate([[-1 / laplace.NOISE], levels(level)]))
    ours = log_probability(np.full(len(at), level), *bounds(at, grades))[0].sum()
    assert ours == pytest.approx(right, rel=1e-9)


def test_the_best_level_is_that_of_the_ordered_probit_of_statsmodels(graded: Any) -> None:
    # without factors and with a prior that says nothing, the best level is the maximum likelihood
    at, grades, model = graded

    def badness(level: float) -> float:
        return -float(model.loglike(np.concatenate([[-1 / laplace.NOISE], levels(level)])))

    right = optimize.minimize_scalar(badness, bounds=(-12, 8), method="bounded", options={"xatol": 1e-9}).x
    low, high = bounds(at, grades)
    found = fit(np.array([[1e7]]), np.zeros(1), Statements(np.zeros(len(at), dtype=np.int64), low, high))
    assert 1e7 * found.pull[0] == pytest.approx(right, abs=1e-4)


def test_the_spread_of_the_best_level_is_that_of_statsmodels(graded: Any) -> None:
    # 1 / curvature of the log likelihood of statsmodels at its maximum, by differences
    at, grades, model = graded
    low, high = bounds(at, grades)
    found = fit(np.array([[1e7]]), np.zeros(1), Statements(np.zeros(len(at), dtype=np.int64), low, high))
    best, step = 1e7 * found.pull[0], 1e-3

    def likelihood(level: float) -> float:
        return float(model.loglike(np.concatenate([[-1 / laplace.NOISE], levels(level)])))

    bend = -(likelihood(best + step) - 2 * likelihood(best) + likelihood(best - step)) / step**2
    assert found.curvature[0] == pytest.approx(bend, rel=1e-3)

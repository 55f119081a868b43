"""Formulas of the literature, written down once more by hand; days and levels as plain numbers."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import e, exp, log


def predicted_performance(days: Sequence[float], test: float) -> tuple[float, float]:
    """The Predictive Performance Equation: M and P on the day of the test.

    Walsh, Gluck, Gunzelmann, Jastrzembski & Krusmark, Cognitive Science 42 S3 (2018): M = N^c T^-d with
    T = sum w t, w = t^-x / sum t^-x, d = b + m x mean of 1 / ln(lag + e), P logistic in M.
    """
    c, x, b, m, tau, s = 0.1, 0.6, 0.04, 0.08, 0.9, 0.04
    ages = [test - day for day in days]
    weights = [age**-x for age in ages]
    since = sum(w * age for w, age in zip(weights, ages, strict=True)) / sum(weights)
    lags = [1 / log(later - day + e) for day, later in pairwise(days)]
    decay = b + m * sum(lags) / max(1, len(lags))
    memory = len(days) ** c * since**-decay
    return memory, 1 / (1 + exp((tau - memory) / s))

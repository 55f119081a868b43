"""How long a full week's check takes."""

from __future__ import annotations

import time

import pytest
from plan.verify.builder import build
from plan.verify.greedy import greedy
from plan.verify.shelf import large

from planner.plan.verify import verify


@pytest.mark.bench
def test_a_full_week_is_checked_in_under_150_milliseconds() -> None:
    inputs = large()
    plan = build(inputs, greedy(inputs))
    start = time.process_time()
    verify(inputs.curriculum, inputs.player, inputs.ratings, plan)
    assert time.process_time() - start < 0.15

"""Terms of chance laid out from beginning to end: every week checked, and near the proven bound."""

from __future__ import annotations

import pytest
from heavy import heavy_count, wants_full
from term.generated import term_of

from planner.horizon.term import plan_term
from planner.plan.verify.term import verify_term

WITHIN = 0.03


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    if "seed" in metafunc.fixturenames:
        first = 100 if wants_full(metafunc.config) else 1  # the full count runs on seeds never used to tune
        count = heavy_count(metafunc.config, "terms of chance")
        metafunc.parametrize("seed", range(first, first + count))


@pytest.mark.heavy
def test_a_term_of_chance_is_laid_out_checked_and_near_its_bound(seed: int) -> None:
    request = term_of(seed)
    term = plan_term(request, lambda _: None, lambda _: None, try_options=False)
    sure = term["certificate"]
    assert verify_term(request.curriculum, request.player, request.ratings, term) == ()
    assert sure["weeks_laid_out"] == sure["weeks_checked"] == len(term["weeks"])
    assert sure["gap"] <= WITHIN

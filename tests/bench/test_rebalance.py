"""CPU of one missed week on large shelves: the rebalance itself, without its files and screens."""

from __future__ import annotations

from pathlib import Path

import pytest
from horizon.missed_weeks import large_case, measured

from planner.plan.verify import verify

pytestmark = pytest.mark.bench

SECONDS = {400: 5.0, 1500: 15.0}


@pytest.mark.parametrize("size", SECONDS)
def test_a_missed_week_is_planned_anew_in_seconds(
    size: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    one = measured(large_case(size, tmp_path))
    with capsys.disabled():
        print(  # noqa: T201 - this is what it is for
            f"\n{one.combinations} combinations: {one.seconds:.1f} s of CPU, {one.changes} changes of at "
            f"least {one.least}, {100 * one.saved:.1f} % of what planning from scratch saves"
        )
    request = one.case.situation.request
    assert verify(request.curriculum, request.player, request.ratings, one.found.plans[0]) == ()
    assert one.seconds <= SECONDS[size]

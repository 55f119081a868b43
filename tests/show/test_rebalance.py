"""What the screen of a rebalance says, sentence by sentence."""

from __future__ import annotations

from planner.show.rebalance import REASONS_SHOWN, _reasons

CHANGES = {
    "new": 0,
    "stays": 0,
    "moved": 1,
    "missed": 0,
    "gone": 0,
    "turns_before": 1,
    "turns_now": 1,
    "at_least": None,
    "first_week": 0,
}


def told(reasons: int) -> str:
    """The sentence on what moved, of turns with so many different reasons."""
    turns = [{"what": "moved", "reason": f"reason {number}", "to": ""} for number in range(reasons)]
    found = {"turns": turns, "not_planned_before": 0, "changes": CHANGES, "date": "2026-09-07"}
    return next(line for line in _reasons(found) if line.startswith("Moved: "))


def test_one_reason_beyond_those_shown_is_one_reason() -> None:
    assert told(REASONS_SHOWN + 1).endswith("; 1 more reason.")


def test_reasons_beyond_those_shown_are_counted() -> None:
    assert told(REASONS_SHOWN + 2).endswith("; 2 more reasons.")


def test_as_many_reasons_as_are_shown_leave_none_over() -> None:
    assert "more reason" not in told(REASONS_SHOWN)

"""What would make a term fit: more minutes, a later end, a smaller scope, each tried and the smallest told."""

from __future__ import annotations

from planner.horizon.term_problem import Costed
from planner.plan.term.termplan import Option


def options(costs: Costed, span_weeks: int, fits: bool) -> tuple[Option, ...]:
    """The smallest change of each kind; () where the term fits as it is."""
    return ()

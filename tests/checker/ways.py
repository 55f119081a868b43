"""Every way of breaking a plan, in one table."""

from __future__ import annotations

from checker import broken_days, broken_figures, broken_times
from checker.breaking import WAYS, Plan, Way, broken

__all__ = ["WAYS", "Plan", "Way", "broken"]
FILES = (broken_times, broken_days, broken_figures)  # each enters its ways into the table

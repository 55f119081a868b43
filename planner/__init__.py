"""A week of brass practice, solved: what to play today, at which tempo, and why."""

__version__ = "0.1.0"

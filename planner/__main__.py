"""`python -m planner` is the same as `planner`."""

from __future__ import annotations

from planner.cli import main

if __name__ == "__main__":
    main()

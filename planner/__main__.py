"""The program's door: `planner` and `python -m planner`. Ctrl-C while it is still loading ends it quietly."""

from __future__ import annotations

STOPPED = 130


def main() -> None:
    """Load the command line and run it."""
    try:
        from planner.cli import main as run
    except KeyboardInterrupt:
        raise SystemExit(STOPPED) from None
    run()


if __name__ == "__main__":
    main()

"""The screens kept as text files in `golden/`, each looked at by eye before it was kept.

After a wanted change, `PYTHONPATH=tests python -m show.golden` in the project's folder writes them anew;
read the difference before keeping it.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

from show.sample_plan import DAYS, PLAN
from show.sample_shelf import SHELF

from planner.show.coverage import coverage_text
from planner.show.routine import routine_text
from planner.show.week import week_text

FOLDER = Path(__file__).parent / "golden"
TUESDAY = date(2026, 9, 8)
WIDTHS = (60, 80, 120)


def _routine(day: int, width: int = 80, *, colour: bool = False, plain: bool = False) -> Callable[[], str]:
    return lambda: routine_text(PLAN, DAYS[day], width=width, colour=colour, plain=plain)


def _week(width: int = 80, *, plain: bool = False, boxes: bool = False) -> Callable[[], str]:
    return lambda: week_text(PLAN, width=width, plain=plain, boxes=boxes)


def _coverage(width: int = 80, *, plain: bool = False, boxes: bool = False) -> Callable[[], str]:
    return lambda: coverage_text(PLAN, SHELF, TUESDAY, width=width, plain=plain, boxes=boxes)


SCREENS: dict[str, Callable[[], str]] = {
    **{f"routine {width}": _routine(0, width) for width in WIDTHS},
    **{f"week {width}": _week(width) for width in WIDTHS},
    **{f"coverage {width}": _coverage(width) for width in WIDTHS},
    "routine aloud": _routine(0, plain=True),
    "routine with bold": _routine(0, colour=True),
    "routine short day": _routine(1),
    "routine short day aloud": _routine(1, plain=True),
    "routine free day": _routine(2),
    "routine concert day": _routine(5),
    "week aloud": _week(plain=True),
    "week on a terminal": _week(boxes=True),
    "coverage aloud": _coverage(plain=True),
    "coverage on a terminal": _coverage(boxes=True),
}


def kept(name: str) -> Path:
    """The file of a screen."""
    return FOLDER / f"{name.replace(' ', '_')}.txt"


if __name__ == "__main__":
    for screen, make in SCREENS.items():
        kept(screen).write_text(make(), encoding="utf-8")

"""The screens as they were looked at, letter by letter, and what holds for each of them."""

from __future__ import annotations

import pytest
from show.golden import SCREENS, WIDTHS, kept

from planner.show.layout import cells

SIZED = [f"{view} {width}" for view in ("routine", "week", "coverage") for width in WIDTHS]


@pytest.mark.parametrize("name", SCREENS)
def test_a_screen_is_as_it_was_when_it_was_looked_at(name: str) -> None:
    assert SCREENS[name]() == kept(name).read_text(encoding="utf-8")


@pytest.mark.parametrize("name", SIZED)
def test_no_line_is_wider_than_its_screen(name: str) -> None:
    width = int(name.split()[1])
    assert max(cells(line) for line in SCREENS[name]().splitlines()) <= width


@pytest.mark.parametrize("name", SIZED)
def test_a_piped_screen_has_neither_escapes_nor_drawn_lines(name: str) -> None:
    assert not set(SCREENS[name]()) & set("\x1b─━│┃┌┐└┘├┤┼╭╮")


@pytest.mark.parametrize("name", [name for name in SCREENS if name.endswith("aloud")])
def test_what_is_read_aloud_holds_no_music_sign(name: str) -> None:
    assert not set(SCREENS[name]()) & set("♭♯♪♩→·–½\u00a0")


@pytest.mark.parametrize("name", [name for name in SCREENS if name.endswith("aloud")])
def test_what_is_read_aloud_has_no_empty_line(name: str) -> None:
    assert all(line.strip() for line in SCREENS[name]().splitlines())


@pytest.mark.parametrize("name", SCREENS)
def test_no_line_ends_in_spaces(name: str) -> None:
    assert all(line == line.rstrip() for line in SCREENS[name]().splitlines())

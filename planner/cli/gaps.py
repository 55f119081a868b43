"""gaps: what a curriculum never touches, and what one figure more would close."""

from __future__ import annotations

import json as text_json
from pathlib import Path
from typing import Annotated

import typer

from planner.cli.plan import JSON, PLAIN
from planner.cli.run import put, screen
from planner.paths import find_curriculum


def gaps(
    curriculum: Annotated[str, typer.Argument(metavar="CURRICULUM", help="A file, or the id of one.")],
    instruments: Annotated[
        str, typer.Option("--for", metavar="INSTRUMENTS", help="Instruments, with commas.")
    ] = "",
    json: Annotated[bool, JSON] = False,
    plain: Annotated[bool, PLAIN] = False,
) -> None:
    r"""Which keys, positions, partials, meters, articulations and pairs of them no exercise touches.

    \b
    planner gaps low-brass-term
    planner gaps my-term.toml --for trumpet,horn
    """
    from planner.horizon.gaps import gaps as find_gaps
    from planner.horizon.gaps import gaps_json, instruments_of
    from planner.inputs.read import read_curriculum
    from planner.show.gaps import gaps_text

    read = read_curriculum(find_curriculum(curriculum, Path.cwd() / "player.toml"))
    names = [name.strip() for name in instruments.split(",") if name.strip()] or instruments_of(read)
    found = find_gaps(read, names)
    if json:
        put(text_json.dumps(gaps_json(read, found), ensure_ascii=False, indent=1))
    else:
        look = screen()
        put(gaps_text(read.title, found, width=look.width, colour=look.colour, plain=plain))

"""`planner simulate`: what the plan's rule does for simulated players, beside the plainest other rules."""

from __future__ import annotations

import json
import os
import sys
from pathlib import Path
from typing import Annotated

import typer

from planner.cli.run import put, say, screen
from planner.errors import UsageError

MOST_SEEDS = 200
BLAS_THREADS = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")


def simulate(
    study: Annotated[
        str, typer.Argument(metavar="STUDY", help="quick, or one of the studies below.")
    ] = "quick",
    seeds: Annotated[
        str, typer.Option(help="How many seeds, or which: 20, or 1001-1010 to try other players.")
    ] = "5",
    processes: Annotated[int, typer.Option(min=1, max=64, help="Processes to work in.")] = 1,
    keep: Annotated[
        Path | None, typer.Option(metavar="FOLDER", help="Keep results here and take them up again.")
    ] = None,
    svg: Annotated[Path | None, typer.Option(metavar="FILE", help="Write the picture to this file.")] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print the report as JSON instead.")] = False,
) -> None:
    r"""Simulated players practise a term by several rules: in turn, by chance, weakest first, ours, others.

    \b
    planner simulate                              a first look, about half a minute
    planner simulate policies --seeds 20 --svg policies.svg

    \b
    policies   84 combinations, 12 items a day     wide       400 combinations, 18 items a day
    missed     a week is missed                    tempo      the tempo counts for learning
    ratings    few or many ratings                 marks      grades alone, clean marks alone
    curricula  shelves of the sample players

    Three learners: A after Pavlik & Anderson 2005, B with a fast and slow states, C forgets slowly. None of
    them is the model that the estimate uses, and none is a person.
    """
    for threads in BLAS_THREADS:
        os.environ.setdefault(threads, "1")
    from planner.simulate.studies import QUESTIONS, jobs

    if study not in QUESTIONS:
        raise UsageError(f"there is no study '{study}'", f"one of {', '.join(QUESTIONS)}")
    wanted = _seeds(seeds)
    from planner.simulate.report import report, to_json
    from planner.simulate.runner import run_all

    found = report(study, run_all(jobs(study, wanted), keep, processes, _progress))
    if svg is not None:
        from planner.diary.files import write_whole
        from planner.simulate.picture import picture

        write_whole(svg, picture(found))
        say(f"picture: {svg}")
    if as_json:
        put(json.dumps(to_json(found), ensure_ascii=False, indent=1))
        return
    from planner.show.layout import Faces
    from planner.show.simulation import simulation_text

    look = screen()
    put(simulation_text(found, look.width, Faces(look.colour), boxes=look.boxes))


def _seeds(text: str) -> tuple[int, ...]:
    """The seeds of "20" (1 to 20) or "1001-1010"."""
    first, dash, last = text.partition("-")
    try:
        start, end = (int(first), int(last)) if dash else (1, int(first))
    except ValueError:
        raise UsageError(f"'{text}' is no number of seeds", "for example 20, or 1001-1010") from None
    if not 1 <= start <= end or end - start >= MOST_SEEDS:
        raise UsageError(f"'{text}' is not from 1 to {MOST_SEEDS} seeds", "for example 20, or 1001-1010")
    return tuple(range(start, end + 1))


def _progress(done: int, jobs: int) -> None:
    if sys.stderr is not None and sys.stderr.isatty():
        sys.stderr.write(f"\rsimulating: {done} of {jobs} " + ("\n" if done == jobs else ""))
        sys.stderr.flush()

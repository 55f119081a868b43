"""One command: simulated players practise by one policy or another, and what came of it is printed."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from planner.cli.run import put, say, screen, when_stopped
from planner.cli.target import put_file, target
from planner.errors import UsageError

if TYPE_CHECKING:
    from planner.simulate.report import Report
    from planner.simulate.studies import Choice

SOLVER = "solver"
SOLVER_QUESTION = "five weeks solved in full, beside the ways that stand for it in the other studies"
MOST_SEEDS, MOST_WEEKS, MOST_PROCESSES = 1000, 26, 64
NOT_HERE = "planner simulate alone names what there is"


def simulate(
    study: Annotated[str | None, typer.Argument(metavar="STUDY", help="None: what there is.")] = None,
    seeds: Annotated[str, typer.Option(help="How many players, or the first and the last: 21-40.")] = "20",
    weeks: Annotated[int, typer.Option(min=1, max=MOST_WEEKS, help="Weeks of the term.")] = 12,
    catalogue: Annotated[str, typer.Option(help="Only these shelves: 84, 400, with commas.")] = "",
    learner: Annotated[str, typer.Option(help="Only these learners: A, B, C, with commas.")] = "",
    start: Annotated[str, typer.Option(help="Only these starting levels: mixed, equal.")] = "",
    policy: Annotated[str, typer.Option(help="Only these policies and round robin, with semicolons.")] = "",
    processes: Annotated[int, typer.Option(min=1, max=MOST_PROCESSES, help="Processes at a time.")] = 1,
    keep: Annotated[
        str | None, typer.Option(help="A folder that keeps finished parts, to go on later.")
    ] = None,
    picture: Annotated[str | None, typer.Option(help="Also draw it, into this SVG file.")] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print a JSON object instead.")] = False,
) -> None:
    r"""Simulated players practise by one policy or another; what each left at the end and two weeks later.

    \b
    planner simulate                                         the studies there are
    planner simulate quick --seeds 5                         a first look, about a minute
    planner simulate policies --learner A --picture a.svg    every policy, and a picture
    """
    from planner.simulate.studies import QUESTIONS

    known = {**QUESTIONS, SOLVER: SOLVER_QUESTION}
    if study is None:
        _list(known)
        return
    _one_of(study, tuple(known), "study")
    if study == SOLVER:
        _solver(as_json=as_json, picture=picture)
        return
    drawing = target(picture, (".svg",), "a picture") if picture else None
    if keep:
        from planner.diary.files import can_write

        can_write(Path(keep))
    choice = _choice(study, catalogue, learner, start, policy, weeks)
    found = _run(study, _seeds(seeds), choice, Path(keep) if keep else None, processes)
    _print(found, QUESTIONS[study], as_json=as_json)
    if drawing:
        _draw(found, QUESTIONS[study], drawing)


def _list(known: Mapping[str, str]) -> None:
    from planner.show.simulation import studies_text

    put(studies_text(known, screen().width))


def _run(study: str, seeds: tuple[int, ...], choice: Choice, keep: Path | None, processes: int) -> Report:
    """The report of a study; progress goes to standard error."""
    from planner.simulate.report import report
    from planner.simulate.runner import run_all
    from planner.simulate.studies import jobs

    wanted = jobs(study, seeds, choice)
    if not wanted:
        raise UsageError(f"nothing of {study} is left with these choices", NOT_HERE)

    reached = 0

    def progress(done: int, of: int) -> None:
        nonlocal reached
        reached = done
        say(f"{done} of {of} terms done")

    def stopped() -> str:
        kept = f"kept in {keep}, the same command goes on from there" if keep else "--keep FOLDER keeps them"
        return f"{reached} of {len(wanted)} terms were done ({kept})"

    with when_stopped(stopped):
        return report(study, run_all(wanted, keep, processes, progress))


def _print(found: Report, question: str, *, as_json: bool) -> None:
    from planner.show.layout import Faces
    from planner.show.simulation import report_text
    from planner.simulate.report import to_json

    if as_json:
        put(json.dumps(to_json(found), ensure_ascii=False, indent=1))
        return
    seen = screen()
    put(report_text(found, question, seen.width, Faces(seen.colour), boxes=seen.boxes))


def _draw(found: Report, question: str, path: Path) -> None:
    from planner.show.simulation_picture import picture

    put_file(path, picture(found, question))
    say(f"Drawn: {path}")


def _solver(*, as_json: bool, picture: str | None) -> None:
    """The weeks of the solver's study."""
    from planner.show.layout import Faces
    from planner.show.simulation import weeks_text
    from planner.simulate.weeks import five_weeks, weeks_to_json

    if picture:
        raise UsageError(f"{SOLVER} has no picture", "leave --picture out")
    found = five_weeks(lambda done, of: say(f"{done} of {of} weeks done"))
    seen = screen()
    if as_json:
        put(json.dumps(weeks_to_json(found), ensure_ascii=False, indent=1))
        return
    put(weeks_text(found, seen.width, Faces(seen.colour), boxes=seen.boxes))


def _choice(study: str, catalogue: str, learner: str, start: str, policy: str, weeks: int) -> Choice:
    """The part of the study that is wanted; UsageError for a word that is none of it."""
    from planner.simulate.named import POLICIES
    from planner.simulate.studies import LEARNERS, STARTS, Choice, shelves_in

    return Choice(
        shelves=_words(catalogue, shelves_in(study), "catalogue"),
        learners=_words(learner.upper(), LEARNERS, "learner"),
        starts=_words(start, STARTS, "start"),
        policies=_words(policy, tuple(POLICIES), "policy", ";"),
        weeks=weeks,
    )


def _words(text: str, known: Sequence[str], what: str, between: str = ",") -> tuple[str, ...]:
    words = tuple(word.strip() for word in text.split(between) if word.strip())
    for word in words:
        _one_of(word, known, what)
    return words


def _one_of(word: str, known: Sequence[str], what: str) -> None:
    if word not in known:
        raise UsageError(f"there is no {what} {word[:40]!r}", f"one of {'; '.join(known)}")


def _seeds(text: str) -> tuple[int, ...]:
    """So many players from the first on, or those from one number to another."""
    first, dash, last = text.partition("-")
    ends = (first, last) if dash else ("1", first)
    if not all(end.isascii() and end.isdigit() and len(end) < 10 for end in ends):
        raise UsageError(f"seeds {text[:40]!r} are no numbers", "for example 20 or 21-40")
    low, high = map(int, ends)
    if not 1 <= high - low + 1 <= MOST_SEEDS:
        raise UsageError(f"seeds {text[:40]!r} are none, or too many", f"1 to {MOST_SEEDS} players")
    return tuple(range(low, high + 1))
